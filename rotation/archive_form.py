"""The form that takes a garden's archive."""

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from garden.words import gettext as _
from rotation.archive_reading import MOST_BYTES, ArchiveError, ReadArchive, read_archive


class ArchiveForm(forms.Form):
    """A file that another installation, or this one, has made."""

    file = forms.FileField(
        label=gettext_lazy("The archive"),
        help_text=gettext_lazy("The .json file that “Fetch the archive” gave you."),
        widget=forms.FileInput(attrs={"accept": ".json,application/json"}),
    )

    photos = forms.FileField(
        label=gettext_lazy("Its photos"),
        required=False,
        help_text=gettext_lazy(
            "The .zip file that “Fetch the photos” gave you, where there were any."
        ),
        widget=forms.FileInput(attrs={"accept": ".zip,application/zip"}),
    )

    def clean_file(self) -> ReadArchive:
        """Read it, or say why it cannot be."""
        file = self.cleaned_data["file"]
        if file.size > MOST_BYTES:
            raise ValidationError(
                _("The archive is larger than {most_bytes} megabytes.").format(
                    most_bytes=MOST_BYTES // 1_000_000
                )
            )
        try:
            return read_archive(file.read())
        except ArchiveError as error:
            raise ValidationError(str(error)) from None
