import django.core.validators
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("garden", "0006_places_and_weather"),
        ("rotation", "0008_not_possible"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="BroughtIn",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("archive_made_at", models.CharField(blank=True, max_length=40)),
                ("brought_at", models.DateTimeField(auto_now_add=True)),
                ("signed", models.JSONField(default=dict)),
                ("garden", models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, related_name="brought_in", to="garden.garden")),
            ],
        ),
        migrations.CreateModel(
            name="CalendarFeed",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("hour", models.PositiveSmallIntegerField(default=7, validators=[django.core.validators.MaxValueValidator(23)], verbose_name="hour of the morning’s work")),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                ("garden", models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name="%(class)ss", to="garden.garden")),
                ("user", models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name="+", to=settings.AUTH_USER_MODEL)),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(condition=models.Q(("revoked_at", None)), fields=("garden", "user"), name="calendar_open_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="Reminder",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("hour", models.PositiveSmallIntegerField(default=18, validators=[django.core.validators.MaxValueValidator(23)], verbose_name="hour at which it is sent")),
                ("is_on", models.BooleanField(default=True)),
                ("address", models.CharField(max_length=200)),
                ("sent_for", models.DateField(blank=True, null=True)),
                ("next_try_at", models.DateTimeField(blank=True, null=True)),
                ("garden", models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name="%(class)ss", to="garden.garden")),
                ("user", models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name="+", to=settings.AUTH_USER_MODEL)),
            ],
            options={
                "constraints": [models.UniqueConstraint(fields=("garden", "user"), name="reminder_once")],
            },
        ),
    ]
