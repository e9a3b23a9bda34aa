"""Changes that are only thought of, as a grower says them."""

from collections.abc import Callable, Iterable
from datetime import timedelta

from django.utils.text import capfirst

from flocks.models import Batch
from garden.day_words import day_words
from garden.models import Garden, Planting
from garden.units import BED_LENGTH
from garden.words import gettext as _
from garden.words import local_mark, mark, ngettext
from rotation.bird_counts import birds
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

GONE = mark("something that is no longer there")
MORE_OF_KIND = {
    "raised": mark("one more raised bed, {name}, {length} by {width}"),
    "ground": mark("one more bed in the ground, {name}, {length} by {width}"),
    "turf": mark("one more grass strip, {name}, {length} by {width}"),
}


def change_words(change: Change, facts: GardenFacts) -> str:
    """Say one change, against the facts as they are: ``Spring: 8 birds instead of 10``.

    One query for a planting or for pens; what its ids stand for may be gone by now.
    """
    said = _WORDS[type(change)](change, facts)
    return capfirst(said or _(GONE))


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
        return _(
            "Process {birds} of {batch} on {day} and log it that day. Until then the plan reckons with all "
            "of them."
        ).format(birds=birds(change.birds), batch=batch, day=day_words(change.on))
    if isinstance(change, Birds) and batch and batch.hatch_on <= facts.on:
        fewer = _alive(facts, change.batch) - change.birds
        return _(
            "{batch} has {birds} more than that. Log them as processed or lost when they go; until then the "
            "plan reckons with all of them."
        ).format(batch=batch, birds=birds(fewer))
    return None


def _batch(facts: GardenFacts, batch_id: int) -> Batch | None:
    return next((run.batch for run in facts.runs if run.batch.pk == batch_id), None)


def _alive(facts: GardenFacts, batch_id: int) -> int:
    return sum(run.birds for run in facts.runs if run.batch.pk == batch_id)


def _birds(change: Birds, facts: GardenFacts) -> str | None:
    batch = _batch(facts, change.batch)
    alive = _alive(facts, change.batch)
    said = _("{batch}: {birds} instead of {before}")
    return batch and said.format(batch=batch, birds=birds(change.birds), before=alive)


def _shift(change: Shift, facts: GardenFacts) -> str | None:
    batch = _batch(facts, change.batch)
    if batch is None:
        return None
    days = abs(change.days)
    said = (
        ngettext(
            "{batch} {n} day later, hatched on {day}",
            "{batch} {n} days later, hatched on {day}",
            days,
        )
        if change.days > 0
        else ngettext(
            "{batch} {n} day earlier, hatched on {day}",
            "{batch} {n} days earlier, hatched on {day}",
            days,
        )
    )
    hatch_on = day_words(batch.hatch_on + timedelta(days=change.days))
    return said.format(batch=batch, n=days, day=hatch_on)


def _pens(change: Pens, facts: GardenFacts) -> str | None:
    batch = _batch(facts, change.batch)
    names = [pen.name for pen in facts.garden.pens.filter(pk__in=change.pens)]
    pens = _(" and ").join(names) or _(GONE)
    return batch and _("{batch} in {pens}").format(batch=batch, pens=pens)


def _part_processed(change: PartProcessed, facts: GardenFacts) -> str | None:
    batch = _batch(facts, change.batch)
    said = _("{birds} of {batch} processed on {day}")
    return batch and said.format(birds=birds(change.birds), batch=batch, day=day_words(change.on))


def _processed(change: Processed, facts: GardenFacts) -> str | None:
    batch = _batch(facts, change.batch)
    said = _("{batch} processed on {day} instead of {before}")
    return batch and said.format(
        batch=batch, day=day_words(change.on), before=day_words(batch.processing_on)
    )


def _rule(change: Rule, facts: GardenFacts) -> str:
    name = Garden._meta.get_field(change.name).verbose_name
    said = (
        _("{rule}: {n} kg/ha instead of {before}")
        if change.name == "annual_limit_kg_ha"
        else ngettext(
            "{rule}: {n} day instead of {before}",
            "{rule}: {n} days instead of {before}",
            round(change.value),
        )
    )
    value, before = (
        local_mark(f"{number:.10g}")
        for number in (change.value, getattr(facts.garden, change.name))
    )
    return said.format(rule=name, n=value, before=before)


def _more_bed(change: MoreBed, facts: GardenFacts) -> str:
    length, width = (
        BED_LENGTH.show(side_mm, facts.garden.unit_system)
        for side_mm in (change.length_mm, change.width_mm)
    )
    said = _(MORE_OF_KIND[change.kind_of_bed])
    return said.format(name=change.name, length=length, width=width)


def _cleared(change: Cleared, facts: GardenFacts) -> str | None:
    planting = (
        Planting.objects.of(facts.garden)
        .filter(pk=change.planting)
        .select_related("crop", "bed")
        .first()
    )
    return planting and _("{crop} in {bed} cleared on {day} instead of {before}").format(
        crop=planting.crop,
        bed=planting.bed,
        day=day_words(change.on),
        before=day_words(planting.ends_on),
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
