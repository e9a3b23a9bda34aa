"""Changes that are only thought of, as a grower says them."""

from collections.abc import Callable, Iterable
from datetime import timedelta

from django.utils.text import capfirst

from flocks.models import Batch
from garden.day_words import day_words
from garden.models import Garden, Planting
from garden.units import BED_LENGTH
from rotation.change_kinds import (
    Birds,
    Change,
    Cleared,
    MoreBed,
    PartProcessed,
    Pens,
    Processed,
    Rule,
    Shift,
)
from rotation.facts import GardenFacts

GONE = "something that is no longer there"
RULE_UNITS = {"annual_limit_kg_ha": "kg/ha"}
KINDS_OF_BED = {"raised": "raised bed", "ground": "bed in the ground", "turf": "grass strip"}


def change_words(change: Change, facts: GardenFacts) -> str:
    """Say one change, against the facts as they are: ``Spring: 8 birds instead of 10``.

    One query for a planting or for pens; what its ids stand for may be gone by now.
    """
    said = _WORDS[type(change)](change, facts)
    return capfirst(said or GONE)


def changes_words(changes: Iterable[Change], facts: GardenFacts) -> list[str]:
    """Say each of some changes."""
    return [change_words(change, facts) for change in changes]


def by_hand_words(change: Change, facts: GardenFacts) -> str | None:
    """Say what the grower must do and log when a change is accepted; None where accepting writes it down.

    Birds that are hatched become fewer by a loss or a processing only, and processing a part is logged on its
    day: to write down either ahead would be a record of what has not happened.
    """
    batch = _batch(facts, getattr(change, "batch", 0))
    if isinstance(change, PartProcessed):
        return (
            f"Process {birds_words(change.birds)} of {batch} on {day_words(change.on)} and log it that day. "
            "Until then the plan reckons with all of them."
        )
    if isinstance(change, Birds) and batch and batch.hatch_on <= facts.on:
        fewer = _alive(facts, change.batch) - change.birds
        return (
            f"{batch} has {birds_words(fewer)} more than that. Log them as processed or lost when they go; "
            "until then the plan reckons with all of them."
        )
    return None


def birds_words(count: int) -> str:
    """Return ``1 bird`` or ``8 birds``."""
    return f"{count} bird{'' if count == 1 else 's'}"


def _batch(facts: GardenFacts, batch_id: int) -> Batch | None:
    return next((run.batch for run in facts.runs if run.batch.pk == batch_id), None)


def _alive(facts: GardenFacts, batch_id: int) -> int:
    return sum(run.birds for run in facts.runs if run.batch.pk == batch_id)


def _birds(change: Birds, facts: GardenFacts) -> str | None:
    batch = _batch(facts, change.batch)
    alive = _alive(facts, change.batch)
    return batch and f"{batch}: {birds_words(change.birds)} instead of {alive}"


def _shift(change: Shift, facts: GardenFacts) -> str | None:
    batch = _batch(facts, change.batch)
    if batch is None:
        return None
    days = abs(change.days)
    when = "later" if change.days > 0 else "earlier"
    hatch_on = day_words(batch.hatch_on + timedelta(days=change.days))
    return f"{batch} {days} day{'' if days == 1 else 's'} {when}, hatched on {hatch_on}"


def _pens(change: Pens, facts: GardenFacts) -> str | None:
    batch = _batch(facts, change.batch)
    names = [pen.name for pen in facts.garden.pens.filter(pk__in=change.pens)]
    return batch and f"{batch} in {' and '.join(names) or GONE}"


def _part_processed(change: PartProcessed, facts: GardenFacts) -> str | None:
    batch = _batch(facts, change.batch)
    return batch and f"{birds_words(change.birds)} of {batch} processed on {day_words(change.on)}"


def _processed(change: Processed, facts: GardenFacts) -> str | None:
    batch = _batch(facts, change.batch)
    return batch and (
        f"{batch} processed on {day_words(change.on)} instead of {day_words(batch.processing_on)}"
    )


def _rule(change: Rule, facts: GardenFacts) -> str:
    name = Garden._meta.get_field(change.name).verbose_name
    unit = RULE_UNITS.get(change.name) or ("day" if change.value == 1 else "days")
    before = getattr(facts.garden, change.name)
    return f"{name}: {change.value:.10g} {unit} instead of {before:.10g}"


def _more_bed(change: MoreBed, facts: GardenFacts) -> str:
    sides = (
        BED_LENGTH.show(side_mm, facts.garden.unit_system)
        for side_mm in (change.length_mm, change.width_mm)
    )
    return f"one more {KINDS_OF_BED[change.kind_of_bed]}, {change.name}, {' by '.join(sides)}"


def _cleared(change: Cleared, facts: GardenFacts) -> str | None:
    planting = (
        Planting.objects.of(facts.garden)
        .filter(pk=change.planting)
        .select_related("crop", "bed")
        .first()
    )
    return planting and (
        f"{planting.crop} in {planting.bed} cleared on {day_words(change.on)} "
        f"instead of {day_words(planting.ends_on)}"
    )


_WORDS: dict[type[Change], Callable[..., str | None]] = {
    Birds: _birds,
    Shift: _shift,
    Pens: _pens,
    PartProcessed: _part_processed,
    Processed: _processed,
    Rule: _rule,
    MoreBed: _more_bed,
    Cleared: _cleared,
}
