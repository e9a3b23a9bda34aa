"""The form that takes a table of weights: a file, or pasted text."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from flocks.models import Batch
from flocks.weights_import import WeightTable, weights_table

MOST_BYTES = 1_000_000
"""Size of a file that is read. A choice: 5000 rows are a fifth of it."""


class WeightsImportForm(forms.Form):
    """A table from a spreadsheet."""

    file = forms.FileField(label="A CSV file", required=False)
    text = forms.CharField(
        label="Or paste the rows",
        required=False,
        max_length=MOST_BYTES,
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false"}),
        help_text="First a row of headings: day and weight, or day, birds and mean.",
    )

    def __init__(self, *args: Any, batch: Batch, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.batch = batch
        self.table: WeightTable | None = None

    def clean_file(self) -> str:
        """Return the text of the file."""
        file = self.cleaned_data["file"]
        if file is None:
            return ""
        if file.size > MOST_BYTES:
            raise ValidationError("The file is larger than a megabyte. Send it in parts.")
        try:
            return file.read().decode("utf-8-sig")
        except UnicodeDecodeError:
            raise ValidationError("Save the file as CSV in UTF-8, and send it again.") from None

    def clean(self) -> dict[str, Any]:
        """Read the table; `table` holds it and `cleaned_data["text"]` what was read."""
        values = super().clean()
        if self.errors:
            return values
        field = "file" if values.get("file") else "text"
        values["text"] = values.get("file") or values.get("text") or ""
        garden = self.batch.garden
        try:
            self.table = weights_table(
                values["text"],
                system=garden.unit_system,
                hatch_on=self.batch.hatch_on,
                today=garden.today(),
            )
        except ValueError as error:
            self.add_error(field, str(error))
        return values
