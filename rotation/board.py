"""The plan's board: places down, days along, as the cells of a table.

PURE. A cell is a run of days with one use, its length the table's ``colspan``; its text is chosen
to fit it, and it carries a whole sentence for those who hear the table.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import groupby

from garden.day_words import date_words
from garden.harvest_interval import HarvestRule
from garden.words import gettext as _
from garden.words import pgettext
from rotation.calendar_letters import weekday_letter
from rotation.ground_days import (
    BedGround,
    Span,
    Use,
    Visit,
    cut_at,
    ground_spans,
    laid_out,
    place_visits,
    told_on,
)

BOARD_DAYS = 28
"""Days on one board: four weeks, the shortest rest most gardens keep. Our choice."""

_DAY_PX, _PADDING_PX, _LETTER_PX = 44, 14, 9.5
"""A day's column and what of a cell is not for text, as in the style sheet, and a letter of its
type, bold and 16 px, measured in Chromium with a wide sans. [px]"""


@dataclass(frozen=True, slots=True)
class DayHead:
    """The head of a day's column."""

    day: date
    is_today: bool

    @property
    def letter(self) -> str:
        """Return the weekday's first letter."""
        return weekday_letter(self.day)


@dataclass(frozen=True, slots=True)
class Cell:
    """A run of days with one use, in one row."""

    use: Use
    days: int
    """Columns it takes."""
    text: str
    """What fits in it; empty where a day's pattern has to do."""
    said: str
    """The whole of it, for the ear and on request."""
    is_today: bool
    """Whether its first day is today."""
    first_day: date
    stay_id: int | None = None
    """The planned stay's that it shows, by which it can be changed."""
    is_locked: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """A place, or a pen's days off the beds."""

    bed_id: int | None
    mark: str
    name: str
    place: str
    is_first: bool
    """Whether it is its bed's first, which shows the name."""
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Board:
    """Four weeks of the garden."""

    first_day: date
    end_day: date
    months: tuple[tuple[date, int], ...]
    """The first day of each month on the board, with the columns it takes."""
    heads: tuple[DayHead, ...]
    beds: tuple[Row, ...]
    off_bed: tuple[Row, ...]
    """One row for each pen that spends a day of these off the beds."""

    @property
    def has_locks(self) -> bool:
        """Say whether a stay shown is locked."""
        return any(cell.is_locked for row in self.beds for cell in row.cells)

    @property
    def has_closures(self) -> bool:
        """Say whether a bed is not to be had on a day shown."""
        return any(cell.use is Use.CLOSED for row in self.beds for cell in row.cells)

    @property
    def last_day(self) -> date:
        """Return the last day shown."""
        return self.end_day - timedelta(days=1)


def board(
    beds: Iterable[BedGround],
    off_bed: Iterable[Visit],
    *,
    first_day: date,
    today: date,
    rule: HarvestRule,
    rest_days: int,
    days: int = BOARD_DAYS,
) -> Board:
    """Draw up the board.

    Parameters
    ----------
    beds : iterable of BedGround
        In the order of the rows; a bed has a row for each place with a visit on the board's mind.
    off_bed : iterable of Visit
        Days that pens spend off the beds.
    first_day, days : date, int
        The days shown.
    today : date
        Before it stands what happened, from it on what is planned.
    rule, rest_days : HarvestRule, int
        The garden's waits. [days]
    """
    beds, off_bed = list(beds), list(off_bed)
    end_day = first_day + timedelta(days=days)
    everywhere = [visit for bed in beds for visit in bed.visits] + off_bed
    shown = _Shown(first_day, end_day, today, told_on(everywhere, today))
    columns = [first_day + timedelta(days=number) for number in range(days)]
    return Board(
        first_day=first_day,
        end_day=end_day,
        months=tuple(
            (month, len(list(members)))
            for month, members in groupby(columns, key=lambda day: day.replace(day=1))
        ),
        heads=tuple(DayHead(day, day == today) for day in columns),
        beds=tuple(row for bed in beds for row in _bed_rows(bed, shown, rule, rest_days)),
        off_bed=_off_bed_rows(off_bed, shown),
    )


@dataclass(frozen=True, slots=True)
class _Shown:
    """The days on the board, today, and the pens that the plan speaks of today."""

    first_day: date
    end_day: date
    today: date
    told: set[str]

    def row_cells(self, spans: Sequence[Span], otherwise: Use = Use.FREE) -> tuple[Cell, ...]:
        laid = laid_out(spans, self.first_day, self.end_day, today=self.today, otherwise=otherwise)
        return tuple(self.cell(span) for span in laid)

    def cell(self, span: Span) -> Cell:
        goes_beyond = span.end_day == self.end_day
        return Cell(
            use=span.use,
            days=span.days,
            text=_longest_that_fits(_wordings(span, counted=not goes_beyond), span.days),
            said=f"{_sentence(span)}, {_days(span)}",
            is_today=span.first_day == self.today,
            first_day=span.first_day,
            stay_id=span.stay_id,
            is_locked=span.is_locked,
        )

    def visits(self, visits: Iterable[Visit], rest_days: int = 0) -> list[Visit]:
        """Return the visits that, or the rest after which, reach into the days shown."""
        rest = timedelta(days=rest_days)
        return [
            visit
            for visit in cut_at(visits, self.today, self.told)
            if visit.first_day < self.end_day and visit.end_day + rest > self.first_day
        ]


def _bed_rows(bed: BedGround, shown: _Shown, rule: HarvestRule, rest_days: int) -> list[Row]:
    lines = place_visits(shown.visits(bed.visits, rest_days)) or [("", [])]
    return [
        Row(
            bed.id,
            bed.mark,
            bed.name,
            place,
            number == 0,
            shown.row_cells(
                ground_spans(
                    members,
                    bed.plantings,
                    rule=rule,
                    rest_days=rest_days,
                    closures=bed.closures,
                )
            ),
        )
        for number, (place, members) in enumerate(lines)
    ]


def _off_bed_rows(visits: list[Visit], shown: _Shown) -> tuple[Row, ...]:
    by_pen: dict[str, list[Span]] = {}
    for visit in shown.visits(visits):
        span = Span(Use.OFF, visit.first_day, visit.end_day, visit.pen, visit.id)
        by_pen.setdefault(visit.pen, []).append(span)
    return tuple(
        Row(None, "", pen, "", True, _without_words(shown.row_cells(spans)))
        for pen, spans in sorted(by_pen.items())
    )


def _without_words(cells: Iterable[Cell]) -> tuple[Cell, ...]:
    """Empty the cells of days that a pen is not off the beds: other rows tell where it stands."""
    return tuple(
        replace(cell, text="", said="") if cell.use is Use.FREE else cell for cell in cells
    )


def _wordings(span: Span, *, counted: bool) -> list[str]:
    """Return what a cell may say, the fullest first; `counted` with its days where those are all."""
    count = f" {span.days} d" if counted else ""
    match span.use:
        case Use.STAY | Use.STOOD:
            return [f"{span.name}{count}", span.name, *short_names(span.name)]
        case Use.PLANTED:
            return [f"{span.name}{count}", span.name, pgettext("on the board", "crop"), ""]
        case Use.RESTING:
            rest = pgettext("on the board", "rest")
            return [f"{rest}{count}", rest, ""]
        case Use.HELD:
            held_for = _("held for {crop}").format(crop=span.name)
            return [f"{held_for}{count}", held_for, pgettext("on the board", "held"), ""]
        case Use.CLOSED:
            closed = _("not to be had")
            shut = pgettext("on the board", "shut")
            return [f"{closed}: {span.name}", f"{closed}{count}", closed, shut, ""]
        case Use.OFF:
            return [f"{_('off the beds')}{count}", pgettext("on the board", "off")]
        case Use.FREE:
            free = pgettext("on the board", "free")
            return [f"{free}{count}", free, ""]


def short_names(name: str) -> list[str]:
    """Return ever shorter forms of a pen's name: without the word pen, then its initials."""
    words = name.split()
    generic = {"pen", pgettext("in the name of a pen", "pen")}
    telling = [word for word in words if word.lower() not in generic] or words
    return [" ".join(telling), "".join(word[0] for word in telling)]


def _longest_that_fits(wordings: Sequence[str], days: int) -> str:
    letters = (_DAY_PX * days - _PADDING_PX) / _LETTER_PX
    return next((text for text in wordings if len(text) <= letters), wordings[-1])


def _sentence(span: Span) -> str:
    said = {
        Use.STAY: _("{pen} planned, locked") if span.is_locked else _("{pen} planned"),
        Use.STOOD: _("{pen} stood here"),
        Use.PLANTED: _("Planted, {crop}"),
        Use.RESTING: pgettext("of a bed", "Resting"),
        Use.HELD: _("Held for {crop}: birds would be too near its harvest"),
        Use.CLOSED: _("Not to be had: {why}") if span.name else _("Not to be had"),
        Use.OFF: _("{pen} off the beds"),
        Use.FREE: pgettext("of a bed", "Free"),
    }[span.use]
    return said.format(pen=span.name, crop=span.name, why=span.name)


def _days(span: Span) -> str:
    last = span.end_day - timedelta(days=1)
    if last == span.first_day:
        return date_words(last)
    return _("{first_day} to {last}").format(
        first_day=date_words(span.first_day), last=date_words(last)
    )
