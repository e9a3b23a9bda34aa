"""What would make a batch fit: single changes, each found true by planning the changed batch.

None is a rule of thumb: the figure beside each cure is the off-bed days of a plan that keeps every rule.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import timedelta
from math import ceil

from garden.day_words import day_words
from garden.models import Bed
from garden.nutrients import mass_for_load_g
from garden.units import BED_LENGTH, BIRD_MASS
from garden.words import gettext as _
from garden.words import ngettext
from pens.models import Pen
from rotation.planning import Effort
from rotation.season import DraftBatch, Trial, TrialGround
from rotation.why.ladder import best_size, climbed

CURE_EFFORT = Effort(seconds=0.5, rounds=15)
"""For each of the dozen or so changed batches that are tried; less work than the preview's, which therefore
finds what a cure has found, or better. Our choice."""
EARLIER_DAYS = 21
"""How much younger the birds are tried to be processed at most. Our choice."""
LEAST_DAYS_OUT = 3
OTHER_DATES_DAYS = (-28, -14, 14, 28, 56)
"""By how much the hatch day is tried to be moved. Our choice."""
STRIP_WIDTH_MM, STRIP_STEP_MM, LONGEST_STRIP_MM = 1500.0, 1000.0, 60_000.0
"""The grass strip that is tried: its width, and its length in whole metres. Our choice."""
STRIP_TRIES = 3


@dataclass(frozen=True)
class Cure:
    """One change, the off-bed days it leaves, and what to put into the form for it."""

    words: str
    off_bed_days: int
    fields: dict[str, str] = field(default_factory=dict)


def cures(ground: TrialGround, trial: Trial) -> list[Cure]:
    """Return the changes that save off-bed days, those that leave fewest first.

    Takes a few seconds: about a dozen changed batches are planned.
    """
    found = [
        *_fewer_chicks(ground, trial),
        *_younger(ground, trial),
        *_other_date(ground, trial),
        *_other_pens(ground, trial),
        *_more_ground(ground, trial),
    ]
    better = [cure for cure in found if cure.off_bed_days < trial.off_bed_days]
    return sorted(better, key=lambda cure: cure.off_bed_days)


def _fewer_chicks(ground: TrialGround, trial: Trial) -> Iterator[Cure]:
    """Find the most chicks that leave no off-bed day; else the most that leave as few as the fewest do."""
    draft = trial.draft

    def fewer(size: int) -> DraftBatch:
        return replace(draft, chicks=draft.chicks - 1 - size)

    left = climbed(
        draft.chicks - len(draft.pens),
        lambda size: ground.off_bed_days(fewer(size), CURE_EFFORT),
        trial.off_bed_days,
    )
    size = best_size(left, trial.off_bed_days)
    if size is not None:
        fits = fewer(size).chicks
        words = ngettext("{n} chick instead of {before}", "{n} chicks instead of {before}", fits)
        words = words.format(n=fits, before=draft.chicks)
        yield Cure(words, left[size], {"chicks": str(fits)})


def _younger(ground: TrialGround, trial: Trial) -> Iterator[Cure]:
    """Find the least number of days earlier that leaves no off-bed day, else the best of them."""
    draft = trial.draft
    most = min(EARLIER_DAYS, (draft.processing_on - draft.leaves_brooder_on).days - LEAST_DAYS_OUT)

    def younger(size: int) -> DraftBatch:
        return replace(draft, processing_on=draft.processing_on - timedelta(days=size + 1))

    left = climbed(
        most,
        lambda size: ground.off_bed_days(younger(size), CURE_EFFORT),
        trial.off_bed_days,
    )
    size = best_size(left, trial.off_bed_days)
    if size is not None:
        on = younger(size).processing_on
        weight = BIRD_MASS.show(draft.forecast.weight_g(on).median, ground.garden.unit_system)
        words = ngettext(
            "processed {n} day younger, {day}, at about {weight}",
            "processed {n} days younger, {day}, at about {weight}",
            size + 1,
        ).format(n=size + 1, day=day_words(on), weight=weight)
        yield Cure(words, left[size], {"processing_on": on.isoformat()})


def _other_date(ground: TrialGround, trial: Trial) -> Iterator[Cure]:
    draft, tried = trial.draft, []
    for days in OTHER_DATES_DAYS:
        moved = draft.moved(days)
        if draft.hatch_on > ground.facts.on < moved.hatch_on:
            left = ground.off_bed_days(moved, CURE_EFFORT)
            tried.append((left, abs(days), moved))
    if tried:
        left, _days, moved = min(tried, key=lambda entry: entry[:2])
        dates = {
            name: getattr(moved, name).isoformat()
            for name in ("hatch_on", "leaves_brooder_on", "processing_on")
        }
        words = _("hatched on {day} instead").format(day=day_words(moved.hatch_on))
        yield Cure(words, left, dates)


def _other_pens(ground: TrialGround, trial: Trial) -> Iterator[Cure]:
    pens = tuple(ground.garden.pens.in_use())
    choices = {tuple(sorted((pen,), key=_pk)) for pen in pens} | {tuple(sorted(pens, key=_pk))}
    for choice in sorted(choices, key=lambda pens: [pen.pk for pen in pens]):
        if set(choice) == set(trial.draft.pens) or trial.draft.chicks < len(choice):
            continue
        left = ground.off_bed_days(replace(trial.draft, pens=choice), CURE_EFFORT)
        names = _(" and ").join(pen.name for pen in choice)
        fields = {"pens": ",".join(str(pen.pk) for pen in choice)}
        yield Cure(_("in {pens} instead").format(pens=names), left, fields)


def _pk(pen: Pen) -> int:
    return pen.pk


def _more_ground(ground: TrialGround, trial: Trial) -> Iterator[Cure]:
    """Find a grass strip long enough, starting from the nitrogen that has no bed now."""
    limit_g_m2 = mass_for_load_g(ground.garden.annual_limit_kg_ha, 1.0)
    missing_g = trial.dropped_g * trial.off_bed_days / max(trial.pen_days, 1)
    length_mm = _strip_length_mm(missing_g / limit_g_m2)
    for _try in range(STRIP_TRIES):
        strip = Bed(
            pk=-1,
            garden=ground.garden,
            name=_("a new grass strip"),
            kind=Bed.Kind.TURF,
            length_mm=length_mm,
            width_mm=STRIP_WIDTH_MM,
        )
        left = ground.off_bed_days(trial.draft, CURE_EFFORT, more_beds=[strip])
        if left == 0 or length_mm >= LONGEST_STRIP_MM:
            break
        length_mm = min(2 * length_mm, LONGEST_STRIP_MM)
    length, width = (
        BED_LENGTH.show(mm, ground.garden.unit_system) for mm in (length_mm, STRIP_WIDTH_MM)
    )
    words = _("a new grass strip of {length} by {width} for the pens to stand on")
    yield Cure(words.format(length=length, width=width), left)


def _strip_length_mm(area_m2: float) -> float:
    steps = ceil(area_m2 * 1e6 / STRIP_WIDTH_MM / STRIP_STEP_MM)
    return min(max(steps, 2) * STRIP_STEP_MM, LONGEST_STRIP_MM)
