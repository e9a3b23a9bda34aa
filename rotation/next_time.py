"""What differed from a garden's other batches and the tables, and what could be tried; no cause is told."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import mean

from flocks.batch_money import summed
from garden.words import figure, ngettext
from garden.words import gettext as _
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
        weighings = (
            _("These birds were weighed not at all."),
            _("These birds were weighed once."),
            _("These birds were weighed twice."),
        )
        found.append(
            Remark(
                weighings[weighed],
                _("Weigh ten birds in weeks 2, 3 and 4: it says sooner whether they fall behind."),
            )
        )
    return found


def _mean_of(
    others: Sequence[BatchFigures], of: Callable[[BatchFigures], float | None]
) -> float | None:
    known = [value for each in others if (value := of(each)) is not None]
    return mean(known) if known else None


def _losses(one: BatchFigures, others: Sequence[BatchFigures]) -> Iterator[Remark]:
    usual, own = one.usual_lost_percent, _mean_of(others, lambda each: each.totals.lost_percent)
    said = _(
        "{lost} % of the chicks were lost, {usual} % in the usual schedule; most over the usual in week "
        "{week}, {dead} of {alive}."
    )
    if own is not None:
        usual = own
        said = _(
            "{lost} % of the chicks were lost, {usual} % in your other batches; most over the usual in week "
            "{week}, {dead} of {alive}."
        )
    if one.totals.lost_percent <= usual + LOSSES_POINTS:
        return
    worst = max(one.weeks, key=lambda week: week.lost - week.usual)
    yield Remark(
        said.format(
            lost=f"{one.totals.lost_percent:.0f}",
            usual=f"{usual:.0f}",
            week=worst.week,
            dead=worst.lost,
            alive=worst.alive,
        ),
        _("Note the cause of each loss, and look twice a day in week {week}.").format(
            week=worst.week
        ),
    )


def _weight(one: BatchFigures, others: Sequence[BatchFigures]) -> Iterator[Remark]:
    if one.weight_ratio is None:
        return
    own = _mean_of(others, lambda each: each.weight_ratio)
    off = one.weight_ratio / (1.0 if own is None else own) - 1
    if abs(off) < WEIGHT_SHARE:
        return
    if off < 0:
        said = (
            _("They were {n} % lighter at {age} days than the table would have them.")
            if own is None
            else _("They were {n} % lighter at {age} days than your other batches would have them.")
        )
        way = _("Plan a few days more, or the weight that these birds do reach.")
    else:
        said = (
            _("They were {n} % heavier at {age} days than the table would have them.")
            if own is None
            else _("They were {n} % heavier at {age} days than your other batches would have them.")
        )
        way = _("They could go sooner, or be planned for more weight.")
    yield Remark(said.format(n=f"{abs(100 * off):.0f}", age=one.age_days), way)


def _feed(one: BatchFigures, others: Sequence[BatchFigures]) -> Iterator[Remark]:
    ratio, own = one.totals.feed_per_gain, _mean_of(others, lambda each: each.totals.feed_per_gain)
    if ratio is None or own is None or abs(ratio / own - 1) < FEED_SHARE:
        return
    if ratio > own:
        way = _(
            "Count the store at the start and the end, and look under the feeders for what is spilt."
        )
    else:
        way = _("Whatever you did with the feed, note it: it took less.")
    said = _("{ratio} kg of feed for each kilogram gained, {usual} in your other batches.")
    yield Remark(said.format(ratio=figure(ratio, 2), usual=figure(own, 2)), way)


def _off_beds(one: BatchFigures, others: Sequence[BatchFigures]) -> Iterator[Remark]:
    if not one.off_bed_days:
        return
    own = _mean_of(others, lambda each: float(each.off_bed_days))
    said = (
        ngettext(
            "Pens stood off the beds for {n} day.",
            "Pens stood off the beds for {n} days.",
            one.off_bed_days,
        )
        if own is None
        else ngettext(
            "Pens stood off the beds for {n} day, {usual} in your other batches.",
            "Pens stood off the beds for {n} days, {usual} in your other batches.",
            one.off_bed_days,
        )
    )
    yield Remark(
        said.format(n=one.off_bed_days, usual="" if own is None else f"{own:.0f}"),
        _("Look at the preview before you order chicks: it tries fewer birds and other dates."),
    )


def _cost(one: BatchFigures, others: Sequence[BatchFigures]) -> Iterator[Remark]:
    per_kg = one.account.per_kg if one.account else None
    own = [each.account.per_kg for each in others if each.account and each.account.per_kg]
    if per_kg is None or not own:
        return
    usual = sum(own, Decimal(0)) / len(own)
    if abs(per_kg / usual - 1) < COST_SHARE:
        return
    line, unit_kg = summed(one.account.lines)[0], one.account.unit_kg
    said = (
        _(
            "A kilogram dressed cost {cost}, {usual} in your other batches; the largest line is {line}, "
            "{amount}."
        )
        if unit_kg == 1
        else _(
            "A pound dressed cost {cost}, {usual} in your other batches; the largest line is {line}, "
            "{amount}."
        )
    )
    yield Remark(
        said.format(
            cost=figure(per_kg * unit_kg, 2),
            usual=figure(usual * unit_kg, 2),
            line=line.what.lower(),
            amount=figure(line.amount, 2),
        ),
        _("Hold the lines of both accounts against each other before you buy."),
    )
