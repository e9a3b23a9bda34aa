"""What differed from a garden's other batches and the tables, and what could be tried; no cause is told."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import mean

from rotation.batch_report import BatchFigures

LOSSES_POINTS, FEED_SHARE, WEIGHT_SHARE, COST_SHARE = 3.0, 0.05, 0.05, 0.10
"""Differences from which something is told: percentage points of losses, and shares of the rest [1]. A choice:
about the spread between batches of one keeper."""
FEW_WEIGHINGS = 3
"""Weighings below which the forecast goes by its table for the most part. A choice."""


@dataclass(frozen=True)
class Remark:
    """One difference and what could be tried."""

    differs: str
    attempt: str


def remarks(one: BatchFigures, others: Sequence[BatchFigures]) -> list[Remark]:
    """Return what differed in a batch, against the others where there are some and the tables otherwise."""
    found: list[Remark] = []
    for look in (_losses, _weight, _feed, _off_beds, _cost):
        found += look(one, others)
    weighed = len(one.batch.weighing_set.all())
    if weighed < FEW_WEIGHINGS:
        times = {0: "not at all", 1: "once", 2: "twice"}[weighed]
        found.append(
            Remark(
                f"These birds were weighed {times}.",
                "Weigh ten birds in weeks 2, 3 and 4: it says sooner whether they fall behind.",
            )
        )
    return found


def _mean_of(
    others: Sequence[BatchFigures], figure: Callable[[BatchFigures], float | None]
) -> float | None:
    known = [value for each in others if (value := figure(each)) is not None]
    return mean(known) if known else None


def _losses(one: BatchFigures, others: Sequence[BatchFigures]) -> Iterator[Remark]:
    usual, whose = one.usual_lost_percent, "the usual schedule"
    own = _mean_of(others, lambda each: each.totals.lost_percent)
    if own is not None:
        usual, whose = own, "your other batches"
    if one.totals.lost_percent <= usual + LOSSES_POINTS:
        return
    worst = max(one.weeks, key=lambda week: week.lost - week.usual)
    yield Remark(
        f"{one.totals.lost_percent:.0f} % of the chicks were lost, {usual:.0f} % in {whose}; "
        f"most over the usual in week {worst.week}, {worst.lost} of {worst.alive}.",
        f"Note the cause of each loss, and look twice a day in week {worst.week}.",
    )


def _weight(one: BatchFigures, others: Sequence[BatchFigures]) -> Iterator[Remark]:
    if one.weight_ratio is None:
        return
    own = _mean_of(others, lambda each: each.weight_ratio)
    usual, whose = (own, "your other batches") if own is not None else (1.0, "the table")
    off = one.weight_ratio / usual - 1
    if abs(off) < WEIGHT_SHARE:
        return
    side = "lighter" if off < 0 else "heavier"
    way = (
        "Plan a few days more, or the weight that these birds do reach."
        if off < 0
        else "They could go sooner, or be planned for more weight."
    )
    yield Remark(
        f"They were {abs(100 * off):.0f} % {side} at {one.age_days} days than {whose} would have them.",
        way,
    )


def _feed(one: BatchFigures, others: Sequence[BatchFigures]) -> Iterator[Remark]:
    ratio, own = one.totals.feed_per_gain, _mean_of(others, lambda each: each.totals.feed_per_gain)
    if ratio is None or own is None or abs(ratio / own - 1) < FEED_SHARE:
        return
    if ratio > own:
        way = "Count the store at the start and the end, and look under the feeders for what is spilt."
    else:
        way = "Whatever you did with the feed, note it: it took less."
    yield Remark(
        f"{ratio:.2f} kg of feed for each kilogram gained, {own:.2f} in your other batches.", way
    )


def _off_beds(one: BatchFigures, others: Sequence[BatchFigures]) -> Iterator[Remark]:
    if not one.off_bed_days:
        return
    own = _mean_of(others, lambda each: float(each.off_bed_days))
    beside = "" if own is None else f", {own:.0f} in your other batches"
    days = "1 day" if one.off_bed_days == 1 else f"{one.off_bed_days} days"
    yield Remark(
        f"Pens stood off the beds for {days}{beside}.",
        "Look at the preview before you order chicks: it tries fewer birds and other dates.",
    )


def _cost(one: BatchFigures, others: Sequence[BatchFigures]) -> Iterator[Remark]:
    per_kg = one.account.per_kg if one.account else None
    own = [each.account.per_kg for each in others if each.account and each.account.per_kg]
    if per_kg is None or not own:
        return
    usual = sum(own, Decimal(0)) / len(own)
    if abs(per_kg / usual - 1) < COST_SHARE:
        return
    line = max(one.account.lines, key=lambda each: each.amount)
    yield Remark(
        f"A kilogram dressed cost {per_kg:.2f}, {usual:.2f} in your other batches; "
        f"the largest line is {line.what.lower()}, {line.amount:.2f}.",
        "Hold the lines of both accounts against each other before you buy.",
    )
