"""Can I eat this lettuce on 3 July: asked for a day, and what was taken too soon."""

import re
from datetime import date, datetime, timedelta

import pytest
from django.urls import reverse

from garden.models import EarlyHarvest, Garden
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    CropFactory,
    EarlyHarvestFactory,
    HarvestWeightFactory,
    PenFactory,
    PlanFactory,
    PlannedStayFactory,
    PlantingFactory,
    SpreadFactory,
    StayFactory,
)

pytestmark = pytest.mark.django_db


def days(number: int) -> timedelta:
    return timedelta(days=number)


@pytest.fixture
def lettuce(garden: Garden):
    """Return lettuce ripe since two days, where birds left on 5 March: 120 days later is 3 July."""
    bed = BedFactory(garden=garden, name="Long bed")
    pen = PenFactory(garden=garden)
    batch = BatchFactory(garden=garden, hatch_on=date(2026, 1, 20), finished_on=date(2026, 3, 5))
    BatchPenFactory(batch=batch, pen=pen)
    StayFactory(pen=pen, batch=batch, bed=bed, first_day=date(2026, 3, 1), end_day=date(2026, 3, 5))
    return PlantingFactory(
        bed=bed,
        crop=CropFactory(garden=garden, name="Lettuce", contact="touches"),
        starts_on=date(2026, 4, 20),
        first_harvest_on=TODAY - days(2),
        ends_on=date(2026, 7, 20),
    )


def eat(client, garden: Garden, on: str | None = None) -> str:
    answer = client.get(reverse("eat", args=[garden.pk]), {"on": on} if on is not None else {})
    assert answer.status_code == 200
    return answer.content.decode()


def the_list(page: str) -> str:
    return page.partition('id="eat"')[2].partition("</section>")[0]


def test_can_i_eat_this_lettuce_on_3_july(viewer, garden, lettuce) -> None:
    """Tap one opens the page from Today; tap two asks for the day."""
    today = viewer.get(reverse("today", args=[garden.pk])).content.decode()
    assert reverse("eat", args=[garden.pk]) in today

    now = the_list(eat(viewer, garden))
    assert "Today, Fri 12 June" in now
    assert "not before Fri 3 July 2026" in now
    asked = the_list(eat(viewer, garden, "2026-07-03"))
    assert "On Fri 3 July 2026" in asked
    assert "yes, on that day" in asked
    assert "not before Fri 3 July 2026" in the_list(eat(viewer, garden, "2026-07-02"))
    # Cleared on 20 July, so that nobody is told about it afterwards.
    assert "No crop stands in the beds on that day" in the_list(eat(viewer, garden, "2026-07-20"))


def test_a_crop_still_to_be_planted_is_answered_for_its_days(owner, garden, lettuce) -> None:
    pen, bed = lettuce.bed.stays.get().pen, BedFactory(garden=garden, name="Short bed")
    PlannedStayFactory(
        plan=PlanFactory(garden=garden), pen=pen, batch=BatchFactory(garden=garden), bed=bed,
        first_day=TODAY + days(2), end_day=TODAY + days(5),
    )  # fmt: skip
    PlantingFactory(
        bed=bed,
        crop=CropFactory(garden=garden, name="Tomato", contact="clear"),
        starts_on=TODAY + days(10),
        first_harvest_on=TODAY + days(70),
        ends_on=TODAY + days(130),
    )
    assert "Tomato" not in the_list(eat(owner, garden))
    # By the plan birds leave on 17 June; 90 days later is 15 September.
    asked = the_list(eat(owner, garden, "2026-08-30"))
    assert "not before Tue 15 September 2026" in asked
    assert "birds that the plan brings" in asked
    assert "yes, on that day" in the_list(eat(owner, garden, "2026-09-15"))


def test_a_crop_that_is_over_before_it_is_safe_is_never_eaten(owner, garden, lettuce) -> None:
    lettuce.ends_on = date(2026, 7, 1)
    lettuce.save()
    told = the_list(eat(owner, garden))
    assert "not at all" in told
    assert "after this crop is over" in told


@pytest.mark.parametrize(
    ("on", "told"),
    [
        ("2026-06-11", "Give a day from Fri 12 June 2026"),
        ("2040-01-01", "to the end of 2036"),
        ("tomorrow", "Enter a valid date"),
        ("2027-02-29", "Enter a valid date"),  # no leap year
        ("", "This field is required"),
    ],
)
def test_a_day_that_cannot_be_asked_is_told_beside_the_field(
    owner, garden, lettuce, on, told
) -> None:
    page = eat(owner, garden, on)
    assert told in page
    assert f'value="{on}"' in page or not on
    assert "Today, Fri 12 June" in page


def test_a_leap_day_can_be_asked_for(owner, garden, lettuce) -> None:
    assert "On Tue 29 February 2028" in eat(owner, garden, "2028-02-29")


@pytest.mark.parametrize(
    ("utc", "told"),
    [
        # Clocks went forward in Dublin on 29 March 2026 and midnight comes an hour sooner by the sun.
        ("2026-07-02T22:59", "not before Fri 3 July 2026"),
        ("2026-07-02T23:01", "yes, now"),
    ],
)
def test_the_wait_ends_at_midnight_in_the_garden_whatever_the_clocks_did(
    owner, garden, lettuce, settings, monkeypatch, utc, told
) -> None:
    """The birds left in winter time and the wait ends in summer time: whole local days are counted."""
    moment = datetime.fromisoformat(f"{utc}+00:00")

    class Stopped(datetime):
        @classmethod
        def now(cls, tz=None):
            return moment.astimezone(tz)

    monkeypatch.setattr("garden.clock.datetime", Stopped)
    settings.PRETEND_TODAY = None
    assert told in the_list(eat(owner, garden))


def test_the_waits_are_told_with_where_they_come_from(owner, garden, lettuce) -> None:
    assert "7 CFR 205.203(c)(1)" in eat(owner, garden)
    garden.harvest_days_touches = garden.harvest_days_clear = 365
    garden.save()
    told = eat(owner, garden)
    assert "Leafy-greens growers are asked for it" in told
    assert "Where local rules ask for more" in told
    assert "not at all" in the_list(told)


def test_a_garden_s_own_wait_for_what_is_cooked(owner, garden, lettuce) -> None:
    lettuce.crop.contact = "cooked"
    lettuce.crop.save()
    assert "not before Fri 3 July 2026" in the_list(eat(owner, garden))
    garden.harvest_days_cooked = 60
    garden.save()
    told = eat(owner, garden)
    assert "yes, now" in the_list(told)
    assert "60 for what is never eaten raw" in told


@pytest.mark.parametrize("mixed_in", [True, False])
def test_raw_manure_spread_by_hand_starts_the_wait_anew(owner, garden, lettuce, mixed_in) -> None:
    """Spread on 1 April, counted from that day: 120 days later is 30 July, when it is cleared."""
    garden.mixed_in = mixed_in
    garden.save()
    lettuce.ends_on = date(2026, 8, 10)
    lettuce.save()
    SpreadFactory(bed=lettuce.bed, kind="compost", on=date(2026, 5, 1))
    safe = "Fri 3 July 2026" if mixed_in else "Thu 2 July 2026"
    assert f"not before {safe}" in the_list(eat(owner, garden))
    SpreadFactory(bed=lettuce.bed, kind="manure", is_composted=False, on=date(2026, 4, 1))
    assert "not before Thu 30 July 2026" in the_list(eat(owner, garden))
    bed = owner.get(reverse("bed", args=[garden.pk, lettuce.bed_id])).content.decode()
    assert "Raw manure was spread here too lately" in bed
    assert "not composted was spread here on Wed 1 April 2026" in bed
    assert "may be picked from Thu 30 July 2026, not from Wed 10 June 2026" in bed
    place = reverse("early_harvest_new", args=[garden.pk, lettuce.pk])
    assert "was spread here on Wed 1 April 2026" in owner.get(place).content.decode()
    today = owner.get(reverse("today", args=[garden.pk])).content.decode()
    assert "Thu 30 July" in today.partition("Do not harvest Lettuce")[2]


def test_a_harvest_weighed_within_the_wait_asks_what_became_of_it(owner, garden, lettuce) -> None:
    picked = {"bed": lettuce.bed, "crop": lettuce.crop, "planting": lettuce}
    HarvestWeightFactory(on=TODAY - days(1), **picked)
    place = reverse("early_harvest_new", args=[garden.pk, lettuce.pk])
    bed = reverse("bed", args=[garden.pk, lettuce.bed_id])
    link = f"{place}?on=2026-06-11"
    assert link in owner.get(bed).content.decode()
    assert owner.get(link).context["form"]["on"].value() == "2026-06-11"
    owner.post(link, {"on": "2026-06-11", "why": "cooked"})
    assert link not in owner.get(bed).content.decode()


def test_what_is_taken_early_asks_for_a_reason_and_can_be_taken_back(
    helper, garden, lettuce
) -> None:
    page = eat(helper, garden)
    place = reverse("early_harvest_new", args=[garden.pk, lettuce.pk])
    assert place in page
    asked = helper.get(place).content.decode()
    assert "not safe to eat raw before Fri 3 July 2026" in asked
    assert 'value="2026-06-12"' in asked

    refused = helper.post(place, {"on": "2026-06-12", "note": "two heads"})
    assert refused.status_code == 422
    assert "Say what becomes of it" in refused.content.decode()
    assert "two heads" in refused.content.decode()

    helper.post(place, {"on": "2026-06-12", "why": "not_eaten", "note": "two heads"})
    row = EarlyHarvest.objects.get()
    assert (row.safe_from, row.logged_by) == (date(2026, 7, 3), helper.user)
    bed = helper.get(reverse("bed", args=[garden.pk, lettuce.bed_id])).content.decode()
    assert "Taken too early" in bed
    assert "Not eaten: composted or fed to animals. <bdi>two heads</bdi>" in bed

    helper.post(re.search(rf"/g/{garden.pk}/undo/\d+/", bed)[0])
    assert not EarlyHarvest.objects.exists()


@pytest.mark.parametrize(
    ("on", "told"),
    [
        ("2026-06-13", "still to come"),
        ("2026-04-19", "was not in the bed that day: it stands from Mon 20 April 2026"),
    ],
)
def test_an_early_harvest_has_a_day_on_which_the_crop_was_there(
    owner, garden, lettuce, on, told
) -> None:
    place = reverse("early_harvest_new", args=[garden.pk, lettuce.pk])
    answer = owner.post(place, {"on": on, "why": "lost"})
    assert answer.status_code == 422
    assert told in str(answer.context["form"].errors["on"])
    assert not EarlyHarvest.objects.exists()


def test_a_harvest_after_the_wait_is_nothing_to_note(owner, garden, lettuce, settings) -> None:
    settings.PRETEND_TODAY = date(2026, 7, 10)
    place = reverse("early_harvest_new", args=[garden.pk, lettuce.pk])
    answer = owner.post(place, {"on": "2026-07-03", "why": "cooked"})
    assert "wait was over by then" in str(answer.context["form"].errors["on"])
    # A day when it was not is noted also afterwards.
    assert owner.post(place, {"on": "2026-07-02", "why": "cooked"}).status_code == 302


def test_where_no_birds_were_there_is_nothing_to_note(owner, garden) -> None:
    planting = PlantingFactory(bed__garden=garden)
    place = reverse("early_harvest_new", args=[garden.pk, planting.pk])
    assert "nothing to wait for" in owner.get(place).content.decode()
    assert owner.post(place, {"on": "2026-06-12", "why": "lost"}).status_code == 422


def test_an_early_harvest_is_taken_off_the_books(owner, viewer, garden, lettuce) -> None:
    row = EarlyHarvestFactory(planting=lettuce)
    place = reverse("early_harvest_remove", args=[garden.pk, row.pk])
    bed = reverse("bed", args=[garden.pk, lettuce.bed_id])
    assert place in owner.get(bed).content.decode()
    assert place not in viewer.get(bed).content.decode()
    owner.post(place)
    assert not EarlyHarvest.objects.exists()


def test_the_page_is_light(owner, garden, lettuce, django_assert_max_num_queries) -> None:
    for number in range(30):
        bed = BedFactory(garden=garden, name=f"Bed {number}")
        PlantingFactory(bed=bed, crop=lettuce.crop)
    with django_assert_max_num_queries(12):
        eat(owner, garden, "2026-07-03")
