import django.core.validators
import pens.models.designs
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('pens', '0002_designs_and_shopping'),
    ]

    operations = [
        migrations.AddField(
            model_name='design',
            name='mesh',
            field=models.CharField(default='half-inch-19', max_length=30, verbose_name='wire cloth'),
        ),
        migrations.AddField(
            model_name='design',
            name='roll_lengths_mm',
            field=models.JSONField(default=pens.models.designs.usual_lengths, verbose_name='lengths of the rolls you can buy'),
        ),
        migrations.AddField(
            model_name='design',
            name='roll_widths_mm',
            field=models.JSONField(default=pens.models.designs.usual_widths, verbose_name='widths of the rolls you can buy'),
        ),
        migrations.AddField(
            model_name='design',
            name='wall_mm',
            field=models.FloatField(default=38, validators=[django.core.validators.MinValueValidator(0), django.core.validators.MaxValueValidator(500)], verbose_name='how thick the beds’ walls are'),
        ),
    ]
