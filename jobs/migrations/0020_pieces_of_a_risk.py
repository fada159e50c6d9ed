from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("jobs", "0019_floor_index"),
    ]

    operations = [
        migrations.AddField(
            model_name="override",
            name="pieces",
            field=models.PositiveIntegerField(blank=True, null=True, verbose_name="pieces missing then"),
        ),
    ]
