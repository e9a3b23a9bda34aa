"""A bed's twelve months on a tape, as the values of a drawing, with the same in words.

PURE. The drawing is `WIDTH` units wide, whatever the year's length.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from garden.harvest_interval import HarvestRule
from rotation.calendar_letters import month_letter
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
from rotation.harvest_marks import HarvestMark, harvest_marks
from rotation.map_words import text_width

WIDTH = 640
MONTHS = 12
MONTHS_BACK = 6
"""Months before the present one on the tape: half a year each way. Our choice."""

_TAPE, _ROW, _GAP = 36, 44, 8
_LETTERING = 21


@dataclass(frozen=True, slots=True)
class Piece:
    """A run of days on the tape; `text` only where it fits."""

    use: Use
    x: int
    width: int
    text: str


@dataclass(frozen=True, slots=True)
class YearRow:
    """One place of the bed: its pieces, and the spans for those who read."""

    place: str
    y: int
    pieces: tuple[Piece, ...]
    spans: tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class MonthMark:
    """Where a month begins on the tape."""

    x: int
    middle: int
    letter: str


@dataclass(frozen=True, slots=True)
class BedYear:
    """The whole drawing."""

    first_day: date
    end_day: date
    width: int
    height: int
    tape_height: int
    row_height: int
    months: tuple[MonthMark, ...]
    rows: tuple[YearRow, ...]
    today_x: int
    marks: tuple[HarvestMark, ...] = ()
    """From when each crop may be picked; they hold for every row."""


def months_later(month: date, count: int) -> date:
    """Return the first day of the month so many months later; a negative count goes back."""
    years, index = divmod(month.month - 1 + count, 12)
    return date(month.year + years, index + 1, 1)


def bed_year(
    ground: BedGround,
    today: date,
    *,
    rule: HarvestRule,
    rest_days: int,
    fouled: Sequence[Visit] | None = None,
) -> BedYear:
    """Draw a bed's year, from the first of the month half a year ago.

    Parameters
    ----------
    ground : BedGround
        The bed with its visits and plantings.
    today : date
        Before it stands what happened, from it on what is planned.
    rule, rest_days : HarvestRule, int
        The garden's waits. [days]
    fouled : sequence of Visit, optional
        Whatever a harvest must wait for, where that is more than the visits that are drawn.
    """
    first_day = months_later(today, -MONTHS_BACK)
    scale = _Scale(first_day, months_later(first_day, MONTHS))
    rows = _rows(ground, today, scale, rule=rule, rest_days=rest_days)
    return BedYear(
        first_day=first_day,
        end_day=scale.end_day,
        width=WIDTH,
        height=rows[-1].y + _ROW + 4,
        tape_height=_TAPE,
        row_height=_ROW,
        months=tuple(_month_marks(scale)),
        rows=rows,
        today_x=scale.x(today),
        marks=tuple(
            harvest_marks(
                ground.plantings,
                ground.visits if fouled is None else fouled,
                rule=rule,
                first_day=first_day,
                end_day=scale.end_day,
                x=scale.x,
            )
        ),
    )


@dataclass(frozen=True, slots=True)
class _Scale:
    """How days become units."""

    first_day: date
    end_day: date

    def x(self, day: date) -> int:
        share = (day - self.first_day) / (self.end_day - self.first_day)
        return round(share * WIDTH)


def _rows(
    ground: BedGround, today: date, scale: _Scale, *, rule: HarvestRule, rest_days: int
) -> tuple[YearRow, ...]:
    """Return a row for each place that pens use in the year, one for the bed where they use none."""
    visits = [
        visit
        for visit in cut_at(ground.visits, today, told_on(ground.visits, today))
        if visit.first_day < scale.end_day and visit.end_day > scale.first_day
    ]
    waits = {"rule": rule, "rest_days": rest_days, "closures": ground.closures}
    return tuple(
        _row(
            place,
            _TAPE + _GAP + number * (_ROW + _GAP),
            laid_out(
                ground_spans(members, ground.plantings, **waits),
                scale.first_day,
                scale.end_day,
                # Only visits are told apart by today; a crop that stands through it is one crop.
                today=scale.first_day,
            ),
            scale,
        )
        for number, (place, members) in enumerate(place_visits(visits) or [("", [])])
    )


def _row(place: str, y: int, spans: Iterable[Span], scale: _Scale) -> YearRow:
    told = tuple(span for span in spans if span.use is not Use.FREE)
    return YearRow(place, y, tuple(_piece(span, scale) for span in told), told)


def _piece(span: Span, scale: _Scale) -> Piece:
    x = scale.x(span.first_day)
    width = max(2, scale.x(span.end_day) - x)
    named = span.use in (Use.PLANTED, Use.STAY, Use.STOOD)
    fits = named and text_width(span.name, _LETTERING) + 16 <= width
    return Piece(span.use, x, width, span.name if fits else "")


def _month_marks(scale: _Scale) -> Iterable[MonthMark]:
    for number in range(MONTHS):
        month = months_later(scale.first_day, number)
        x, end = scale.x(month), scale.x(months_later(month, 1))
        yield MonthMark(x, (x + end) // 2, month_letter(month))
