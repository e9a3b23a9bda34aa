"""What to plant after the birds, from a bed's page to the planting form."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from garden.models import Bed, Garden, Planting
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


@pytest.fixture
def bed(garden: Garden) -> Bed:
    garden.last_frost, garden.first_frost = "04-20", "10-25"
    garden.save()
    return BedFactory(garden=garden, name="Long bed")


@pytest.fixture
def fed(bed: Bed) -> Bed:
    """Let eight birds leave the bed today."""
    batch, pen = BatchFactory(garden=bed.garden, chicks=8), PenFactory(garden=bed.garden)
    BatchPenFactory(batch=batch, pen=pen, birds=8)
    WeighingFactory(batch=batch)
    StayFactory(pen=pen, batch=batch, bed=bed, first_day=TODAY - days(4), end_day=TODAY)
    return bed


def page(client, bed: Bed, **asked: str) -> str:
    answer = client.get(reverse("next_crop", args=[bed.garden_id, bed.pk]), asked)
    assert answer.status_code == 200
    return answer.content.decode()


def crop(garden: Garden, name: str, **figures):
    return CropFactory(garden=garden, name=name, **figures)


def test_a_bed_s_page_leads_to_crops_that_use_what_birds_left(helper, fed) -> None:
    garden = fed.garden
    crop(garden, "Kale or collards", nitrogen_kg_ha=145, days_to_harvest=50, harvest_days=60)
    crop(garden, "Snap bean", nitrogen_kg_ha=0, contact="clear", days_to_harvest=60)
    crop(garden, "Quince", nitrogen_kg_ha=80, days_to_harvest=250)
    place = reverse("next_crop", args=[garden.pk, fed.pk])
    assert place in helper.get(reverse("bed", args=[garden.pk, fed.pk])).content.decode()

    told = page(helper, fed)
    assert "From Fri 12 June 2026" in told
    assert "of nitrogen here that crops can use in the first year" in told
    # 120 days from 12 June is 10 October; 50 days before that is 21 August.
    assert "Plant Fri 21 August 2026, pick from Sat 10 October 2026" in told
    assert "Planted 70 days later than it could be" in told
    assert "1 that needs no nitrogen" in told
    assert "between the frosts is too short" in told

    link = told.partition('class="tap" href="')[2].partition('"')[0].replace("&amp;", "&")
    form = helper.get(link).context["form"]
    assert form["starts_on"].value() == "2026-08-21"
    typed = {name: form[name].value() for name in form.fields}
    helper.post(link, typed)
    planted = Planting.objects.get()
    assert (planted.crop.name, planted.first_harvest_on) == ("Kale or collards", date(2026, 10, 10))


def test_a_viewer_reads_and_plans_nothing(viewer, fed) -> None:
    crop(fed.garden, "Kale or collards")
    told = page(viewer, fed)
    assert "Kale or collards" in told
    assert "Plan it" not in told


def test_birds_that_the_plan_brings_are_waited_for(owner, bed) -> None:
    pen, batch = PenFactory(garden=bed.garden), BatchFactory(garden=bed.garden)
    PlannedStayFactory(
        plan=PlanFactory(garden=bed.garden), pen=pen, batch=batch, bed=bed,
        first_day=TODAY + days(3), end_day=TODAY + days(6), nitrogen_g=50,
    )  # fmt: skip
    crop(bed.garden, "Tomato, staked", contact="clear", nitrogen_kg_ha=145, days_to_harvest=90)
    told = page(owner, bed)
    assert "From Thu 18 June 2026" in told
    # 50 g × 0.8 × 0.6 as raked in.
    assert "leave <strong>24 g</strong>" in told
    assert "Plant Thu 18 June 2026, pick from Wed 16 September 2026" in told
    # Asked for days before them, the bed is taken when they come.
    sooner = page(owner, bed, from_day="2026-06-12")
    assert "taken again from Mon 15 June 2026" in sooner
    assert "not picked before the bed is taken again" in sooner


def test_a_crop_that_stands_is_cleared_first_and_its_family_told(owner, bed) -> None:
    cabbage = crop(bed.garden, "Cabbage", family="Brassicaceae")
    PlantingFactory(bed=bed, crop=cabbage, starts_on=TODAY - days(50))
    told = page(owner, bed)
    assert "From Sun 12 July 2026" in told  # 60 days and 20 of picking
    assert "Birds have left nothing here" in told
    assert "The same family stood here until Sun 12 July 2026" in told


def test_a_crop_may_take_the_place_of_one_that_is_planned(owner, bed) -> None:
    PlantingFactory(bed=bed, crop=crop(bed.garden, "Leek"), starts_on=TODAY + days(4))
    crop(bed.garden, "Chard", days_to_harvest=50)
    told = page(owner, bed)
    assert "The bed is taken again from Tue 16 June 2026" in told
    assert "No crop fits" in told
    link = told.partition('<a href="?')[2].partition('"')[0]
    assert link == "from_day=2026-06-12&amp;instead=on"
    instead = page(owner, bed, from_day="2026-06-12", instead="on")
    assert "taken again" not in instead
    assert "Plant Fri 12 June 2026, pick from Sat 1 August 2026" in instead


def test_only_what_the_garden_plants(owner, bed) -> None:
    crop(bed.garden, "Okra")
    PlantingFactory(bed=BedFactory(garden=bed.garden), crop=crop(bed.garden, "Chard"))
    told = page(owner, bed, grown="on")
    assert "Chard" in told
    assert "Okra" not in told


def test_a_garden_without_crops_says_what_to_do(owner, bed) -> None:
    assert "This garden has no crops yet" in page(owner, bed)
    crop(bed.garden, "Okra")
    assert "has planted no crop yet" in page(owner, bed, grown="on")


def test_without_frosts_the_page_says_so(owner, helper, bed) -> None:
    bed.garden.last_frost = ""
    bed.garden.save()
    crop(bed.garden, "Chard")
    assert "No frosts are set" in page(owner, bed)
    assert "An owner of the garden sets them" in page(helper, bed)


@pytest.mark.parametrize(
    ("typed", "told"),
    [("2026-06-11", "Give a day from Fri 12 June 2026"), ("soon", "Enter a valid date")],
)
def test_a_wrong_day_is_told_beside_the_field(owner, bed, typed, told) -> None:
    answer = page(owner, bed, from_day=typed)
    assert told in answer
    assert f'value="{typed}"' in answer


def test_grass_grows_no_crop_and_strangers_find_nothing(owner, stranger, bed) -> None:
    strip = BedFactory(garden=bed.garden, kind=Bed.Kind.TURF)
    place = reverse("next_crop", args=[bed.garden_id, strip.pk])
    assert owner.get(place).status_code == 404
    assert stranger.get(reverse("next_crop", args=[bed.garden_id, bed.pk])).status_code == 404


def test_the_page_is_light(owner, fed, django_assert_max_num_queries) -> None:
    for number in range(50):
        crop(fed.garden, f"Crop {number}")
    with django_assert_max_num_queries(12):
        page(owner, fed, grown="on")
