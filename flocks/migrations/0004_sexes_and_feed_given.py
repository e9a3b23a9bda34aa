"""Males among the chicks, weighings of one sex, the heaviest picked, and which feed was given."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    """Four columns, all of which may stay empty."""

    dependencies = [("flocks", "0003_books_and_withdrawal")]

    operations = [
        migrations.AddField(
            model_name="batch",
            name="males",
            field=models.PositiveIntegerField(
                blank=True, null=True, verbose_name="males among them"
            ),
        ),
        migrations.AddConstraint(
            model_name="batch",
            constraint=models.CheckConstraint(
                condition=models.Q(males=None) | models.Q(males__lte=models.F("chicks")),
                name="batch_males_among_chicks",
                violation_error_message="There are fewer chicks than males.",
            ),
        ),
        migrations.AddField(
            model_name="weighing",
            name="sex",
            field=models.CharField(
                blank=True,
                choices=[
                    ("", "As they came"),
                    ("male", "Males only"),
                    ("female", "Females only"),
                ],
                default="",
                max_length=6,
                verbose_name="which birds",
            ),
        ),
        migrations.AddField(
            model_name="processing",
            name="heaviest",
            field=models.BooleanField(default=False, verbose_name="the heaviest were picked"),
        ),
        migrations.AddField(
            model_name="feedrecord",
            name="product",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="+",
                to="flocks.feedproduct",
                verbose_name="which feed",
            ),
        ),
    ]
