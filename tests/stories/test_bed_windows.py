"""A bed's page of days: when birds may come, why not, and what would change it."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from garden.models import Bed, Garden
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    ClosureFactory,
    CropFactory,
    PenFactory,
    PlanFactory,
    PlannedStayFactory,
    PlantingFactory,
    SoilTestFactory,
    StayFactory,
    WeighingFactory,
)

pytestmark = pytest.mark.django_db


def days(number: int) -> timedelta:
    return timedelta(days=number)


@pytest.fixture
def bed(garden: Garden) -> Bed:
    return BedFactory(garden=garden, name="Long bed")


def page(client, bed: Bed, on: str | None = None) -> str:
    place = reverse("bed_windows", args=[bed.garden_id, bed.pk])
    answer = client.get(place, {"on": on} if on is not None else {})
    assert answer.status_code == 200
    return answer.content.decode()


def answer_of(told: str) -> str:
    return told.partition('role="status">')[2].partition("</form>")[0]


def test_a_bed_that_nothing_shuts_is_open_with_its_room(viewer, bed) -> None:
    told = page(viewer, bed)
    assert "12 Jun 2026 to 12 Jun 2027:</b> <strong" in told
    assert "shut</strong>" not in told
    # 170 kg/ha on 2.88 m2.
    assert "Room for 49 g of nitrogen" in told


def test_a_planned_harvest_shuts_the_bed_in_words(owner, bed) -> None:
    PlantingFactory(
        bed=bed,
        crop=CropFactory(garden=bed.garden, name="Lettuce"),
        starts_on=date(2026, 8, 11),
        first_harvest_on=date(2026, 10, 20),
        ends_on=date(2026, 11, 9),
    )
    told = answer_of(page(owner, bed, "2026-06-22"))
    assert "Mon 22 June 2026: <strong" in told
    assert "shut." in told
    assert "held for Lettuce, first picked Tue 20 October 2026" in told
    assert "or another crop is grown" in told
    assert "open." in answer_of(page(owner, bed, "2026-06-21"))


def test_birds_that_left_no_nitrogen_room_shut_it(owner, bed) -> None:
    batch = BatchFactory(garden=bed.garden, chicks=12)
    pen = PenFactory(garden=bed.garden)
    BatchPenFactory(batch=batch, pen=pen, birds=12)
    WeighingFactory(batch=batch)
    StayFactory(pen=pen, batch=batch, bed=bed, first_day=TODAY - days(7), end_day=TODAY - days(1))
    told = page(owner, bed, (TODAY + days(40)).isoformat())
    assert "shut." in answer_of(told)
    assert "no nitrogen room left" in answer_of(told)
    # The birds left on 11 June, so their last day here is out of the year on 10 June.
    assert "12 Jun 2026 to 10 Jul 2026:</b> <strong" in told
    assert "11 Jul 2026 to 9 Jun 2027:</b> <strong" in told
    assert "open." in answer_of(page(owner, bed, "2027-06-12"))


def test_a_soil_high_in_phosphorus_shuts_it(owner, bed) -> None:
    """400 mg/kg by Mehlich 3 is very high by every table, and birds bring more."""
    SoilTestFactory(bed=bed, on=TODAY - days(30), phosphorus_mg_kg=400)
    told = page(owner, bed)
    assert "shut</strong>, too much phosphorus" in told
    assert "harvests that carry phosphorus away" in told
    assert "no nitrogen room" not in told


def test_what_the_plan_drops_counts_for_later_days(owner, bed) -> None:
    batch, pen = BatchFactory(garden=bed.garden), PenFactory(garden=bed.garden)
    PlannedStayFactory(
        plan=PlanFactory(garden=bed.garden), pen=pen, batch=batch, bed=bed,
        first_day=TODAY, end_day=TODAY + days(2), nitrogen_g=20,
    )  # fmt: skip
    assert "Room for 29 g" in answer_of(page(owner, bed, (TODAY + days(50)).isoformat()))


def test_days_that_the_grower_took_out_and_rest_are_told(owner, bed) -> None:
    ClosureFactory(bed=bed)
    told = page(owner, bed)
    assert "not to be had until Sat 27 June 2026: hose broken" in told
    assert "given back sooner" in told
    assert "shut</strong>, not to be had" in told


@pytest.mark.parametrize(
    ("on", "told"),
    [
        ("2026-06-11", "Give a day from Fri 12 June 2026 to Sat 12 June 2027."),
        ("2027-06-13", "Give a day from"),
        ("summer", "Enter a valid date"),
    ],
)
def test_a_day_beyond_is_told_beside_the_field(owner, bed, on, told) -> None:
    answer = page(owner, bed, on)
    assert told in answer
    assert f'value="{on}"' in answer


def test_a_stranger_finds_nothing(stranger, owner, bed) -> None:
    assert stranger.get(reverse("bed_windows", args=[bed.garden_id, bed.pk])).status_code == 404
    foreign = BedFactory()
    place = reverse("bed_windows", args=[bed.garden_id, foreign.pk])
    assert owner.get(place).status_code == 404


def test_the_page_is_light(owner, bed, django_assert_max_num_queries) -> None:
    crop = CropFactory(garden=bed.garden)
    for number in range(12):
        PlantingFactory(bed=bed, crop=crop, starts_on=TODAY + days(30 * number))
    with django_assert_max_num_queries(12):
        page(owner, bed)
