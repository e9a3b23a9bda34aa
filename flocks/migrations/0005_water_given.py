"""Water given, in litres."""

import django.core.validators
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    """One table."""

    dependencies = [
        ("flocks", "0004_sexes_and_feed_given"),
        ("pens", "0003_wire_and_walls"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="WaterRecord",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("on", models.DateField(verbose_name="day")),
                ("logged_at", models.DateTimeField(auto_now_add=True)),
                (
                    "litres",
                    models.FloatField(
                        validators=[
                            django.core.validators.MinValueValidator(0.05),
                            django.core.validators.MaxValueValidator(20000),
                        ],
                        verbose_name="water given",
                    ),
                ),
                (
                    "batch",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, to="flocks.batch"
                    ),
                ),
                (
                    "logged_by",
                    models.ForeignKey(
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "pen",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="pens.pen",
                    ),
                ),
            ],
            options={"ordering": ["on", "pk"], "abstract": False},
        ),
    ]
