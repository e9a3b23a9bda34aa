"""Photos taken in the garden."""

from django.db import models
from django.utils.translation import gettext_lazy

from flocks.models import Batch
from flocks.models.records import Record
from garden.models import Garden
from garden.words import gettext as _
from rotation.photo_files import new_name


class PhotoQuerySet(models.QuerySet["Photo"]):
    """Photos as they are looked at."""

    def newest(self) -> "PhotoQuerySet":
        """Put the last one taken first, with its batch and who took it."""
        return self.select_related("batch", "logged_by").order_by("-on", "-pk")


class Photo(Record):
    """A photo of a day; the pictures themselves lie on disk under its unguessable `name`.

    `sha256` is of the large one: by it an archive's row finds its picture again.
    """

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="photos")
    batch = models.ForeignKey(
        Batch, null=True, blank=True, on_delete=models.SET_NULL, related_name="photos"
    )
    name = models.CharField(max_length=43, unique=True, editable=False, default=new_name)
    sha256 = models.CharField(max_length=64, blank=True, editable=False)
    words = models.CharField(gettext_lazy("what it shows"), max_length=200, blank=True)
    width_px = models.PositiveIntegerField(editable=False)
    height_px = models.PositiveIntegerField(editable=False)
    size_bytes = models.PositiveIntegerField(editable=False)

    objects = PhotoQuerySet.as_manager()

    class Meta(Record.Meta):
        indexes = [models.Index(fields=["garden", "on"], name="photo_by_garden_and_day")]

    def __str__(self) -> str:
        return self.words or _("Photo of {day}").format(day=self.on)
