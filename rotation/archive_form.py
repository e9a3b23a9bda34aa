"""The form that takes a garden's archive."""

from django import forms
from django.core.exceptions import ValidationError

from rotation.archive_reading import MOST_BYTES, ArchiveError, ReadArchive, read_archive


class ArchiveForm(forms.Form):
    """A file that another installation, or this one, has made."""

    file = forms.FileField(
        label="The archive",
        help_text="The .json file that “Fetch the archive” gave you.",
        widget=forms.FileInput(attrs={"accept": ".json,application/json"}),
    )

    photos = forms.FileField(
        label="Its photos",
        required=False,
        help_text="The .zip file that “Fetch the photos” gave you, where there were any.",
        widget=forms.FileInput(attrs={"accept": ".zip,application/zip"}),
    )

    def clean_file(self) -> ReadArchive:
        """Read it, or say why it cannot be."""
        file = self.cleaned_data["file"]
        if file.size > MOST_BYTES:
            raise ValidationError(
                f"The archive is larger than {MOST_BYTES // 1_000_000} megabytes."
            )
        try:
            return read_archive(file.read())
        except ArchiveError as error:
            raise ValidationError(str(error)) from None
