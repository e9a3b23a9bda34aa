"""A plan that life has broken in one place is mended there, and what is told is never traded for worse."""

from datetime import timedelta

import pytest

from flocks.models import BatchPen
from garden.models import Bed, Garden
from pens.models import Pen
from rotation.facts import GardenFacts, facts_of
from rotation.mending import mending_problem
from rotation.models import Plan, PlannedStay
from rotation.planning import Effort, current_plan, plan_again
from rotation.problems import SizeProblem, size_problem, sizes_of
from rotation.told import ground_fingerprint
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    PenFactory,
    PlanFactory,
    PlannedStayFactory,
    PlantingFactory,
)

pytestmark = pytest.mark.django_db
DAYS = 4


def day(number: int) -> object:
    return TODAY + timedelta(days=number)


def small_bed(garden: Garden, name: str, x_m: float) -> Bed:
    return BedFactory(garden=garden, name=name, length_mm=1200, width_mm=1200, x_m=x_m)


def flock(garden: Garden, name: str, **size: float) -> Pen:
    """Return a pen of two birds that are out from today, for four days."""
    batch = BatchFactory(garden=garden, chicks=2, processing_on=day(DAYS))
    return BatchPenFactory(
        batch=batch, birds=2, pen=PenFactory(garden=garden, name=name, **size)
    ).pen


def tell(plan: Plan, pen: Pen, bed: Bed, first: int, end: int) -> PlannedStay:
    return PlannedStayFactory(
        plan=plan,
        pen=pen,
        batch=BatchPen.objects.get(pen=pen).batch,
        bed=bed,
        offset_mm=(bed.length_mm - pen.length_mm) / 2,
        stretch_mm=pen.length_mm,
        first_day=day(first),
        end_day=day(end),
    )


def told_now(garden: Garden) -> tuple[GardenFacts, SizeProblem]:
    facts = facts_of(garden, TODAY)
    told = list(current_plan(garden).stays.all())
    return facts, size_problem(facts, sizes_of(facts)[0], decided=[], announced=told)


@pytest.fixture
def told(garden: Garden) -> tuple[Plan, list[Pen], list[Bed]]:
    """Return two pens, told to stay two days each on four of six beds in a row."""
    beds = [small_bed(garden, f"Bed {number + 1}", 2.0 * number) for number in range(6)]
    pens = [flock(garden, "Pen A"), flock(garden, "Pen B")]
    plan = PlanFactory(garden=garden)
    for turn, pen in enumerate(pens):
        tell(plan, pen, beds[2 * turn], 0, 2)
        tell(plan, pen, beds[2 * turn + 1], 2, 4)
    return plan, pens, beds


def test_only_the_pen_whose_bed_was_planted_is_to_be_moved(garden, told):
    _, pens, beds = told
    PlantingFactory(bed=beds[1], starts_on=TODAY)
    _, part = told_now(garden)
    by_pen = {part.runs[run.id].pen: run for run in mending_problem(part).runs}
    assert by_pen[pens[0]].pinned == ()
    assert by_pen[pens[1]].pinned == by_pen[pens[1]].announced != ()


def test_the_other_pen_stays_as_told(garden, told):
    _, pens, beds = told
    PlantingFactory(bed=beds[1], starts_on=TODAY)
    made = plan_again(garden=garden, on=TODAY, effort=Effort(rounds=20))
    stays = [(stay.bed, stay.first_day) for stay in made.stays.filter(pen=pens[1])]
    assert stays == [(beds[2], day(0)), (beds[3], day(2))]
    assert all(sentence.startswith("Pen A") for sentence in made.changes)
    assert not made.stays.filter(bed=beds[1]).exists()


def test_where_nothing_told_can_stand_there_is_nothing_to_mend(garden, told):
    _, _, beds = told
    for bed in beds:
        PlantingFactory(bed=bed, starts_on=TODAY)
    _, part = told_now(garden)
    assert mending_problem(part) is None


def test_a_large_pen_does_not_take_the_ground_that_a_small_one_was_told(garden):
    """By itself it would, for it was told to stand off the beds; then the small one had to."""
    bed = BedFactory(garden=garden, name="Wide", length_mm=2000, width_mm=1600)
    large = flock(garden, "Large", length_mm=1900, width_mm=1500)
    small = flock(garden, "Small")
    plan = PlanFactory(garden=garden)
    tell(plan, small, bed, 0, 4)
    off = {"bed": None, "stretch_mm": 0, "first_day": TODAY, "end_day": day(DAYS)}
    batch = BatchPen.objects.get(pen=large).batch
    PlannedStayFactory(plan=plan, pen=large, batch=batch, **off)
    made = plan_again(garden=garden, on=TODAY, effort=Effort(rounds=20))
    assert {(stay.pen, stay.bed) for stay in made.stays.all()} == {(large, None), (small, bed)}
    assert made.changes == []


def test_a_garden_just_made_has_the_ground_of_the_same_garden_read(garden):
    """A row that was just saved holds other kinds of numbers and words than one that was read."""
    garden.nitrogen_policy = Garden.NitrogenPolicy.CROP_NEED
    garden.rest_days, garden.annual_limit_kg_ha = 30, 170
    garden.save()
    read = Garden.objects.get(pk=garden.pk)
    fingerprints = {ground_fingerprint(facts_of(each, TODAY)) for each in (garden, read)}
    assert len(fingerprints) == 1
    read.rest_days = 31
    assert ground_fingerprint(facts_of(read, TODAY)) not in fingerprints
