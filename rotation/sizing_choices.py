"""Which pens, how many birds, and which proposals are worth showing, when a season is sized.

PURE.
"""

from collections.abc import Sequence

from rotation.sizing import BatchSize, Bird, Limits, Offer, PenFloor
from rotation.sizing_dates import back_to_back, hatch_days
from rotation.sizing_walk import Walk

SQUARE_FEET_A_BIRD = 2.0
FLOOR_A_BIRD_M2 = SQUARE_FEET_A_BIRD * 0.09290304
"""Floor that the rule of thumb gives a bird [m²]. Published: Certified Naturally Grown, penned and moved
daily."""


def most_that_fit(
    walk: Walk,
    day: int,
    pens: Sequence[PenFloor],
    bird: Bird,
    least_most: tuple[int, int],
    allowed: int,
) -> tuple[int, Walk | None]:
    """Return the most chicks that keep the allowed off-bed days, and the ground after them."""
    low, high = least_most
    found: tuple[int, Walk | None] = (0, None)
    probe = high
    while low <= high:
        after = walk.copy()
        batch = BatchSize(day, probe, tuple(pen.pk for pen in pens))
        if after.take(batch, shared_by_floor(probe, pens), bird) <= allowed:
            found, low = (probe, after), probe + 1
        else:
            high = probe - 1
        probe = (low + high + 1) // 2
    return found


def shared_by_floor(chicks: int, pens: Sequence[PenFloor]) -> list[tuple[int, float]]:
    """Return each pen's size and its share of the chicks, by floor."""
    floor_m2 = sum(pen.floor_m2 for pen in pens)
    return [(pen.size, chicks * pen.floor_m2 / floor_m2) for pen in pens]


def pen_choices(pens: Sequence[PenFloor]) -> list[list[PenFloor]]:
    """Return all pens, the larger half of them, and the largest one, without doubles."""
    by_floor = sorted(pens, key=lambda pen: (-pen.floor_m2, pen.pk))
    counts = sorted({len(pens), (len(pens) + 1) // 2, min(1, len(pens))}, reverse=True)
    return [by_floor[:count] for count in counts if count]


def undominated(offers: Sequence[Offer]) -> list[Offer]:
    """Return the offers to which no other is better in meat and as good in off-bed days, by rising meat."""
    kept: list[Offer] = []
    for offer in sorted(offers, key=lambda offer: (offer.off_bed_days, -offer.meat_kg)):
        if offer.batches and (not kept or offer.meat_kg > kept[-1].meat_kg + 1e-6):
            kept.append(offer)
    return kept


def by_floor_alone(bird: Bird, limits: Limits) -> list[BatchSize]:
    """Return what the rule of thumb proposes: the pens full by floor, one batch after the other."""
    pens = pen_choices(limits.pens)[0]
    chicks = int(sum(pen.floor_m2 for pen in pens) / FLOOR_A_BIRD_M2 + 1e-9)
    days = back_to_back(hatch_days(pens, bird, limits), bird)
    return [BatchSize(day, chicks, tuple(pen.pk for pen in pens)) for day in days]
