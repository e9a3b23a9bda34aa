"""The form that logs a photo."""

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.db.models import Sum
from django.utils.translation import gettext_lazy

from flocks.models import Batch
from garden.forms import DayField, GardenForm
from garden.models import Garden
from garden.words import gettext as _
from rotation.models import Photo
from rotation.pictures import Picture, PictureError, picture_of, too_large

MOST_BYTES_OF_GARDEN = 1_000_000_000
"""What the photos of one garden may take on disk [byte]. Our choice: some 4,000 photos."""


class PhotoForm(GardenForm, forms.ModelForm):
    """A photo, what it shows and the day; the batch is a choice."""

    photo = forms.FileField(
        label=gettext_lazy("Photo"),
        widget=forms.FileInput(attrs={"accept": "image/*"}),
        error_messages={"required": gettext_lazy("Take or choose a photo.")},
    )
    on = DayField(label=gettext_lazy("Day"))
    batch = forms.ModelChoiceField(
        Batch.objects.none(),
        label=gettext_lazy("Batch"),
        required=False,
        empty_label=gettext_lazy("No batch"),
    )

    class Meta:
        model = Photo
        fields = ["words", "batch", "on"]

    field_order = ["photo", "words", "batch", "on"]

    def __init__(
        self, *args: Any, garden: Garden, was_left_out: bool = False, **kwargs: Any
    ) -> None:
        super().__init__(*args, garden=garden, **kwargs)
        self.instance.garden = garden
        self.picture: Picture | None = None
        self.fields["batch"].queryset = garden.batches.all()
        self.fields["on"].initial = garden.today()
        self.fields["on"].widget.attrs["max"] = garden.today().isoformat()
        if was_left_out:
            self.fields["photo"].error_messages["required"] = too_large()

    def clean_photo(self) -> UploadedFile:
        """Read the photo, and refuse what is none."""
        file = self.cleaned_data["photo"]
        try:
            self.picture = picture_of(file)
        except PictureError as fault:
            raise ValidationError(str(fault)) from None
        held = self.garden.photos.aggregate(held=Sum("size_bytes"))["held"] or 0
        if held + len(self.picture.large) + len(self.picture.small) > MOST_BYTES_OF_GARDEN:
            raise ValidationError(
                _("The photos of this garden take all the room they may. Remove some.")
            )
        return file

    def clean_on(self) -> date:
        """Refuse a day that has not come."""
        on = self.cleaned_data["on"]
        if on > self.garden.today():
            raise ValidationError(_("This day has not come yet."))
        return on
