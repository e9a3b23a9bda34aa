"""A plan changed by hand: judged by the rules at once, saved as one step, taken back as one."""

from datetime import date

import pytest

from garden.models import Garden, UndoStep
from garden.undo import undo_step_take_back
from rotation.edits import Wanted
from rotation.facts import GardenFacts, facts_of
from rotation.ground import stretches
from rotation.judging import Verdict, judged
from rotation.models import Closure, PinnedStay, Plan, PlannedStay
from rotation.planning import current_plan, plan_again, plan_mend
from rotation.spans import pin_of
from rotation.wishes import PlanMovedError, pin_release, stays_ask, stays_fix
from tests.conftest import TODAY
from tests.factories import PlanFactory, PlannedStayFactory, PlantingFactory, StayFactory
from tests.stories.small_plans import ROUNDS, bed, day, flock, pin, told

pytestmark = pytest.mark.django_db


@pytest.fixture
def roomy(garden: Garden) -> Garden:
    """Return a garden in which nitrogen never matters and no place must rest long."""
    garden.annual_limit_kg_ha, garden.rest_days = 5000, 3
    garden.save()
    return garden


def told_plan(batch, *stays: tuple[object, int, int]) -> Plan:
    """Tell a pen's stays: bed (None for off the beds), first and end day."""
    garden, pen = batch.garden, batch.pens.first()
    plan = PlanFactory(garden=garden, from_day=TODAY)
    for where, first, end in stays:
        add_stay(plan, batch, pen, where, first, end)
    return plan


def add_stay(plan, batch, pen, where, first: int, end: int) -> PlannedStay:
    place = stretches(where, pen, batch.garden)[0] if where else None
    return PlannedStayFactory(
        plan=plan, batch=batch, pen=pen, bed=where,
        offset_mm=place.offset_mm if place else 0, stretch_mm=place.length_mm if place else 0,
        first_day=day(first), end_day=day(end),
    )  # fmt: skip


def wish(facts: GardenFacts, was: PlannedStay, to, first: int, end: int) -> Wanted:
    run = next(run for run in facts.runs if run.pen == was.pen)
    place = stretches(to, run.pen, facts.garden)[0]
    return Wanted(run, place, day(first), day(end), was, pin_of(was, facts.pins))


def asked(garden: Garden, number: int, to, first: int, end: int) -> Verdict:
    """Judge the change of the plan's n-th stay."""
    facts, plan = facts_of(garden, TODAY), current_plan(garden)
    was = plan.stays.all()[number]
    return judged(facts, list(plan.stays.all()), [wish(facts, was, to, first, end)])


def fixed(garden: Garden, user, number: int, to, first: int, end: int) -> Plan:
    """Change the plan's n-th stay."""
    facts, plan = facts_of(garden, TODAY), current_plan(garden)
    wanted = [wish(facts, plan.stays.all()[number], to, first, end)]
    verdict = judged(facts, list(plan.stays.all()), wanted)
    assert verdict.holds, verdict.words
    return stays_fix(
        garden=garden, user=user, facts=facts, told=plan, wanted=wanted, verdict=verdict,
        said="Pen moved",
    )  # fmt: skip


def stays(verdict: Verdict) -> list[tuple[object, int, int]]:
    """Return what a verdict makes of the plan: bed's id, first and end day."""
    assert verdict.holds, verdict.words
    return sorted(
        ((row.bed_id, (row.first_day - TODAY).days, (row.end_day - TODAY).days)
         for row in verdict.stays),
        key=lambda stay: stay[1],
    )  # fmt: skip


def test_a_longer_stay_cuts_the_next_and_a_shorter_one_lets_it_come_sooner(roomy):
    one, two = bed(roomy, "One"), bed(roomy, "Two", x_m=3)
    told_plan(flock(roomy), (one, 0, 3), (two, 3, 6))
    assert stays(asked(roomy, 0, one, 0, 4)) == [(one.pk, 0, 4), (two.pk, 4, 6)]
    assert stays(asked(roomy, 0, one, 0, 2)) == [(one.pk, 0, 2), (two.pk, 2, 6)]


def test_a_later_stay_lets_the_one_before_last_longer_and_cuts_the_next(roomy):
    one, two, three = (bed(roomy, name, x_m=x) for x, name in enumerate(("One", "Two", "Three")))
    told_plan(flock(roomy), (one, 0, 2), (two, 2, 4), (three, 4, 6))
    assert stays(asked(roomy, 1, two, 3, 5)) == [(one.pk, 0, 3), (two.pk, 3, 5), (three.pk, 5, 6)]


def test_a_stay_over_the_whole_of_another_takes_its_place(roomy):
    one, two, three = (bed(roomy, name, x_m=x) for x, name in enumerate(("One", "Two", "Three")))
    told_plan(flock(roomy), (one, 0, 2), (two, 2, 3), (three, 3, 6))
    assert stays(asked(roomy, 0, one, 0, 3)) == [(one.pk, 0, 3), (three.pk, 3, 6)]


def test_another_bed_on_the_same_days_leaves_the_rest_alone(roomy):
    one, two, three = (bed(roomy, name, x_m=x) for x, name in enumerate(("One", "Two", "Three")))
    told_plan(flock(roomy), (one, 0, 2), (two, 2, 6))
    verdict = asked(roomy, 0, three, 0, 2)
    assert stays(verdict) == [(three.pk, 0, 2), (two.pk, 2, 6)]
    pen = Plan.objects.get().stays.first().pen
    assert verdict.changes == (f"{pen}, Fri 12 June to Sat 13 June: Three instead of One",)


def test_days_that_nobody_can_take_are_off_the_beds_with_the_reason(roomy):
    one, two = bed(roomy, "One"), bed(roomy, "Two", x_m=3)
    roomy.max_stay_days = 3
    roomy.save()
    told_plan(flock(roomy), (one, 0, 3), (two, 3, 6))
    verdict = asked(roomy, 0, one, 0, 2)
    # The stay on Two is as long as a stay may be, so it cannot come sooner.
    assert stays(verdict) == [(one.pk, 0, 2), (None, 2, 3), (two.pk, 3, 6)]
    [off] = [row for row in verdict.stays if row.bed_id is None]
    assert off.because


def test_days_that_were_off_the_beds_before_are_not_filled_in_passing(roomy):
    one, two = bed(roomy, "One"), bed(roomy, "Two", x_m=3)
    told_plan(flock(roomy), (one, 0, 2), (None, 2, 4), (two, 4, 6))
    assert stays(asked(roomy, 2, two, 5, 6)) == [(one.pk, 0, 2), (None, 2, 5), (two.pk, 5, 6)]


def test_days_off_the_beds_can_be_put_on_one(roomy):
    one, two = bed(roomy, "One"), bed(roomy, "Two", x_m=3)
    told_plan(flock(roomy), (one, 0, 4), (None, 4, 6))
    assert stays(asked(roomy, 1, two, 4, 6)) == [(one.pk, 0, 4), (two.pk, 4, 6)]


@pytest.mark.parametrize(
    ("first", "end", "rule", "words"),
    [
        (-1, 2, "first_day", "Thu 11 June has passed."),
        (3, 7, "days", "The last day with birds in"),
        (0, 6, "days", "longer than 4 days"),
    ],
)
def test_days_are_refused_with_the_rule_they_break(roomy, first, end, rule, words):
    one, two = bed(roomy, "One"), bed(roomy, "Two", x_m=3)
    roomy.max_stay_days = 4
    roomy.save()
    told_plan(flock(roomy), (one, 0, 3), (two, 3, 6))
    verdict = asked(roomy, 0, one, first, end)
    assert [fault.rule for fault in verdict.faults] == [rule]
    assert words in verdict.words
    assert verdict.stays == ()


def test_birds_in_the_brooder_are_not_put_out(roomy):
    one = bed(roomy, "One")
    batch = flock(roomy, comes_out=day(2))
    told_plan(batch, (one, 2, 8))
    assert "come out of the brooder on Sun 14 June" in asked(roomy, 0, one, 1, 5).words


def test_what_shuts_the_other_bed_is_said_with_its_day(roomy):
    one, two, three = (bed(roomy, name, x_m=x) for x, name in enumerate(("One", "Two", "Three")))
    told_plan(flock(roomy), (one, 0, 6))
    PlantingFactory(
        bed=two, crop__name="Lettuce", starts_on=day(-30), first_harvest_on=day(0), ends_on=day(1)
    )
    Closure.objects.create(bed=three, first_day=day(1), end_day=day(3), why="hose broken")
    assert asked(roomy, 0, two, 0, 6).words == (
        "Two, Fri 12 June, planted with Lettuce until Fri 12 June."
    )
    assert asked(roomy, 0, three, 0, 6).words == (
        "Three, Sat 13 June to Sun 14 June, not to be had until Sun 14 June: hose broken."
    )


def test_nitrogen_and_rest_are_said_in_grams_and_days(garden):
    one, two = bed(garden, "One"), bed(garden, "Two", x_m=3)
    batch = flock(garden, birds=9, pens=2)
    second = batch.pens.last()
    plan = told_plan(batch, (one, 0, 1))
    add_stay(plan, batch, second, two, 0, 1)
    nitrogen = asked(garden, 0, one, 0, 4)
    assert [fault.rule for fault in nitrogen.faults] == ["nitrogen"]
    assert not nitrogen.can_fit
    assert "the birds would leave" in nitrogen.words
    assert "there is room for 24 g" in nitrogen.words
    rest = asked(garden, 0, two, 3, 4)
    assert "rest" in {fault.rule for fault in rest.faults}
    assert f"less than 30 days of rest after {second}" in rest.words
    # Only a stay that may give way is in the way, until that is locked too.
    assert rest.can_fit
    pin(batch, two, day(0), day(1), pen=second)
    assert not asked(garden, 0, two, 3, 4).can_fit


def test_a_rule_broken_before_speaks_against_nothing(roomy):
    one, two = bed(roomy, "One"), bed(roomy, "Two", x_m=3)
    told_plan(flock(roomy), (one, 0, 3), (two, 3, 6))
    PlantingFactory(bed=two, starts_on=day(2), first_harvest_on=day(190), ends_on=day(200))
    assert asked(roomy, 0, one, 0, 4).holds
    # But what is wanted may not itself be where the crop will stand.
    assert "planted with" in asked(roomy, 1, two, 4, 6).words


def test_a_locked_stay_neither_gives_way_nor_closes_up(roomy):
    one, two = bed(roomy, "One"), bed(roomy, "Two", x_m=3)
    batch = flock(roomy)
    told_plan(batch, (one, 0, 3), (two, 3, 6))
    pin(batch, two, day(3), day(6))
    verdict = asked(roomy, 0, one, 0, 4)
    assert [fault.rule for fault in verdict.faults] == ["locked"]
    assert "is locked to Two, Mon 15 June to Wed 17 June. Unlock that first." in verdict.words
    assert stays(asked(roomy, 0, one, 0, 2)) == [(one.pk, 0, 2), (None, 2, 3), (two.pk, 3, 6)]
    # It may itself be changed.
    assert stays(asked(roomy, 1, two, 4, 6)) == [(one.pk, 0, 4), (two.pk, 4, 6)]


def test_two_pens_change_places(roomy):
    one, two = bed(roomy, "One"), bed(roomy, "Two", x_m=3)
    batch = flock(roomy, pens=2)
    first, second = batch.pens.all()
    plan = told_plan(batch, (one, 0, 6))
    add_stay(plan, batch, second, two, 0, 6)
    facts, rows = facts_of(roomy, TODAY), list(current_plan(roomy).stays.all())
    wanted = [wish(facts, rows[0], two, 0, 6), wish(facts, rows[1], one, 0, 6)]
    verdict = judged(facts, rows, wanted)
    assert verdict.holds, verdict.words
    assert {(row.pen, row.bed_id) for row in verdict.stays} == {(first, two.pk), (second, one.pk)}


def test_a_pen_that_stands_is_kept_longer_where_it_is(roomy):
    one, two = bed(roomy, "One"), bed(roomy, "Two", x_m=3)
    batch = flock(roomy)
    StayFactory(
        pen=batch.pens.get(), batch=batch, bed=one, offset_mm=40, stretch_mm=1170,
        first_day=day(-2),
    )  # fmt: skip
    told_plan(batch, (one, -2, 2), (two, 2, 6))
    assert stays(asked(roomy, 0, one, 0, 4)) == [(one.pk, 0, 4), (two.pk, 4, 6)]
    # Two days are stood already, and seven is the longest stay.
    assert "longer than 7 days" in asked(roomy, 0, one, 0, 6).words


def test_a_change_is_saved_as_a_plan_that_holds_with_the_stay_locked(roomy, owner):
    one, two = bed(roomy, "One"), bed(roomy, "Two", x_m=3)
    batch = flock(roomy)
    before = told_plan(batch, (one, 0, 3), (two, 3, 6))
    plan = fixed(roomy, owner.user, 0, one, 0, 4)
    assert told(plan) == [("One", 0, 4), ("Two", 4, 6)]
    saved = PinnedStay.objects.get()
    assert (saved.bed, saved.first_day, saved.end_day) == (one, day(0), day(4))
    assert plan.is_by_hand
    assert not before.is_by_hand
    assert plan.lower_bound <= plan.cost
    # Nothing is planned anew because of it, and planning again goes round it.
    assert plan_mend(garden=roomy, on=TODAY, because="looked") is None
    assert ("One", 0, 4) in told(plan_again(garden=roomy, on=TODAY, effort=ROUNDS))


def test_a_change_is_taken_back_whole(roomy, owner):
    one, two = bed(roomy, "One"), bed(roomy, "Two", x_m=3)
    batch = flock(roomy)
    plan_again(garden=roomy, on=TODAY, effort=ROUNDS)
    before = told(Plan.objects.first())
    fixed(roomy, owner.user, 0, one, 0, 3)
    fixed(roomy, owner.user, 0, one, 0, 4)
    assert PinnedStay.objects.get().end_day == day(4)
    undo_step_take_back(step=UndoStep.objects.latest("pk"))
    assert PinnedStay.objects.get().end_day == day(3)
    undo_step_take_back(step=UndoStep.objects.earliest("pk"))
    assert not PinnedStay.objects.exists()
    assert told(Plan.objects.first()) == before
    assert plan_mend(garden=roomy, on=TODAY, because="looked") is None
    assert batch.garden == roomy
    assert two.garden == roomy


def test_a_plan_made_meanwhile_is_not_written_over(roomy, owner):
    one, two = bed(roomy, "One"), bed(roomy, "Two", x_m=3)
    batch = flock(roomy)
    plan = told_plan(batch, (one, 0, 3), (two, 3, 6))
    facts, rows = facts_of(roomy, TODAY), list(plan.stays.all())
    wanted = [wish(facts, rows[0], one, 0, 4)]
    verdict = judged(facts, rows, wanted)
    asking = {"garden": roomy, "user": owner.user, "facts": facts, "wanted": wanted, "said": "x"}
    stays_ask(told=plan, **asking)
    with pytest.raises(PlanMovedError):
        stays_ask(told=plan, **asking)  # the same pen is fixed for that day
    PinnedStay.objects.all().delete()
    UndoStep.objects.all().delete()
    told_plan(batch, (two, 0, 6))
    with pytest.raises(PlanMovedError):
        stays_ask(told=plan, **asking)
    with pytest.raises(PlanMovedError):
        stays_fix(
            garden=roomy, user=owner.user, facts=facts, told=plan, wanted=wanted,
            verdict=verdict, said="x",
        )  # fmt: skip
    assert not PinnedStay.objects.exists()
    assert not UndoStep.objects.exists()


def test_unlocking_leaves_what_was_told_and_can_be_taken_back(roomy, owner):
    one = bed(roomy, "One")
    bed(roomy, "Two", x_m=3)
    flock(roomy)
    plan_again(garden=roomy, on=TODAY, effort=ROUNDS)
    plan = fixed(roomy, owner.user, 0, one, 0, 4)
    facts = facts_of(roomy, TODAY)
    pin_release(
        garden=roomy, user=owner.user, facts=facts, told=current_plan(roomy), pin=facts.pins[0]
    )
    assert not PinnedStay.objects.exists()
    assert plan_mend(garden=roomy, on=TODAY, because="looked") is None
    assert Plan.objects.first() == plan
    undo_step_take_back(step=UndoStep.objects.latest("pk"))
    assert PinnedStay.objects.exists()
    assert plan_mend(garden=roomy, on=TODAY, because="looked") is None


@pytest.mark.parametrize("start", [date(2026, 10, 23), date(2026, 12, 29)])
def test_days_are_moved_over_a_clock_change_and_a_year_end(roomy, settings, start):
    settings.PRETEND_TODAY = start
    one, two = bed(roomy, "One"), bed(roomy, "Two", x_m=3)
    batch = flock(roomy, comes_out=start)
    shift = (start - TODAY).days
    told_plan(batch, (one, shift, shift + 3), (two, shift + 3, shift + 6))
    facts, rows = facts_of(roomy, start), list(current_plan(roomy).stays.all())
    verdict = judged(facts, rows, [wish(facts, rows[0], one, shift, shift + 5)])
    assert [(first - shift, end - shift) for _, first, end in stays(verdict)] == [(0, 5), (5, 6)]
