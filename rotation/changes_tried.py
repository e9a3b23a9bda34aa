"""What a garden would be with some changes: facts in, changed facts out; nothing is saved.

Every change is applied to a copy, so the same facts can be tried with any number of lists.
"""

from collections.abc import Iterable, Sequence
from copy import copy
from dataclasses import replace
from datetime import date, timedelta
from itertools import groupby, pairwise

from django.core.exceptions import ValidationError

from garden.actions import plot_of
from garden.day_words import day_words
from garden.layout import next_plot
from garden.models import Bed, Garden, Planting
from garden.words import gettext as _
from rotation.batch_tried import BatchTried
from rotation.change_kinds import (
    Birds,
    Change,
    ChangeError,
    Cleared,
    MoreBed,
    PartProcessed,
    Pens,
    Processed,
    Rule,
    Shift,
    UnknownRowError,
    as_json,
    read_changes,
)
from rotation.facts import GardenFacts, PenRun
from rotation.ground import BedFacts

__all__ = [
    "Birds",
    "Change",
    "ChangeError",
    "Cleared",
    "MoreBed",
    "PartProcessed",
    "Pens",
    "Processed",
    "Rule",
    "Shift",
    "UnknownRowError",
    "apply",
    "as_json",
    "read_changes",
]


def apply(facts: GardenFacts, changes: Iterable[Change]) -> GardenFacts:
    """Return the facts as they would be with every change.

    Parameters
    ----------
    facts : GardenFacts
        As `rotation.facts.facts_of` read them.
    changes : iterable of Change
        Those of one batch are taken together, whatever their order: its birds, its pens, its days.

    Returns
    -------
    GardenFacts
        A copy; garden, batches and beds in it are copies too where they differ, and not saved.

    Raises
    ------
    UnknownRowError
        For an id that is not this garden's, or of a batch that has no birds left.
    ChangeError
        For a change that cannot be, such as more birds than are alive.
    """
    tried: dict[int, BatchTried] = {}
    for change in changes:
        if isinstance(change, Rule):
            facts = replace(facts, garden=_with_rule(facts.garden, change))
        elif isinstance(change, MoreBed):
            facts = _with_bed(facts, change)
        elif isinstance(change, Cleared):
            facts = _with_planting_cleared(facts, change)
        else:
            batch = tried.setdefault(change.batch, _batch_tried(facts, change.batch))
            batch.take(change)
    garden = facts.garden
    if garden.max_stay_days < garden.min_stay_days:
        raise ChangeError(_("The longest stay must not be shorter than the shortest."))
    return _with_batches(facts, tried) if tried else facts


def _batch_tried(facts: GardenFacts, batch_id: int) -> BatchTried:
    runs = [run for run in facts.runs if run.batch.pk == batch_id]
    if not runs:
        raise UnknownRowError(_("This garden has no such batch with birds to plan for."))
    return BatchTried(facts, runs, sum(run.birds for run in runs))


def _with_batches(facts: GardenFacts, tried: dict[int, BatchTried]) -> GardenFacts:
    runs = _runs(facts, tried)
    carrying = {(run.batch.pk, run.pen.pk) for run in runs}
    pins = tuple(pin for pin in facts.pins if (pin.batch_id, pin.pen_id) in carrying)
    return replace(facts, runs=runs, pins=pins)


def _runs(facts: GardenFacts, tried: dict[int, BatchTried]) -> tuple[PenRun, ...]:
    """Return all runs, those of a changed batch in the place of the first that it had."""
    runs: list[PenRun] = []
    done: set[int] = set()
    for run in facts.runs:
        pk = run.batch.pk
        if pk not in tried:
            runs.append(run)
        elif pk not in done:
            done.add(pk)
            runs += tried[pk].changed()
    _refuse_shared_pens(runs, tried)
    return tuple(runs)


def _refuse_shared_pens(runs: Sequence[PenRun], tried: dict[int, BatchTried]) -> None:
    in_order = sorted(runs, key=lambda run: (run.pen.pk, run.first_day))
    for _pen, sharing in groupby(in_order, key=lambda run: run.pen.pk):
        for earlier, later in pairwise(sharing):
            changed = earlier.batch.pk in tried or later.batch.pk in tried
            if changed and later.first_day < earlier.end_day:
                raise ChangeError(
                    _(
                        "{pen} carries {batch} up to {end_day}, so it cannot carry {other} from {first_day}."
                    ).format(
                        pen=later.pen,
                        batch=earlier.batch,
                        end_day=day_words(earlier.end_day),
                        other=later.batch,
                        first_day=day_words(later.first_day),
                    )
                )


def _with_rule(garden: Garden, change: Rule) -> Garden:
    column = Garden._meta.get_field(change.name)
    whole = change.name.endswith("_days")
    if whole and change.value != int(change.value):
        said = _("The {rule} is a whole number of days.")
        raise ChangeError(said.format(rule=column.verbose_name))
    try:
        value = column.clean(int(change.value) if whole else change.value, None)
    except ValidationError as error:
        raise ChangeError(f"{column.verbose_name.capitalize()}: {error.messages[0]}") from None
    changed = copy(garden)
    setattr(changed, change.name, value)
    return changed


def _with_bed(facts: GardenFacts, change: MoreBed) -> GardenFacts:
    if change.width_mm > change.length_mm:
        raise ChangeError(_("Give the longer side of a bed as its length."))
    thought_of = {known.bed.name.lower() for pk, known in facts.beds.items() if pk < 0}
    saved = facts.garden.beds.filter(name__iexact=change.name).exists()
    if saved or change.name.lower() in thought_of:
        raise ChangeError(
            _("This garden already has a bed called {name}.").format(name=change.name)
        )
    plot = next_plot(
        [plot_of(known.bed) for known in facts.beds.values()],
        change.width_mm / 1000,
        change.length_mm / 1000,
    )
    # Below every saved id and every bed that was only thought of before.
    pk = min([0, *facts.beds]) - 1
    bed = Bed(
        pk=pk,
        garden=facts.garden,
        name=change.name,
        kind=change.kind_of_bed,
        length_mm=change.length_mm,
        width_mm=change.width_mm,
        x_m=plot.x_m,
        y_m=plot.y_m,
    )
    return replace(facts, beds=facts.beds | {pk: BedFacts(bed, ())})


def _with_planting_cleared(facts: GardenFacts, change: Cleared) -> GardenFacts:
    planting = (
        Planting.objects.of(facts.garden)
        .filter(pk=change.planting, bed__in=list(facts.beds))
        .select_related("crop", "bed")
        .first()
    )
    if planting is None:
        raise UnknownRowError(_("This garden has no such planting."))
    dates = planting.dates()
    cleared = replace(
        dates,
        ends_on=change.on,
        first_harvest_on=_first_harvest_on(planting, change.on, facts.on),
    )
    known = facts.beds[planting.bed_id]
    if dates not in known.plantings:
        raise ChangeError(
            _("{crop} in {bed} is cleared twice.").format(crop=planting.crop, bed=planting.bed)
        )
    # One of several alike is as good as another.
    at = known.plantings.index(dates)
    plantings = (*known.plantings[:at], cleared, *known.plantings[at + 1 :])
    return replace(facts, beds=facts.beds | {known.bed.pk: replace(known, plantings=plantings)})


def _first_harvest_on(planting: Planting, clear_on: date, today: date) -> date:
    """Return the first harvest of a planting that is cleared earlier: what is pulled up has none.

    The row asks for a first harvest before the end; for a crop that stands already it shuts no day more.
    """
    if not max(today, planting.starts_on + timedelta(days=1)) <= clear_on < planting.ends_on:
        raise ChangeError(
            _(
                "{crop} in {bed} stands from {first_day} up to {end_day}: give a day from today on and "
                "before that."
            ).format(
                crop=planting.crop,
                bed=planting.bed,
                first_day=day_words(planting.starts_on),
                end_day=day_words(planting.ends_on),
            )
        )
    if clear_on > planting.first_harvest_on:
        return planting.first_harvest_on
    if planting.starts_on > today:
        raise ChangeError(
            _(
                "{crop} in {bed} is not planted yet and first picked on {day}: clear it after that, "
                "or do not plant it."
            ).format(crop=planting.crop, bed=planting.bed, day=day_words(planting.first_harvest_on))
        )
    return clear_on - timedelta(days=1)
