"""Logging a batch: before it is saved, the garden says whether it fits and what would make it fit."""

from datetime import date, timedelta

import pytest

from flocks.models import Batch
from garden.models import Garden, UndoStep
from pens.models import Pen
from rotation import middleware
from rotation.cures import cures
from rotation.models import Plan
from rotation.planning import Effort, plan_again
from rotation.season import DraftBatch, TrialGround
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    CropFactory,
    PenFactory,
    PlantingFactory,
)

pytestmark = pytest.mark.django_db
QUICK = Effort(rounds=15)


@pytest.fixture
def pen(garden) -> Pen:
    """Return the garden's only pen; its one bed is of one place."""
    BedFactory(garden=garden, name="Only", length_mm=1250, width_mm=1200)
    return PenFactory(garden=garden, name="Pen A")


def typed(pen: Pen, **changed: str) -> dict[str, object]:
    """Return what a grower types for two chicks that fit the garden."""
    usual = {
        "name": "Autumn",
        "hatch_on": (TODAY + timedelta(days=7)).isoformat(),
        "chicks": "2",
        "strain": "fast",
        "target_g": "1.1 kg",
        "pens": [str(pen.pk)],
        "leaves_brooder_on": (TODAY + timedelta(days=31)).isoformat(),
        "processing_on": (TODAY + timedelta(days=35)).isoformat(),
    }
    return usual | changed


def url(garden: Garden) -> str:
    """Return the form's address."""
    return f"/g/{garden.pk}/batches/new/"


def draft(pen: Pen, **changed: object) -> DraftBatch:
    """Return the typed batch as a draft."""
    usual = {
        "strain": "fast",
        "hatch_on": TODAY + timedelta(days=7),
        "chicks": 2,
        "target_g": 1100.0,
        "pens": (pen,),
        "leaves_brooder_on": TODAY + timedelta(days=31),
        "processing_on": TODAY + timedelta(days=35),
    }
    return DraftBatch(**usual | changed)


def test_an_empty_form_starts_with_a_weight_in_the_gardens_units(owner, garden, pen):
    assert 'value="2.20 kg"' in owner.get(url(garden)).content.decode()
    garden.unit_system = "us"
    garden.save()
    assert 'value="5 lb"' in owner.get(url(garden)).content.decode()


@pytest.mark.parametrize(
    ("address_name", "said"),
    [
        ("weighing_new", "a weighing was added"),
        ("feed_remove", "a feed record was removed"),
        ("bed_retire", "a bed was given up"),
        ("garden_settings", "the garden’s rules were changed"),
        ("", "something was changed"),
    ],
)
def test_a_mended_plan_says_in_plain_words_why(address_name, said):
    assert middleware.reason_of(address_name) == said


def test_a_batch_that_fits_is_told_so_and_nothing_is_saved_by_looking(garden, pen, helper):
    page = helper.post(url(garden), typed(pen) | {"look": "1"}).content.decode()
    assert "It fits." in page
    assert 'value="Autumn"' in page
    assert not Batch.objects.exists()
    assert not Plan.objects.exists()


def test_looking_with_htmx_answers_only_the_preview(garden, pen, helper):
    answer = helper.post(url(garden), typed(pen) | {"look": "1"}, headers={"HX-Request": "true"})
    page = answer.content.decode()
    assert "It fits." in page
    assert "<html" not in page
    assert "HX-Request" in answer.headers["Vary"]


def test_too_many_birds_are_told_with_a_number_and_a_cure_that_holds(garden, pen, helper):
    many = typed(pen, chicks="40")
    page = helper.post(url(garden), many | {"cure": "1"}).content.decode()
    assert "This garden is too small for this batch." in page
    assert "instead of 40" in page
    ground = TrialGround(garden, TODAY)
    trial = ground.trial(draft(pen, chicks=40), QUICK)
    assert trial.off_bed_days > 0
    fewer = next(cure for cure in cures(ground, trial) if "chicks" in cure.fields)
    # The cure is not a promise: planned again by itself it keeps every day on a bed.
    again = ground.trial(draft(pen, chicks=int(fewer.fields["chicks"])), QUICK)
    assert (fewer.off_bed_days, again.off_bed_days) == (0, 0)


def test_applying_a_cure_puts_it_into_the_form_and_saves_nothing(garden, pen, helper):
    page = helper.post(
        url(garden), typed(pen, chicks="40") | {"apply": "chicks=2"}
    ).content.decode()
    assert 'value="2"' in page
    assert "It fits." in page
    assert not Batch.objects.exists()


def test_an_applied_field_that_no_cure_has_is_ignored(garden, pen, helper):
    page = helper.post(url(garden), typed(pen) | {"apply": "name=Stolen"}).content.decode()
    assert "Stolen" not in page


def test_saving_makes_the_batch_and_its_plan_and_both_can_be_taken_back(garden, pen, helper):
    answer = helper.post(url(garden), typed(pen))
    assert answer.url == f"/g/{garden.pk}/plan/"
    batch = Batch.objects.get(name="Autumn")
    assert batch.shares.get().birds == 2
    assert Plan.objects.first().stays.filter(batch=batch).exists()
    step = UndoStep.objects.get()
    helper.post(f"/g/{garden.pk}/undo/{step.pk}/")
    assert not Batch.objects.exists()
    assert not Plan.objects.first().stays.exists()


def test_a_batch_without_a_name_keeps_what_was_typed_and_still_shows_the_preview(
    garden, pen, helper
):
    answer = helper.post(url(garden), typed(pen, name=""))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "This field is required" in page
    assert "1.1 kg" in page
    assert "It fits." in page
    assert not Batch.objects.exists()


def test_a_pen_that_is_taken_is_told_before_anything_is_tried(garden, pen, helper):
    helper.post(url(garden), typed(pen, name="First"))
    page = helper.post(url(garden), typed(pen) | {"look": "1"}).content.decode()
    assert "First" in page
    assert "Birds on the floor" not in page


def test_a_pen_of_another_garden_is_no_choice(garden, pen, helper):
    theirs = PenFactory()
    answer = helper.post(url(garden), typed(pen, pens=[str(theirs.pk)]))
    assert answer.status_code == 422
    assert not Batch.objects.exists()


def test_a_viewer_is_refused_and_a_garden_without_pens_is_led_to_one(garden, viewer, owner):
    assert viewer.get(url(garden)).status_code == 403
    assert "First, a pen" in owner.get(url(garden)).content.decode()


def test_the_form_starts_from_the_soonest_day_that_finds_the_pens_free(garden, pen, owner):
    BatchFactory(garden=garden, processing_on=TODAY + timedelta(days=60))
    form = owner.get(url(garden)).context["form"]
    out_on = form.initial["hatch_on"] + timedelta(days=24)
    assert out_on > TODAY + timedelta(days=60)


def test_a_draft_that_would_push_another_flock_off_its_bed_does_not_fit(garden, pen, helper):
    helper.post(url(garden), typed(pen, name="First"))
    other_pen = PenFactory(garden=garden, name="Pen B")
    trial = TrialGround(garden, TODAY).trial(draft(other_pen, chicks=2), QUICK)
    assert not trial.fits
    assert plan_again(garden=garden, on=TODAY, effort=QUICK).stays.filter(bed=None).count() == 0


def test_what_fits_when_it_is_tried_fits_when_it_is_saved(garden, pen, helper):
    BedFactory(garden=garden, name="Grass", kind="turf", length_mm=6000, width_mm=1300, x_m=4)
    helper.post(url(garden), typed(pen, name="First"))
    PenFactory(garden=garden, name="Pen B")
    second = typed(Pen.objects.get(name="Pen B"), name="Second")
    assert "It fits." in helper.post(url(garden), second | {"look": "1"}).content.decode()
    helper.post(url(garden), second)
    assert not Plan.objects.first().stays.filter(bed=None).exists()


def test_what_a_later_flock_will_drop_is_kept_for_it_when_a_short_batch_is_tried(garden, pen):
    garden.nitrogen_policy = "crop_need"
    garden.save()
    # Carrots in half a year: 60 kg/ha of available nitrogen are 17.4 g in the droppings on the place.
    carrots = CropFactory(garden=garden, nitrogen_kg_ha=60)
    sown_on = TODAY + timedelta(days=200)
    PlantingFactory(
        bed=garden.beds.get(),
        crop=carrots,
        starts_on=sown_on,
        first_harvest_on=sown_on + timedelta(days=130),
        ends_on=sown_on + timedelta(days=140),
    )
    later = BatchFactory(
        garden=garden,
        chicks=2,
        hatch_on=TODAY + timedelta(days=60),
        leaves_brooder_on=TODAY + timedelta(days=88),
        processing_on=TODAY + timedelta(days=91),
    )
    BatchPenFactory(batch=later, pen=PenFactory(garden=garden))
    [told] = plan_again(garden=garden, on=TODAY, effort=QUICK).stays.all()
    assert told.bed == garden.beds.get()
    trial = TrialGround(garden, TODAY).trial(draft(pen), QUICK)
    assert trial.dropped_g < 17.4 < trial.dropped_g + told.nitrogen_g
    assert not trial.fits


def test_a_careful_garden_tries_a_batch_with_what_heavy_flocks_drop(garden, pen):
    three = draft(pen, chicks=3)
    usual = TrialGround(garden, TODAY).trial(three, QUICK)
    # 170 kg/ha on the place's 1.17 x 1.19 m are 23.7 g.
    assert usual.fits
    garden.plan_for = "most"
    garden.save()
    careful = TrialGround(garden, TODAY).trial(three, QUICK)
    days = three.leaves_brooder_on, three.processing_on
    assert careful.dropped_g == sum(three.forecast.nitrogen_g_by_day(3, *days, quantile=0.8))
    assert usual.dropped_g < 23.7 < careful.dropped_g
    assert not careful.fits


def test_ten_thousand_chicks_and_birds_already_due_get_an_answer(garden, pen):
    ground = TrialGround(garden, TODAY)
    assert ground.trial(draft(pen, chicks=10_000), QUICK).off_bed_days == 4
    past = draft(
        pen, hatch_on=date(2026, 4, 1), leaves_brooder_on=date(2026, 4, 20), processing_on=TODAY
    )
    assert ground.trial(past, QUICK).pen_days == 0


def test_what_was_logged_stays_logged_when_mending_the_plan_fails(
    garden, pen, helper, monkeypatch, caplog
):
    def broken(**_: object) -> None:
        raise RuntimeError("the search broke")

    monkeypatch.setattr(middleware, "plan_keep", broken)
    assert helper.post(url(garden), typed(pen)).status_code == 302
    assert Batch.objects.filter(name="Autumn").exists()
    assert "could not mend the plan" in caplog.text
