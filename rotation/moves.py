"""The plan as a list of moves: which pen goes where on which day, how far, and why it must stand off."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from garden.models import Bed, Garden
from rotation.carrying import Point, carry_m, off_bed_in_words, place_in_words
from rotation.facts import stretch_of
from rotation.ground import centre_m, stretches
from rotation.models import Plan, PlannedStay, Stay


@dataclass(frozen=True)
class Move:
    """One planned stay, as a step from where the pen stood before.

    Days off the beds are one step however many rows tell them, each with its own reasons.
    """

    stay: PlannedStay
    end_day: date
    origin: Stay | PlannedStay | None
    """Where the pen stands before; None where its birds come from the brooder."""
    place: str
    """``place 2 of 3 from the north end``; empty where the bed takes one such pen."""
    carry_m: float | None
    """The straight way from the place before [m]; None where either end is not on the map."""

    @property
    def goes_on(self) -> bool:
        """Whether the pen merely stays where it stands."""
        return (
            self.origin is not None
            and self.origin.place == self.stay.place
            and (self.origin.end_day is None or self.origin.end_day == self.stay.first_day)
        )

    @property
    def days(self) -> int:
        """Return how long it stays. [days]"""
        return (self.end_day - self.stay.first_day).days

    @property
    def last_day(self) -> date:
        """Return its last day there."""
        return self.end_day - timedelta(days=1)

    @property
    def reasons(self) -> str:
        """Say why no bed takes the pen on the first of its days off; empty for a stay on a bed."""
        return off_bed_in_words(self.stay.because) if self.stay.bed_id is None else ""


@dataclass(frozen=True)
class PlanCost:
    """What a plan asks of the grower, and how good it is known to be."""

    moves: int
    carried_m: float
    off_bed_days: int
    gap_percent: float
    """How much better any other plan could be, at most, by the planner's reckoning. [%]"""


def moves_of(
    garden: Garden, planned: Sequence[PlannedStay], standing: Iterable[Stay]
) -> list[Move]:
    """Return every planned stay as a move, in order of day and pen.

    Parameters
    ----------
    planned : sequence of PlannedStay
        With `bed`, `pen` and `batch` loaded.
    standing : iterable of Stay
        Where pens stand now, with `bed` loaded.
    """
    now = {(stay.pen_id, stay.batch_id): stay for stay in standing}
    moves: list[Move] = []
    in_order = sorted(planned, key=lambda stay: (stay.pen_id, stay.batch_id, stay.first_day))
    for run, stays in groupby(in_order, key=lambda stay: (stay.pen_id, stay.batch_id)):
        moves += _run_moves(garden, list(stays), now.get(run))
    return sorted(moves, key=lambda move: (move.stay.first_day, move.stay.pen.name))


def next_move(moves: Iterable[Move], on: date) -> Move | None:
    """Return the first move onto a bed that is still to be made."""
    return next(
        (move for move in moves if move.stay.bed_id and move.end_day > on and not move.goes_on),
        None,
    )


def plan_cost(plan: Plan, moves: Iterable[Move]) -> PlanCost:
    """Sum up a plan."""
    moves = list(moves)
    made = [move for move in moves if move.stay.bed_id and not move.goes_on]
    return PlanCost(
        moves=len(made),
        carried_m=sum(move.carry_m or 0.0 for move in made),
        off_bed_days=sum(move.days for move in moves if move.stay.bed_id is None),
        gap_percent=max(0.0, 100 * plan.gap),
    )


def _run_moves(
    garden: Garden, stays: Sequence[PlannedStay], origin: Stay | PlannedStay | None
) -> Iterator[Move]:
    for stay, end_day in _steps(stays):
        yield Move(
            stay=stay,
            end_day=end_day,
            origin=origin,
            place=bed_place(garden, stay.bed, stay) if stay.bed else "",
            carry_m=carry_m(_point(origin), _point(stay)),
        )
        origin = stay


def _steps(stays: Sequence[PlannedStay]) -> list[tuple[PlannedStay, date]]:
    """Return each stay with its end, days off the beds in a row as the first of them."""
    steps: list[tuple[PlannedStay, date]] = []
    for stay in stays:
        before, end_day = steps[-1] if steps else (None, None)
        if before and before.bed_id is None is stay.bed_id and end_day == stay.first_day:
            steps[-1] = before, stay.end_day
        else:
            steps.append((stay, stay.end_day))
    return steps


def bed_place(garden: Garden, bed: Bed, stay: Stay | PlannedStay) -> str:
    """Return which of the bed's places a stay takes, in words; empty where there is only one."""
    offsets_mm = [place.offset_mm for place in stretches(bed, stay.pen, garden)]
    return place_in_words(stay.offset_mm, offsets_mm, lies_across=bed.lies_across)


def _point(stay: Stay | PlannedStay | None) -> Point | None:
    return centre_m(stay.bed, stretch_of(stay)) if stay and stay.bed else None
