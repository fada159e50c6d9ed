import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('jobs', '0003_bolt_of_a_joint'),
    ]

    operations = [
        migrations.AddField(
            model_name='authority',
            name='estimate',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='authorities', to='jobs.estimate'),
        ),
    ]
