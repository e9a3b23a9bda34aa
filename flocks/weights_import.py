"""A table of weights from a spreadsheet: read row by row, each fault told with its row.

PURE.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from flocks.weight_list import weights_read
from garden.day_words import day_words
from garden.tables import Column, RowFault, Table, fault_of, table_of
from garden.units import BIRD_MASS, System
from garden.words import gettext as _

MOST_BIRDS = 10_000
LEAST_G, MOST_G = 15.0, 12_000.0
"""What a bird can weigh [g]: half a small chick to well above any rooster. A choice."""

DAY, AGE, COUNT, MEAN, WEIGHTS, RECORD = "day", "age", "count", "mean", "weights", "record"
COLUMNS = (
    Column(DAY, ("day", "date", "on", "weighed", "weighed on")),
    Column(AGE, ("age", "age_days", "age days", "day of age")),
    Column(COUNT, ("count", "birds", "number", "n", "birds weighed")),
    Column(
        MEAN,
        ("mean", "mean_weight_g", "mean weight", "mean_g", "average", "weight", "weight_g"),
    ),
    Column(WEIGHTS, ("weights", "weights_g", "single weights", "each")),
    Column(RECORD, ("record", "kind")),
)
"""What a column may be called."""
IN_GRAMS = ("mean_weight_g", "mean_g", "weight_g", "weights_g")
"""Headings under which a plain number is grams in any garden, as in the product's own export."""


@dataclass(frozen=True)
class WeighedRow:
    """One weighing read from the table."""

    lines: tuple[int, ...]
    """The rows it stands on, the heading being row 1."""
    on: date
    count: int
    mean_g: float
    weights_g: tuple[float, ...]


@dataclass(frozen=True)
class WeightTable:
    """What a table came to."""

    rows: tuple[WeighedRow, ...]
    faults: tuple[RowFault, ...]


def weights_table(text: str, *, system: System, hatch_on: date, today: date) -> WeightTable:
    """Read a table of weighings.

    Parameters
    ----------
    text : str
        Comma, semicolon or tab between the cells, with a row of headings: a day (2026-06-12) or an age, and
        either the birds weighed with their mean or single weights. Rows with one bird each and the same
        day become one weighing.
    system : {"metric", "us"}
        Says what a plain number means.
    hatch_on, today : date
        Nobody weighs before the one or after the other.

    Raises
    ------
    ValueError
        With one plain sentence, where there is no table or a column is missing.
    """
    table = table_of(text, COLUMNS, of="weights")
    _check_columns(table)
    reader = _Reader(table, system, hatch_on, today)
    rows: list[WeighedRow] = []
    faults: list[RowFault] = []
    for number, cells in table.rows:
        try:
            rows += reader.row(number, cells)
        except ValueError as error:
            faults.append(fault_of(number, cells, str(error)))
    return WeightTable(tuple(_together(rows)), tuple(faults))


def _check_columns(table: Table) -> None:
    if not table.headings.keys() & {DAY, AGE}:
        raise ValueError(_("A column “day” (or “age”) is missing in the first row."))
    if not table.headings.keys() & {MEAN, WEIGHTS}:
        raise ValueError(_("A column “weight” (or “weights”) is missing in the first row."))


@dataclass(frozen=True)
class _Reader:
    table: Table
    system: System
    hatch_on: date
    today: date

    def row(self, number: int, cells: tuple[str, ...]) -> Iterator[WeighedRow]:
        """Read one row; rows of other records, as in the product's own export, give nothing."""
        if self._cell(cells, RECORD).lower() not in ("weighing", ""):
            return
        on = self._day(cells)
        weights = weights_read(self._cell(cells, WEIGHTS), self._system_of(WEIGHTS))
        mean, count = self._cell(cells, MEAN), self._count(cells)
        if weights:
            if count not in (None, len(weights)):
                raise ValueError(
                    _("{birds} birds, but {n} weights.").format(birds=count, n=len(weights))
                )
            mean_g = sum(weights) / len(weights)
        elif mean:
            mean_g = BIRD_MASS.read(mean, self._system_of(MEAN))
        else:
            raise ValueError(_("A weight is missing."))
        for weight_g in weights or [mean_g]:
            self._check(weight_g)
        single = weights or ([mean_g] if count in (None, 1) else [])
        yield WeighedRow((number,), on, len(weights) or count or 1, mean_g, tuple(single))

    def _cell(self, cells: tuple[str, ...], what: str) -> str:
        return self.table.cell(cells, what)

    def _system_of(self, what: str) -> System:
        return "metric" if self.table.headings.get(what) in IN_GRAMS else self.system

    def _day(self, cells: tuple[str, ...]) -> date:
        typed = self._cell(cells, DAY)
        if typed:
            try:
                on = date.fromisoformat(typed)
            except ValueError:
                raise ValueError(
                    _("Write the day as year-month-day, such as 2026-06-12.")
                ) from None
        else:
            age = self._cell(cells, AGE)
            if not age.isdecimal() or len(age) > 3:
                raise ValueError(_("A day, or an age in whole days, is missing."))
            on = self.hatch_on + timedelta(days=int(age))
        if on > self.today:
            raise ValueError(_("{day} has not come yet.").format(day=day_words(on)))
        if on < self.hatch_on:
            raise ValueError(_("These birds hatch on {day}.").format(day=day_words(self.hatch_on)))
        return on

    def _count(self, cells: tuple[str, ...]) -> int | None:
        typed = self._cell(cells, COUNT)
        if not typed:
            return None
        if not typed.isdecimal() or not 1 <= int(typed[:9]) <= MOST_BIRDS:
            raise ValueError(
                _("Give the birds weighed as a number from 1 to {most}.").format(most=MOST_BIRDS)
            )
        return int(typed)

    def _check(self, weight_g: float) -> None:
        told = BIRD_MASS.show(weight_g, self.system)
        if weight_g < LEAST_G:
            raise ValueError(_("{told} is too light for a bird.").format(told=told))
        if weight_g > MOST_G:
            most = BIRD_MASS.show(MOST_G, self.system)
            raise ValueError(
                _("{told} is too heavy: no meat chicken passes {most}.").format(
                    told=told, most=most
                )
            )


def _together(rows: Iterable[WeighedRow]) -> Iterator[WeighedRow]:
    """Put birds that were weighed one by one on one day together."""
    rows = sorted(rows, key=lambda row: (row.on, row.count != 1))
    for (on, is_single), group in groupby(rows, key=lambda row: (row.on, row.count == 1)):
        same = list(group)
        if not is_single or len(same) == 1:
            yield from same
            continue
        weights = tuple(weight for row in same for weight in row.weights_g)
        lines = tuple(line for row in same for line in row.lines)
        yield WeighedRow(lines, on, len(weights), sum(weights) / len(weights), weights)
