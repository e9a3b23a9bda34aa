"""Labels for the beds' walls: what they say, and the code that leads to the bed's page."""

import gzip
import re
from datetime import date, timedelta

import pytest
import segno
from django.urls import reverse

from garden.models import Bed, Garden
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BedFactory,
    CropFactory,
    PenFactory,
    PlantingFactory,
    StayFactory,
)

pytestmark = pytest.mark.django_db


def days(number: int) -> timedelta:
    return timedelta(days=number)


@pytest.fixture
def bed(garden: Garden) -> Bed:
    return BedFactory(garden=garden, name="Long bed")


def birds(bed: Bed, first: int, end: int | None) -> None:
    StayFactory(
        pen=PenFactory(garden=bed.garden), batch=BatchFactory(garden=bed.garden), bed=bed,
        first_day=TODAY + days(first), end_day=None if end is None else TODAY + days(end),
    )  # fmt: skip


def label(client, bed: Bed) -> str:
    answer = client.get(reverse("bed_label", args=[bed.garden_id, bed.pk]))
    assert answer.status_code == 200
    return answer.content.decode()


def dark_modules(page: str) -> set[tuple[int, int]]:
    """Return the dark squares (x, y) that a code's path draws, its quiet zone of four taken off."""
    x = y = 0
    dark = set()
    path = re.search(r'<path stroke="#000" d="([^"]+)"', page)[1]
    for move, numbers in re.findall(r"([Mmh])([-\d. ]+)", path):
        parts = [float(part) for part in re.findall(r"-?[\d.]+", numbers)]
        if move == "h":
            dark |= {(int(x) - 4 + step, int(y) - 4) for step in range(int(parts[0]))}
            x += parts[0]
        else:
            x, y = (parts[0], parts[1]) if move == "M" else (x + parts[0], y + parts[1])
    return dark


def test_a_label_says_the_last_birds_and_the_first_safe_harvest(viewer, bed) -> None:
    birds(bed, -60, -50)
    PlantingFactory(
        bed=bed,
        crop=CropFactory(garden=bed.garden, name="Lettuce"),
        starts_on=TODAY - days(40),
        first_harvest_on=TODAY - days(2),
        ends_on=TODAY + days(90),
    )
    told = label(viewer, bed)
    assert "22 April 2026" in told
    # Mixed in on 23 April; 120 days later.
    assert "<bdi>Lettuce</bdi>: 21 August 2026" in told
    assert "As known on 12 June 2026" in told


def test_a_crop_cleared_before_it_is_safe_is_labelled_so(owner, bed) -> None:
    birds(bed, -20, -10)
    PlantingFactory(bed=bed, crop=CropFactory(garden=bed.garden, name="Cress"))
    assert "<bdi>Cress</bdi>: not at all" in label(owner, bed)


def test_a_bed_with_no_crops_tells_both_kinds_or_that_nothing_waits(owner, bed) -> None:
    assert "Birds set no wait." in label(owner, bed)
    assert "none of late" in label(owner, bed)
    birds(bed, -20, -12)
    told = label(owner, bed)
    assert "What touches soil</bdi>: 28 September 2026" in told
    assert "What is held clear</bdi>: 29 August 2026" in told
    birds(bed, -3, None)
    assert "here now" in label(owner, bed)


def test_grass_has_a_label_without_a_harvest(owner, garden) -> None:
    strip = BedFactory(garden=garden, kind=Bed.Kind.TURF, name="Grass")
    birds(strip, -9, -5)
    told = label(owner, strip)
    assert "Safe harvest" not in told
    assert "no wait" not in told


def test_the_code_is_the_address_of_the_bed_s_page(owner, bed) -> None:
    url = f"http://testserver{reverse('bed', args=[bed.garden_id, bed.pk])}"
    matrix = segno.make(url, micro=False, error="q", boost_error=False).matrix
    wanted = {(x, y) for y, row in enumerate(matrix) for x, module in enumerate(row) if module}
    assert dark_modules(label(owner, bed)) == wanted
    assert wanted != set()


def test_all_beds_in_use_have_a_label_on_one_page(owner, garden, bed) -> None:
    BedFactory(garden=garden, name="Gone", retired_on=TODAY)
    BedFactory(garden=garden, name="<b>حوض</b>")
    told = owner.get(reverse("bed_labels", args=[garden.pk])).content.decode()
    assert told.count('class="label"') == 2
    assert "&lt;b&gt;حوض&lt;/b&gt;" in told
    assert "Gone" not in told
    assert 'style="' not in told


def test_a_garden_without_beds_says_what_to_do(owner, garden) -> None:
    told = owner.get(reverse("bed_labels", args=[garden.pk])).content.decode()
    assert "nothing to label" in told
    assert reverse("bed_new", args=[garden.pk]) in told


def test_strangers_and_other_gardens_beds_are_not_there(owner, stranger, bed) -> None:
    place = reverse("bed_label", args=[bed.garden_id, bed.pk])
    assert stranger.get(place).status_code == 404
    assert stranger.get(reverse("bed_labels", args=[bed.garden_id])).status_code == 404
    foreign = BedFactory()
    assert owner.get(reverse("bed_label", args=[bed.garden_id, foreign.pk])).status_code == 404


def test_labels_of_a_garden_are_light(owner, garden, bed, django_assert_max_num_queries) -> None:
    for number in range(40):
        planted = BedFactory(garden=garden, name=f"Bed {number}")
        PlantingFactory(bed=planted, crop=CropFactory(garden=garden), starts_on=date(2026, 6, 1))
    with django_assert_max_num_queries(12):
        answer = owner.get(reverse("bed_labels", args=[garden.pk]))
    assert len(gzip.compress(answer.content)) < 60_000
