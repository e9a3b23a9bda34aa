"""The map and the list of beds, and one bed with its harvest dates, year and nitrogen."""

import gzip
from datetime import date, timedelta

import pytest
from django.urls import reverse

from flocks.models import Note
from garden.models import Bed, Garden
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    CropFactory,
    PenFactory,
    PlanFactory,
    PlannedStayFactory,
    PlantingFactory,
    StayFactory,
    WeighingFactory,
)

pytestmark = pytest.mark.django_db


def days(number: int) -> timedelta:
    return timedelta(days=number)


def beds_page(client, garden: Garden) -> str:
    answer = client.get(reverse("beds", args=[garden.pk]))
    assert answer.status_code == 200
    return answer.content.decode()


def bed_page(client, bed: Bed) -> str:
    answer = client.get(reverse("bed", args=[bed.garden_id, bed.pk]))
    assert answer.status_code == 200
    return answer.content.decode()


@pytest.fixture
def flock(garden: Garden):
    """Return a batch of eight with one pen that fits two places on a bed."""
    batch = BatchFactory(garden=garden, chicks=8)
    pen = PenFactory(garden=garden, name="Pen A")
    BatchPenFactory(batch=batch, pen=pen, birds=8)
    return batch, pen


def stay(flock, bed: Bed, first: int, end: int | None, **changes):
    batch, pen = flock
    return StayFactory(
        pen=pen,
        batch=batch,
        bed=bed,
        first_day=TODAY + days(first),
        end_day=None if end is None else TODAY + days(end),
        offset_mm=changes.pop("offset_mm", 20),
        stretch_mm=1170,
        **changes,
    )


def planned(flock, bed: Bed | None, first: int, end: int, **changes):
    batch, pen = flock
    plan = changes.pop("plan", None) or PlanFactory(garden=batch.garden, from_day=TODAY)
    return PlannedStayFactory(
        plan=plan,
        pen=pen,
        batch=batch,
        bed=bed,
        offset_mm=20,
        stretch_mm=1170,
        first_day=TODAY + days(first),
        end_day=TODAY + days(end),
        **changes,
    )


def test_an_empty_garden_says_what_to_do_first(owner, helper, garden) -> None:
    assert reverse("bed_new", args=[garden.pk]) in beds_page(owner, garden)
    told = beds_page(helper, garden)
    assert "takes an owner" in told
    assert reverse("bed_new", args=[garden.pk]) not in told


def test_each_bed_says_what_it_is_doing_on_the_map_and_in_the_list(owner, garden, flock) -> None:
    planted, resting, birds, _ = (BedFactory(garden=garden, name=f"Bed {n}") for n in range(1, 5))
    lettuce = CropFactory(garden=garden, name="Lettuce")
    PlantingFactory(bed=planted, crop=lettuce, starts_on=TODAY - days(10))
    stay(flock, resting, -9, -4)
    stay(flock, birds, -4, None)
    told = beds_page(owner, garden)
    assert 'aria-label="Bed 1: Planted, Lettuce"' in told
    assert 'aria-label="Bed 2: Rest, day 5 of 30"' in told
    assert 'aria-label="Bed 3: Pen A, day 5"' in told
    assert 'aria-label="Bed 4: Free"' in told
    assert "Last birds Sun 7 June" in told
    assert "Birds today" in told


def test_the_next_move_stands_beside_the_map(owner, viewer, garden, flock) -> None:
    here, there = BedFactory(garden=garden, name="Bed 1"), BedFactory(garden=garden, name="Bed 2")
    stay(flock, here, -4, None)
    planned(flock, there, 0, 3)
    told = beds_page(owner, garden)
    assert "Next move, today" in told
    assert "place 1 of 2 from the north end" in told
    assert "Log the move on Today" in told
    assert 'class="next"' in told
    assert "Log the move" not in beds_page(viewer, garden)


def test_a_move_that_was_not_logged_is_shown_late(owner, garden, flock) -> None:
    here, there = BedFactory(garden=garden), BedFactory(garden=garden)
    stay(flock, here, -4, None)
    planned(flock, there, -1, 3)
    assert "due Thu 11 June" in beds_page(owner, garden)


def test_a_pen_that_stays_where_it_is_is_no_move(owner, garden, flock) -> None:
    bed = BedFactory(garden=garden)
    stay(flock, bed, -4, None)
    planned(flock, bed, 0, 2)
    assert "Next move" not in beds_page(owner, garden)


def test_birds_use_up_the_nitrogen_room(owner, garden, flock) -> None:
    bed, other = BedFactory(garden=garden), BedFactory(garden=garden)
    stay(flock, bed, -7, None)
    told = beds_page(owner, garden)
    # 170 kg/ha on 2.88 m2 is 49 g; eight birds of five weeks drop it in a few days.
    assert "Nitrogen room 49 g." in told
    assert "No nitrogen room left" in told
    account = bed_page(owner, bed)
    assert "no room left" in account
    roomy = bed_page(owner, other)
    assert "room for <strong>49 g</strong> more" in roomy
    assert "17 g/m²" in roomy


def test_each_rule_is_a_bar_where_several_make_the_room(owner, garden) -> None:
    bed = BedFactory(garden=garden)
    assert "What each rule by itself still allows" not in bed_page(owner, bed)
    PlantingFactory(
        bed=bed, crop=CropFactory(garden=garden, nitrogen_kg_ha=120), starts_on=TODAY + days(150)
    )
    told = bed_page(owner, bed)
    # 17 g/m² of 2.88 m² by the year; 12 g/m² over 0.8 × 0.6 by the crop's need.
    assert "A year’s limit: <b>49 g</b>" in told
    assert "The next crop’s need: <b>72 g</b>" in told
    assert 'width="1000" height="22"' in told
    assert 'width="680" height="22"' in told


def test_units_follow_the_garden(owner, garden) -> None:
    garden.unit_system = Garden.UnitSystem.US
    garden.save()
    bed = BedFactory(garden=garden, length_mm=2438.4, width_mm=1219.2)
    assert "1.6 g/ft²" in bed_page(owner, bed)
    assert "8 ft" in bed_page(owner, bed)
    assert " ft</text>" in beds_page(owner, garden)


def test_a_crop_that_saw_birds_too_lately_must_not_be_eaten(owner, garden, flock) -> None:
    bed = BedFactory(garden=garden)
    crop = CropFactory(garden=garden, name="Lettuce", contact="touches")
    stay(flock, bed, -60, -50)
    PlantingFactory(
        bed=bed,
        crop=crop,
        starts_on=TODAY - days(40),
        first_harvest_on=TODAY - days(2),
        ends_on=TODAY + days(90),
    )
    told = bed_page(owner, bed)
    # Birds left on 23 April; droppings mixed in that day; 120 days later is 21 August.
    assert "Not before Fri 21 August 2026." in told
    assert "too early" in told
    assert "local rules" in told
    assert "not before Fri 21 August 2026" in beds_page(owner, bed.garden)


@pytest.mark.parametrize(
    ("left_days_ago", "mixed_in", "says"),
    [
        (120, True, "May be harvested now"),  # "not less than 120 days": met on the 120th day
        (119, True, "Not before Sat 13 June 2026."),
        (119, False, "May be harvested now"),  # counted from the last day with birds instead
    ],
)
def test_the_wait_ends_on_its_day(owner, garden, flock, left_days_ago, mixed_in, says) -> None:
    garden.mixed_in = mixed_in
    garden.save()
    bed = BedFactory(garden=garden)
    stay(flock, bed, -left_days_ago - 4, -left_days_ago)
    PlantingFactory(
        bed=bed,
        crop=CropFactory(garden=garden, contact="touches"),
        starts_on=TODAY - days(60),
        first_harvest_on=TODAY - days(5),
        ends_on=TODAY + days(30),
    )
    assert says in bed_page(owner, bed)


def test_birds_that_got_onto_a_standing_crop_count_for_it(owner, garden, flock) -> None:
    bed = BedFactory(garden=garden)
    PlantingFactory(
        bed=bed,
        crop=CropFactory(garden=garden, contact="clear"),
        starts_on=TODAY - days(60),
        first_harvest_on=TODAY - days(5),
        ends_on=TODAY + days(120),
    )
    stay(flock, bed, -10, -9)
    # 90 days from 3 June.
    assert "Not before Tue 1 September 2026." in bed_page(owner, bed)


@pytest.mark.parametrize(
    ("ripe_in", "says"), [(-2, "May be harvested now"), (5, "May be harvested from Wed 17 June")]
)
def test_a_crop_may_be_eaten_once_ripe_where_no_birds_were(owner, garden, ripe_in, says) -> None:
    bed = BedFactory(garden=garden)
    PlantingFactory(
        bed=bed,
        crop=CropFactory(garden=garden),
        starts_on=TODAY - days(50),
        first_harvest_on=TODAY + days(ripe_in),
    )
    told = bed_page(owner, bed)
    assert says in told
    assert "nothing to wait for" in told


def test_the_beds_page_answers_for_each_crop_that_stands(owner, garden, flock) -> None:
    assert "No crop stands in the beds today" not in beds_page(owner, garden)  # no beds either
    bed = BedFactory(garden=garden, name="Herb bed")
    assert "No crop stands in the beds today" in beds_page(owner, garden)
    for name, ripe_in, over_in in (("Chives", -3, 30), ("Dill", 9, 30), ("Sorrel", -9, -1)):
        PlantingFactory(
            bed=bed,
            crop=CropFactory(garden=garden, name=name),
            starts_on=TODAY - days(40),
            first_harvest_on=TODAY + days(ripe_in),
            ends_on=TODAY + days(over_in),
        )
    eat = beds_page(owner, garden).partition('id="eat"')[2].partition("</section>")[0]
    chives, dill = eat.index("Chives"), eat.index("Dill")
    assert "yes, now" in eat[chives:dill]
    assert "once ripe</strong>, from Sun 21 June 2026" in eat[dill:]
    assert "Sorrel" not in eat


def test_a_bare_bed_says_from_when_it_can_be_harvested_again(owner, garden, flock) -> None:
    bed, untouched = BedFactory(garden=garden), BedFactory(garden=garden)
    stay(flock, bed, -20, -12)
    told = bed_page(owner, bed)
    # Birds left on 31 May, droppings mixed in that day: 28 September and 29 August.
    assert "Mon 28 September 2026" in told
    assert "Sat 29 August 2026" in told
    assert "Birds set no wait" in bed_page(owner, untouched)


def test_a_crop_planted_after_the_wait_is_told_so_in_one_line(owner, garden, flock) -> None:
    bed = BedFactory(garden=garden)
    stay(flock, bed, -130, -125)
    PlantingFactory(bed=bed, crop=CropFactory(garden=garden), starts_on=TODAY + days(5))
    assert "wait after birds is over before it is planted" in bed_page(owner, bed)


def test_birds_planned_before_a_later_crop_count_for_it(owner, garden, flock) -> None:
    bed = BedFactory(garden=garden)
    planned(flock, bed, 3, 6)
    PlantingFactory(
        bed=bed,
        crop=CropFactory(garden=garden, contact="clear"),
        starts_on=TODAY + days(20),
        first_harvest_on=TODAY + days(80),
    )
    told = bed_page(owner, bed)
    assert "By the plan birds leave on Thu 18 June 2026" in told
    assert "Not before Wed 16 September 2026." in told


def test_a_bed_tells_its_history_year_and_notes(owner, garden, flock) -> None:
    bed = BedFactory(garden=garden)
    stay(flock, bed, -20, -15)
    PlantingFactory(
        bed=bed,
        crop=CropFactory(garden=garden, name="Broad bean"),
        starts_on=date(2025, 10, 20),
        first_harvest_on=date(2026, 4, 20),
        ends_on=date(2026, 5, 10),
    )
    Note.objects.create(garden=garden, bed=bed, on=TODAY, text="Slugs again")
    told = bed_page(owner, bed)
    assert "Sat 23 May to Wed 27 May" in told
    assert "Broad bean" in told
    assert "Mon 20 October 2025 to Sat 9 May 2026" in told
    assert "Slugs again" in told
    assert "December 2025 to November 2026" in told


def test_names_are_shown_as_they_are_written(owner, garden) -> None:
    bed = BedFactory(garden=garden, name="<b>حوض</b>")
    for told in (beds_page(owner, garden), bed_page(owner, bed)):
        assert "<b>حوض</b>" not in told
        assert "&lt;b&gt;حوض&lt;/b&gt;" in told


def test_nobody_is_offered_what_they_may_not_do(helper, viewer, garden) -> None:
    bed = BedFactory(garden=garden)
    edit, planting = (
        reverse("bed_edit", args=[garden.pk, bed.pk]),
        reverse("planting_new", args=[garden.pk, bed.pk]),
    )
    assert planting in bed_page(helper, bed)
    assert edit not in bed_page(helper, bed)
    assert planting not in bed_page(viewer, bed)


def test_a_stranger_and_another_gardens_bed_are_not_there(owner, stranger, garden) -> None:
    bed, foreign = BedFactory(garden=garden), BedFactory()
    assert stranger.get(reverse("beds", args=[garden.pk])).status_code == 404
    assert stranger.get(reverse("bed", args=[garden.pk, bed.pk])).status_code == 404
    assert owner.get(reverse("bed", args=[garden.pk, foreign.pk])).status_code == 404


def test_a_bed_given_up_leaves_the_map_and_keeps_its_page(owner, garden) -> None:
    bed = BedFactory(garden=garden, name="Old bed", retired_on=TODAY)
    assert "Old bed" not in beds_page(owner, garden)
    assert "Given up" in bed_page(owner, bed)


def test_a_grass_strip_is_asked_no_harvest(owner, garden) -> None:
    strip = BedFactory(garden=garden, kind=Bed.Kind.TURF, lies_across=True)
    assert "Can I eat this?" not in bed_page(owner, strip)
    assert "Grass strip" in beds_page(owner, garden)


def lived_in(garden: Garden, beds: int) -> Bed:
    """Fill a garden with beds, two batches and what was logged of them."""
    rows = [
        BedFactory(
            garden=garden,
            name=f"Bed beside the old orchard {n}",
            x_m=(n % 20) * 2.0,
            y_m=(n // 20) * 3.0,
        )
        for n in range(beds)
    ]
    crop = CropFactory(garden=garden)
    for number in range(2):
        batch = BatchFactory(garden=garden)
        pen = PenFactory(garden=garden)
        BatchPenFactory(batch=batch, pen=pen)
        WeighingFactory(batch=batch)
        flock = batch, pen
        stay(flock, rows[number], -4, None)
        stay(flock, rows[number + 2], -9, -4)
        planned(flock, rows[number + 2], 1, 3)
    for bed in rows[4:]:
        PlantingFactory(bed=bed, crop=crop)
    return rows[0]


@pytest.mark.parametrize("beds", [6, 200])
def test_the_pages_are_light_whatever_the_garden(
    owner, garden, beds, django_assert_max_num_queries
) -> None:
    bed = lived_in(garden, beds)
    with django_assert_max_num_queries(12):
        told = beds_page(owner, garden)
    assert len(gzip.compress(told.encode())) < 60_000
    with django_assert_max_num_queries(12):
        bed_page(owner, bed)
