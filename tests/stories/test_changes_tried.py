"""Changes that are only thought of: what each makes of a garden's facts, and which cannot be."""

from datetime import date, timedelta

import pytest

from flocks.models import Batch
from garden.models import Garden, Planting
from rotation.changes_tried import (
    Birds,
    ChangeError,
    Cleared,
    MoreBed,
    PartProcessed,
    Pens,
    Processed,
    Rule,
    Shift,
    UnknownRowError,
    apply,
)
from rotation.facts import GardenFacts, facts_of
from rotation.planning import Effort, solved
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    CropFactory,
    PenFactory,
    PlantingFactory,
)

TODAY = date(2026, 6, 12)
pytestmark = pytest.mark.django_db


def day(offset: int) -> date:
    """Return a day counted from today."""
    return TODAY + timedelta(days=offset)


def flock(garden: Garden, name: str, *, out: int = 0, end: int = 10, pens: int = 1) -> Batch:
    """Return ten birds a pen, in the garden on days `out` to `end` from today, hatched 28 days before."""
    batch = BatchFactory(
        garden=garden,
        name=name,
        hatch_on=day(out - 28),
        leaves_brooder_on=day(out),
        processing_on=day(end),
        chicks=10 * pens,
    )
    for number in range(pens):
        pen = PenFactory(garden=garden, name=f"{name} pen {number + 1}")
        BatchPenFactory(batch=batch, pen=pen, birds=10)
    return batch


def facts(garden: Garden) -> GardenFacts:
    """Return the garden's facts today."""
    return facts_of(garden, TODAY)


def dropped_g(known: GardenFacts) -> list[float]:
    """Return what each pen drops in all."""
    return [sum(run.nitrogen_g) for run in known.runs]


def test_half_the_birds_drop_half_the_nitrogen_shared_over_the_same_pens(garden):
    batch = flock(garden, "Spring", pens=2)
    before = facts(garden)
    after = apply(before, [Birds(batch=batch.pk, birds=10)])
    assert [run.birds for run in after.runs] == [5, 5]
    assert dropped_g(after) == pytest.approx([grams / 2 for grams in dropped_g(before)])
    assert [run.birds for run in before.runs] == [10, 10]


def test_a_careful_garden_tries_changes_as_carefully(garden):
    batch = flock(garden, "Spring")
    expected_g = dropped_g(facts(garden))
    garden.plan_for = Garden.PlanFor.NEARLY_ALL
    before = facts(garden)
    after = apply(before, [Birds(batch=batch.pk, birds=5)])
    assert dropped_g(before) > expected_g
    assert dropped_g(after) == pytest.approx([grams / 2 for grams in dropped_g(before)])


def test_birds_that_are_hatched_do_not_become_more_but_eggs_may(garden):
    out, ahead = flock(garden, "Out"), flock(garden, "Ahead", out=40, end=50)
    with pytest.raises(ChangeError, match="Out has 10 birds; there cannot be more by now"):
        apply(facts(garden), [Birds(batch=out.pk, birds=11)])
    after = apply(facts(garden), [Birds(batch=ahead.pk, birds=30)])
    assert [run.birds for run in after.runs] == [10, 30]


def test_a_batch_that_is_not_hatched_can_be_put_off_and_grows_alike(garden):
    batch = flock(garden, "Ahead", out=40, end=50)
    before = facts(garden)
    after = apply(before, [Shift(batch=batch.pk, days=14)])
    assert after.runs[0].first_day == day(54)
    assert after.runs[0].nitrogen_g == pytest.approx(before.runs[0].nitrogen_g)
    assert (after.runs[0].batch.hatch_on, after.runs[0].batch.processing_on) == (day(26), day(64))
    assert before.runs[0].batch.processing_on == day(50)


def test_a_batch_comes_no_sooner_than_tomorrow_and_hatched_birds_keep_their_dates(garden):
    out, ahead = flock(garden, "Out"), flock(garden, "Ahead", out=40, end=50)
    with pytest.raises(ChangeError, match="Out hatched on Fri 15 May, so it cannot be put off"):
        apply(facts(garden), [Shift(batch=out.pk, days=7)])
    with pytest.raises(ChangeError, match="Ahead can be at most 11 days earlier"):
        apply(facts(garden), [Shift(batch=ahead.pk, days=-12)])
    assert apply(facts(garden), [Shift(batch=ahead.pk, days=-11)]).runs[1].first_day == day(29)


def test_another_processing_day_cuts_or_lengthens_the_days_in_the_garden(garden):
    batch = flock(garden, "Spring")
    before = facts(garden)
    younger = apply(before, [Processed(batch=batch.pk, on=day(4))])
    older = apply(before, [Processed(batch=batch.pk, on=day(14))])
    assert younger.runs[0].nitrogen_g == pytest.approx(before.runs[0].nitrogen_g[:4])
    assert older.runs[0].nitrogen_g[:10] == pytest.approx(before.runs[0].nitrogen_g)
    assert older.runs[0].end_day == day(14)
    for on in (TODAY, date(9999, 12, 31)):
        with pytest.raises(ChangeError, match="processed from Sat 13 June to Tue 10 November"):
            apply(before, [Processed(batch=batch.pk, on=on)])


def test_birds_processed_part_way_drop_nothing_from_that_day_on(garden):
    batch = flock(garden, "Spring", pens=2)
    before = facts(garden)
    change = PartProcessed(batch=batch.pk, on=day(4), birds=5)
    after = apply(before, [change])
    for was, now in zip(before.runs, after.runs, strict=True):
        assert now.nitrogen_g[:4] == pytest.approx(was.nitrogen_g[:4])
        assert now.nitrogen_g[4:] == pytest.approx([0.75 * grams for grams in was.nitrogen_g[4:]])
    with pytest.raises(ChangeError, match="give a day between for processing a part"):
        apply(before, [change.model_copy(update={"on": day(10)})])
    with pytest.raises(ChangeError, match="has 20 birds: a part of it is fewer"):
        apply(before, [change.model_copy(update={"birds": 20})])


def test_changes_of_one_batch_are_taken_together_whatever_their_order(garden):
    batch = flock(garden, "Spring")
    changes = [
        Birds(batch=batch.pk, birds=8),
        PartProcessed(batch=batch.pk, on=day(2), birds=4),
        Processed(batch=batch.pk, on=day(6)),
    ]
    before = facts(garden)
    one, other = apply(before, changes), apply(before, changes[::-1])
    assert one.runs[0].nitrogen_g == other.runs[0].nitrogen_g
    shares = [0.8, 0.8, 0.4, 0.4, 0.4, 0.4]
    was = before.runs[0].nitrogen_g
    assert one.runs[0].nitrogen_g == pytest.approx(
        [share * grams for share, grams in zip(shares, was, strict=False)]
    )


def test_other_pens_share_the_birds_by_their_floor(garden):
    batch = flock(garden, "Spring")
    wide = PenFactory(garden=garden, name="Wide", length_mm=3000, floor_m2=2.8)
    own = batch.pens.get()
    after = apply(facts(garden), [Pens(batch=batch.pk, pens=[own.pk, wide.pk])])
    assert [(run.pen.name, run.birds) for run in after.runs] == [(own.name, 3), ("Wide", 7)]
    assert len({run.id for run in after.runs}) == 2


def test_a_pen_does_not_carry_two_batches_at_once(garden):
    first, second = flock(garden, "First"), flock(garden, "Second", out=40, end=50)
    to_its_pen = Pens(batch=second.pk, pens=[first.pens.get().pk])
    after = apply(facts(garden), [to_its_pen])
    assert [run.pen.name for run in after.runs] == ["First pen 1", "First pen 1"]
    with pytest.raises(
        ChangeError,
        match="First pen 1 carries First up to Thu 23 July, so it cannot carry Second from Wed 22 July",
    ):
        apply(facts(garden), [to_its_pen, Processed(batch=first.pk, on=day(41))])


def test_a_rule_changes_in_the_copy_only_and_within_its_range(garden):
    before = facts(garden)
    after = apply(before, [Rule(name="rest_days", value=10)])
    assert (after.garden.rest_days, before.garden.rest_days) == (10, 30)
    with pytest.raises(ChangeError, match="whole number of days"):
        apply(before, [Rule(name="rest_days", value=10.5)])
    with pytest.raises(ChangeError, match="Rest of a place between two visits: "):
        apply(before, [Rule(name="rest_days", value=400)])
    with pytest.raises(ChangeError, match="longest stay must not be shorter"):
        apply(before, [Rule(name="min_stay_days", value=9)])


def test_one_more_bed_stands_beside_the_newest_and_takes_the_pen(garden):
    flock(garden, "Spring", end=1)
    before = facts(garden)
    new = MoreBed(kind_of_bed="turf", length_mm=6000.0, width_mm=1500.0, name="Strip")
    after = apply(before, [new])
    (bed,) = (known.bed for known in after.beds.values())
    assert bed.pk < 0
    assert not before.beds
    assert solved(before, Effort(rounds=1)).items.off_bed > 0
    assert solved(after, Effort(rounds=5)).items.off_bed == 0
    with pytest.raises(ChangeError, match="already has a bed called strip"):
        apply(after, [new.model_copy(update={"name": "strip"})])
    with pytest.raises(ChangeError, match="longer side"):
        apply(before, [new.model_copy(update={"width_mm": 7000.0})])
    two = apply(after, [new.model_copy(update={"name": "Second"})])
    assert len(two.beds) == 2


def planted(garden: Garden, *, starts: int, harvest: int, ends: int) -> Planting:
    """Return the only planting of a new bed, with its days counted from today."""
    return PlantingFactory(
        bed=BedFactory(garden=garden, name="Bed 3"),
        crop=CropFactory(garden=garden, name="Lettuce"),
        starts_on=day(starts),
        first_harvest_on=day(harvest),
        ends_on=day(ends),
    )


def test_a_crop_cleared_sooner_opens_its_bed_sooner(garden):
    planting = planted(garden, starts=-60, harvest=-10, ends=20)
    before = facts(garden)
    after = apply(before, [Cleared(planting=planting.pk, on=day(3))])
    (dates,) = after.beds[planting.bed_id].plantings
    assert (dates.ends_on, dates.first_harvest_on) == (day(3), day(-10))
    assert before.beds[planting.bed_id].plantings == (planting.dates(),)


def test_a_crop_pulled_up_unharvested_shuts_no_day_more(garden):
    planting = planted(garden, starts=-10, harvest=30, ends=50)
    after = apply(facts(garden), [Cleared(planting=planting.pk, on=day(3))])
    (dates,) = after.beds[planting.bed_id].plantings
    assert (dates.starts_on, dates.ends_on) == (day(-10), day(3))


def test_a_crop_is_not_cleared_twice(garden):
    planting = planted(garden, starts=-60, harvest=-10, ends=20)
    twice = [Cleared(planting=planting.pk, on=day(number)) for number in (3, 5)]
    with pytest.raises(ChangeError, match="Lettuce in Bed 3 is cleared twice"):
        apply(facts(garden), twice)


@pytest.mark.parametrize(
    ("starts", "on", "said"),
    [
        (-10, -1, "give a day from today on and before that"),
        (-10, 50, "give a day from today on and before that"),
        (5, 20, "is not planted yet and first picked on Sun 12 July"),
    ],
)
def test_a_crop_is_cleared_between_today_and_its_end(garden, starts, on, said):
    planting = planted(garden, starts=starts, harvest=30, ends=50)
    with pytest.raises(ChangeError, match=said):
        apply(facts(garden), [Cleared(planting=planting.pk, on=day(on))])


def test_rows_of_another_garden_do_not_exist(garden):
    elsewhere = flock(BedFactory().garden, "Elsewhere")
    own = flock(garden, "Own")
    planting = PlantingFactory(ends_on=day(40))
    for change in (
        Birds(batch=elsewhere.pk, birds=2),
        Pens(batch=own.pk, pens=[elsewhere.pens.get().pk]),
        Cleared(planting=planting.pk, on=day(3)),
    ):
        with pytest.raises(UnknownRowError):
            apply(facts(garden), [change])
