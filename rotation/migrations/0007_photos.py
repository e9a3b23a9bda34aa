import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ("flocks", "0002_feed_store"),
        ("garden", "0004_ledger"),
        ("rotation", "0006_what_if"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Photo",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("on", models.DateField(verbose_name="day")),
                ("logged_at", models.DateTimeField(auto_now_add=True)),
                ("name", models.CharField(editable=False, max_length=43, unique=True)),
                ("words", models.CharField(blank=True, max_length=200, verbose_name="what it shows")),
                ("width_px", models.PositiveIntegerField(editable=False)),
                ("height_px", models.PositiveIntegerField(editable=False)),
                ("size_bytes", models.PositiveIntegerField(editable=False)),
                ("batch", models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.SET_NULL, related_name="photos", to="flocks.batch")),
                ("garden", models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name="photos", to="garden.garden")),
                ("logged_by", models.ForeignKey(editable=False, null=True, on_delete=django.db.models.deletion.SET_NULL, related_name="+", to=settings.AUTH_USER_MODEL)),
            ],
            options={
                "ordering": ["on", "pk"],
                "abstract": False,
                "indexes": [models.Index(fields=["garden", "on"], name="photo_by_garden_and_day")],
            },
        ),
    ]
