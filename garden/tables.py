"""A table from a spreadsheet, read row by row, each fault told with its row.

PURE. A column is known by any of its names, in any case; a unit in brackets behind a heading is left aside.
"""

import csv
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from garden.csv_cells import csv_text
from garden.words import gettext as _

MOST_ROWS = 5000
"""Rows that one table may have. A choice."""


@dataclass(frozen=True)
class Column:
    """What a column may be called; `units` says in what unit a plain number stands under some names."""

    key: str
    names: tuple[str, ...]
    units: Mapping[str, str] | None = None
    required: bool = False


@dataclass(frozen=True)
class RowFault:
    """A row that cannot be read, as it was typed, and why."""

    line: int
    typed: str
    reason: str


@dataclass(frozen=True)
class Table:
    """The rows under the headings that are known, the heading being row 1."""

    headings: Mapping[str, str]
    """The heading under which each column was found, in small letters."""
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    _at: Mapping[str, int]

    def cell(self, cells: tuple[str, ...], key: str) -> str:
        """Return what a row says in a column; empty where it has none."""
        at = self._at.get(key)
        return csv_text(cells[at]) if at is not None and at < len(cells) else ""


def table_of(
    text: str, columns: Iterable[Column], *, of: str = "", most_rows: int = MOST_ROWS
) -> Table:
    """Read a table with comma, semicolon or tab between the cells and headings in its first row.

    Parameters
    ----------
    text : str
        What was sent, perhaps with a byte order mark.
    columns : iterable of Column
        Those that are looked for; others are left aside.
    of : str
        What a row is about, for the message where there is none.

    Raises
    ------
    ValueError
        With one plain sentence, where there is no table, a column is missing or a quote is left open.
    """
    try:
        lines = list(csv.reader(text.lstrip("\ufeff").splitlines(), delimiter=_delimiter(text)))
    except csv.Error:
        raise ValueError(
            _("A cell is longer than any cell should be. Look at the quotes.")
        ) from None
    numbered = [(n, tuple(row)) for n, row in enumerate(lines, 1) if any(c.strip() for c in row)]
    if len(numbered) < 2:
        if of:
            told = _("Give a row of headings and at least one row of {what}.").format(what=of)
        else:
            told = _("Give a row of headings and at least one row.")
        raise ValueError(told)
    if len(numbered) > most_rows + 1:
        raise ValueError(_("Give at most {most_rows} rows at once.").format(most_rows=most_rows))
    plain = [_plain(heading) for heading in numbered[0][1]]
    at = dict(_places(columns, plain))
    return Table({key: plain[place] for key, place in at.items()}, tuple(numbered[1:]), at)


def _delimiter(text: str) -> str:
    first = text.lstrip().split("\n", 1)[0]
    return max(";\t,", key=first.count)


def _plain(heading: str) -> str:
    return heading.partition("(")[0].strip().lower().lstrip("\ufeff")


def _places(columns: Iterable[Column], plain: list[str]) -> Iterator[tuple[str, int]]:
    for column in columns:
        at = [n for n, heading in enumerate(plain) if heading in column.names]
        if at:
            yield column.key, at[0]
        elif column.required:
            raise ValueError(
                _("A column “{column}” is missing in the first row.").format(column=column.names[0])
            )


def fault_of(number: int, cells: Iterable[str], reason: str) -> RowFault:
    """Return a fault with the row as it was typed, not more than fits a line."""
    typed = ", ".join(cell.strip() for cell in cells).rstrip(", ")
    return RowFault(number, typed[:80], reason)


def with_unit(typed: str, column: Column, table: Table) -> str:
    """Return what was typed, with its unit where the heading tells that of a plain number."""
    unit = (column.units or {}).get(table.headings.get(column.key, ""), "")
    is_plain = typed.replace(".", "", 1).replace("-", "", 1).isdecimal()
    return f"{typed} {unit}" if unit and is_plain else typed
