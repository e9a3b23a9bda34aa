"""The form that takes a table, as a file or as pasted text, and what each of its rows comes to."""

from abc import ABC, abstractmethod
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from garden.models import Garden
from garden.tables import Column, RowFault, Table, fault_of, table_of, with_unit
from garden.undo import Recorder
from garden.words import gettext as _

MOST_BYTES = 1_000_000
"""Size of a file that is read. A choice: 5000 rows are a fifth of it."""
MOST_FORM_ROWS = 1000
"""Rows of a table whose every row is checked as a form of its own. A choice: a second or two."""


class TableForm(forms.Form):
    """A table from a spreadsheet; `read_table` makes something of its text."""

    file = forms.FileField(label=gettext_lazy("A CSV file"), required=False)
    text = forms.CharField(
        label=gettext_lazy("Or paste the rows"),
        required=False,
        max_length=MOST_BYTES,
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false"}),
    )

    def clean_file(self) -> str:
        """Return the text of the file."""
        file = self.cleaned_data["file"]
        if file is None:
            return ""
        if file.size > MOST_BYTES:
            raise ValidationError(_("The file is larger than a megabyte. Send it in parts."))
        try:
            return file.read().decode("utf-8-sig")
        except UnicodeDecodeError:
            raise ValidationError(_("Save the file as CSV in UTF-8, and send it again.")) from None

    def clean(self) -> dict[str, Any]:
        """Read the table; `cleaned_data["text"]` is what was read."""
        values = super().clean()
        if self.errors:
            return values
        field = "file" if values.get("file") else "text"
        values["text"] = values.get("file") or values.get("text") or ""
        try:
            self.read_table(values["text"])
        except ValueError as error:
            self.add_error(field, str(error))
        return values

    def read_table(self, text: str) -> None:
        """Read the text or raise ValueError with one plain sentence."""
        raise NotImplementedError


class RowReader(ABC):
    """Reads each row of one kind of table as the form by which a page takes such a thing."""

    columns: tuple[Column, ...]
    headings: tuple[str, ...]
    """Of the preview."""
    noun: str
    plural: str

    def __init__(self, garden: Garden) -> None:
        self.garden = garden

    def counted(self, count: int) -> str:
        """Return so many of what a row is, in words."""
        return f"{count} {_(self.noun if count == 1 else self.plural)}"

    @abstractmethod
    def form(self, values: dict[str, str]) -> forms.BaseForm | None:
        """Return the form that a row fills in, None for a row about something else.

        Raises ValueError with one plain sentence where a row cannot even be that.
        """

    @abstractmethod
    def key(self, form: forms.BaseForm) -> Any:
        """Return what makes two rows of a garden the same."""

    @abstractmethod
    def keys_there(self) -> set[Any]:
        """Return the keys of what the garden has already."""

    @abstractmethod
    def cells(self, form: forms.BaseForm) -> list[str]:
        """Return what the preview shows of a row, under `headings`."""

    @abstractmethod
    def save(self, form: forms.BaseForm, user: object, step: Recorder) -> None:
        """Save a row that is valid and new, and tell `step` of all that it has made."""


@dataclass(frozen=True)
class ReadRow:
    """A row that can be added, or is there already."""

    line: int
    form: forms.BaseForm
    cells: list[str]
    is_there: bool


@dataclass(frozen=True)
class ReadRows:
    """What a table came to."""

    rows: tuple[ReadRow, ...]
    faults: tuple[RowFault, ...]

    @property
    def new(self) -> list[ReadRow]:
        """Return the rows to add."""
        return [row for row in self.rows if not row.is_there]


def read_rows(text: str, reader: RowReader) -> ReadRows:
    """Read a table row by row.

    Raises
    ------
    ValueError
        With one plain sentence, where there is no table.
    """
    table = table_of(text, reader.columns, of=_(reader.plural), most_rows=MOST_FORM_ROWS)
    there, rows, faults = reader.keys_there(), [], []
    for line, cells in table.rows:
        try:
            form = reader.form(_values(table, reader.columns, cells))
        except ValueError as error:
            faults.append(fault_of(line, cells, str(error)))
            continue
        if form is None:
            continue
        if not form.is_valid():
            faults.append(fault_of(line, cells, told_faults(form)))
            continue
        rows.append(ReadRow(line, form, reader.cells(form), reader.key(form) in there))
    return ReadRows(tuple(rows), tuple(faults))


def _values(table: Table, columns: Iterable[Column], cells: tuple[str, ...]) -> dict[str, str]:
    return {
        column.key: with_unit(table.cell(cells, column.key), column, table) for column in columns
    }


def told_faults(form: forms.BaseForm) -> str:
    """Return a form's faults as one text: each field's label with what is wrong there."""
    told = []
    for name, errors in form.errors.items():
        label = form.fields[name].label if name in form.fields else ""
        told += [f"{label}: {error}" if label else str(error) for error in errors]
    return " ".join(told)


class RowsForm(TableForm):
    """A table whose rows a `RowReader` reads; `table` holds them."""

    def __init__(self, *args: Any, reader: RowReader, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._reader = reader
        self.table: ReadRows | None = None
        names = ", ".join(column.names[0] for column in reader.columns)
        self.fields["text"].help_text = _("First a row of headings, of these: {names}.").format(
            names=names
        )

    def read_table(self, text: str) -> None:
        """Read it with the reader."""
        self.table = read_rows(text, self._reader)
