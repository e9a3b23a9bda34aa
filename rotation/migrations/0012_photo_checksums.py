"""The checksum of each photo, worked out for those that are there."""

import hashlib

from django.apps.registry import Apps
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

from rotation.photo_files import new_name, photo_path


def fill_in(apps: Apps, _: BaseDatabaseSchemaEditor) -> None:
    """Read the pictures; one that is lost keeps an empty checksum."""
    for photo in apps.get_model("rotation", "Photo").objects.filter(sha256="").iterator():
        path = photo_path(photo.name, "large")
        if path.exists():
            photo.sha256 = hashlib.sha256(path.read_bytes()).hexdigest()
            photo.save(update_fields=["sha256"])


class Migration(migrations.Migration):
    """One column."""

    dependencies = [("rotation", "0011_task_queue")]

    operations = [
        migrations.AddField(
            model_name="photo",
            name="sha256",
            field=models.CharField(blank=True, default="", editable=False, max_length=64),
            preserve_default=False,
        ),
        migrations.AlterField(
            model_name="photo",
            name="name",
            field=models.CharField(
                default=new_name,
                editable=False,
                max_length=43,
                unique=True,
            ),
        ),
        migrations.RunPython(fill_in, migrations.RunPython.noop),
    ]
