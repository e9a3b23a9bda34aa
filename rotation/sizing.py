"""Sizing a season: what is wanted, what limits it, and what is proposed, as values.

PURE. Days are whole numbers counted from the day on which the season is sized.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor

PACKED_KG_PER_L = 0.36
"""Dressed birds in a litre of freezer [kg/L]. Derived: whole birds in bags, 20 to 25 lb in a cubic foot, its
upper end published (a grower's measure with air between the packs), its lower end from memory."""
CLEANING_DAYS = 7
"""Days between two batches in one pen, or in the brooder, for cleaning and rest [day]. A choice; two to
four weeks are advised, from memory, where the ground is not changed under the birds."""
LEAST_CHICKS = 4
"""Fewest chicks that are worth a brooder [birds]. A choice."""
YEAR_DAYS = 365


@dataclass(frozen=True)
class Bird:
    """What one chick of the strain wanted does, from hatching to the table."""

    out_age: int
    """Age at which it leaves the brooder [day]."""
    end_age: int
    """Age on the processing day [day]."""
    nitrogen_g: tuple[float, ...]
    """Dropped on each day outdoors, at the share of flocks that the garden plans for [g]."""
    live_kg: float
    """Live weight on the processing day [kg]."""
    meat_kg: float
    """Dressed meat that a chick bought brings on average: those that die bring none [kg]."""
    feed_kg: float
    """Eaten from hatching on [kg]."""
    cost: float = 0.0
    """Chick, feed and whatever else one costs, in the garden's money."""


@dataclass(frozen=True)
class PenFloor:
    """A pen by its floor, and the days ``[first_day, end_day)`` on which others have it."""

    pk: int
    floor_m2: float
    size: int
    """Which places it may stand on: see `rotation.sizing_walk.Place`."""
    taken: tuple[tuple[int, int], ...] = ()

    def is_free(self, first_day: int, end_day: int) -> bool:
        """Whether nobody has it on any day of ``[first_day, end_day)``, cleaning included."""
        return all(
            end_day + CLEANING_DAYS <= first or last + CLEANING_DAYS <= first_day
            for first, last in self.taken
        )


@dataclass(frozen=True)
class Limits:
    """What a season may not exceed. None where nothing is set."""

    outdoors: tuple[bool, ...]
    """By day: birds may be in the garden."""
    at_home: tuple[bool, ...]
    """By day: somebody is there to look after birds."""
    pens: tuple[PenFloor, ...]
    density_kg_m2: float
    wanted_kg: float | None = None
    """Dressed meat still wanted in the year, what is under way taken off [kg]."""
    wanted_a_year_kg: float | None = None
    """What the household eats in a year [kg]; by it the freezer empties."""
    freezer_kg: float | None = None
    in_freezer_kg: float = 0.0
    coming_kg: tuple[tuple[int, float], ...] = ()
    """Meat of batches under way by processing day [kg]."""
    birds_at_once: int | None = None
    birds_there: tuple[int, ...] = ()
    """By day: birds of batches under way."""
    budget: float | None = None
    brooder_taken: tuple[tuple[int, int], ...] = ()

    @property
    def days(self) -> int:
        """Return the days looked at."""
        return len(self.outdoors)


@dataclass(frozen=True, order=True)
class BatchSize:
    """One batch of a proposal."""

    hatch_day: int
    chicks: int
    pens: tuple[int, ...]
    """Ids of its pens."""

    def out_day(self, bird: Bird) -> int:
        """Return its first day in the garden."""
        return self.hatch_day + bird.out_age

    def end_day(self, bird: Bird) -> int:
        """Return its processing day."""
        return self.hatch_day + bird.end_age


@dataclass(frozen=True)
class Judged:
    """What the planner says of batches."""

    off_bed_days: int
    """More than is told without them."""
    nitrogen_g: float = 0.0
    """What they drop on beds [g]; what is lifted off the standing ground is not in it."""


NOTHING = Judged(0)


@dataclass(frozen=True)
class Offer:
    """Batches, and what the planner says of them."""

    batches: tuple[BatchSize, ...]
    meat_kg: float
    off_bed_days: int
    """By the planner, more than is told without them."""
    nitrogen_g: float
    """Dropped on beds [g]."""
    cost: float
    feed_kg: float

    @property
    def chicks(self) -> int:
        """Return the chicks of all batches."""
        return sum(batch.chicks for batch in self.batches)


@dataclass(frozen=True)
class Loosened:
    """What one more unit of a limit would bring."""

    key: str
    more_kg: float
    """Dressed meat more in the year, at no more off-bed days [kg]."""
    off_bed_days: int


@dataclass(frozen=True)
class Sized:
    """The answer: the best proposal, others beside it, the frontier, and the limits."""

    best: Offer | None
    others: tuple[Offer, ...]
    """The best of each number of batches, the best of all among them."""
    frontier: tuple[Offer, ...]
    """Rising in meat and in off-bed days: none is worse in both than another."""
    loosened: tuple[Loosened, ...]
    """Most meat first."""
    judged: int
    """Proposals that the planner has planned."""
    wanted_kg: float | None = None
    """Meat that was still wanted, what is under way taken off [kg]."""
    coming_kg: float = 0.0
    """Meat that is under way [kg]."""
    untried: tuple[str, ...] = ()
    """Limits that no time was left for."""
    room_g: float | None = None
    """Nitrogen that the ground may still take in the year [g]."""

    @property
    def meets_wish(self) -> bool:
        """Whether the best brings all the meat that was wanted."""
        if self.wanted_kg is None:
            return False
        return self.wanted_kg <= 1e-6 or (
            self.best is not None and self.best.meat_kg >= self.wanted_kg - 1e-6
        )


def offer_of(batches: Sequence[BatchSize], bird: Bird, judged: Judged) -> Offer:
    """Return batches with what they bring and take."""
    chicks = sum(batch.chicks for batch in batches)
    return Offer(
        batches=tuple(batches),
        meat_kg=chicks * bird.meat_kg,
        off_bed_days=judged.off_bed_days,
        nitrogen_g=judged.nitrogen_g,
        cost=chicks * bird.cost,
        feed_kg=chicks * bird.feed_kg,
    )


def most_chicks(hatch_day: int, pens: Sequence[PenFloor], bird: Bird, limits: Limits) -> int:
    """Return the most chicks of one batch by floor, by the local limit and by what is there already."""
    by_floor = floor(sum(pen.floor_m2 for pen in pens) * limits.density_kg_m2 / bird.live_kg + 1e-9)
    if limits.birds_at_once is None:
        return by_floor
    there = limits.birds_there[hatch_day : hatch_day + bird.end_age]
    return max(0, min(by_floor, limits.birds_at_once - max(there, default=0)))


def trimmed(batches: Sequence[BatchSize], bird: Bird, limits: Limits) -> list[BatchSize]:
    """Return batches in order of their days, cut to what is wanted, freezer, budget and birds at once.

    The year's meat and money cut all batches alike, so that none is left a handful; freezer and birds at once
    cut the batch that oversteps. Batches under `LEAST_CHICKS` are left out.
    """
    kept = _cut_alike(sorted(batches), bird, limits)
    done: list[BatchSize] = []
    for batch in kept:
        chicks = min(batch.chicks, _freezer_chicks(batch, done, bird, limits))
        chicks = min(chicks, _at_once(batch, done, bird, limits))
        if chicks >= max(LEAST_CHICKS, len(batch.pens)):
            done.append(BatchSize(batch.hatch_day, chicks, batch.pens))
    return done


def _cut_alike(batches: list[BatchSize], bird: Bird, limits: Limits) -> list[BatchSize]:
    most = [
        amount / each
        for amount, each in ((limits.wanted_kg, bird.meat_kg), (limits.budget, bird.cost))
        if amount is not None and each > 0
    ]
    chicks = sum(batch.chicks for batch in batches)
    # Half a bird short of the meat wanted is a bird too few.
    allowed = min([chicks, *(floor(each + 1e-9) for each in most)])
    if limits.wanted_kg is not None and most and most[0] == min(most):
        allowed = min([chicks, -int(-most[0] // 1), *(floor(each + 1e-9) for each in most[1:])])
    if allowed >= chicks or not chicks:
        return batches
    shares = [batch.chicks * allowed // chicks for batch in batches]
    for index in range(allowed - sum(shares)):
        shares[index % len(shares)] += 1
    return [
        BatchSize(batch.hatch_day, share, batch.pens)
        for batch, share in zip(batches, shares, strict=True)
    ]


def _freezer_chicks(batch: BatchSize, done: Sequence[BatchSize], bird: Bird, limits: Limits) -> int:
    if limits.freezer_kg is None:
        return batch.chicks
    stock_kg = stock_on(batch.end_day(bird), done, bird, limits)
    return max(0, floor((limits.freezer_kg - stock_kg) / bird.meat_kg + 1e-9))


def stock_on(day: int, batches: Sequence[BatchSize], bird: Bird, limits: Limits) -> float:
    """Return the meat in the freezer at the start of a day [kg], eaten evenly by what is wanted a year.

    Where no yearly amount is set nothing is taken to be eaten before the year is over.
    """
    eaten_kg = (limits.wanted_a_year_kg or 0.0) / YEAR_DAYS
    filled = [*limits.coming_kg, *((b.end_day(bird), b.chicks * bird.meat_kg) for b in batches)]
    stock_kg, at = limits.in_freezer_kg, 0
    for on, kg in sorted(entry for entry in filled if entry[0] <= day):
        stock_kg = max(0.0, stock_kg - eaten_kg * (on - at)) + kg
        at = on
    return max(0.0, stock_kg - eaten_kg * (day - at))


def _at_once(batch: BatchSize, done: Sequence[BatchSize], bird: Bird, limits: Limits) -> int:
    if limits.birds_at_once is None:
        return batch.chicks
    span = range(batch.hatch_day, batch.end_day(bird))
    there = max(
        (limits.birds_there[day] if day < len(limits.birds_there) else 0)
        + sum(other.chicks for other in done if other.hatch_day <= day < other.end_day(bird))
        for day in span
    )
    return max(0, limits.birds_at_once - there)
