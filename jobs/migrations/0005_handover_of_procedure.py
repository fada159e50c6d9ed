from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("jobs", "0004_authority_of_estimate"),
    ]

    operations = [
        migrations.AddField(
            model_name="procedurerevision",
            name="handover",
            field=models.JSONField(blank=True, default=dict, verbose_name="handover"),
        ),
    ]
