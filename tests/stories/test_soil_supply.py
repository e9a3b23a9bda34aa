"""What the soil gives by itself: a nitrate test and earlier years leave the birds less room."""

from datetime import date, timedelta

import pytest

from flocks.forecasting import forecast_of
from garden.bed_soil_rows import with_soil
from garden.models import Garden, SoilTest
from rotation.bed_ledger import bed_ledger
from rotation.bed_records import bed_record
from rotation.facts import facts_of
from rotation.ledger_room import ledger_room, soil_by_book
from rotation.models import Stay
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    CropFactory,
    PlantingFactory,
    SoilTestFactory,
    SpreadFactory,
    StayFactory,
)

pytestmark = pytest.mark.django_db


def test_what_a_soil_test_found_is_taken_off_the_crop_s_need_until_a_crop_has_had_it(garden, bed):
    def supply() -> float:
        return facts_of(garden, TODAY).beds[bed.pk].soil.usable_g

    SoilTestFactory(bed=bed, on=date(2026, 3, 1), nitrogen_mg_kg=20.0, depth_mm=150)
    # 20 mg/kg x 2 m² x 0.15 m x 1330 kg/m³
    assert supply() == pytest.approx(7.98)
    planting = PlantingFactory(
        bed=bed,
        crop=CropFactory(garden=garden, name="Beet"),
        starts_on=date(2026, 3, 5),
        first_harvest_on=date(2026, 6, 1),
        ends_on=TODAY + timedelta(days=1),
    )
    assert supply() == pytest.approx(7.98)
    planting.ends_on = TODAY
    planting.save()
    assert supply() == 0
    SoilTest.objects.update(on=TODAY - timedelta(days=365))
    planting.delete()
    assert supply() == 0  # too old to go by


def test_earlier_years_release_is_taken_off_what_the_next_crop_needs(garden, bed, stay):
    garden.nitrogen_policy = Garden.NitrogenPolicy.CROP_NEED
    garden.save()
    crop = CropFactory(garden=garden, name="Cabbage", nitrogen_kg_ha=180)
    dates = {"first_harvest_on": date(2027, 1, 10), "ends_on": date(2027, 2, 1)}
    PlantingFactory(bed=bed, crop=crop, starts_on=date(2026, 10, 1), **dates)
    Stay.objects.all().delete()
    before = bed_record(garden, bed.pk, TODAY)
    batch = BatchFactory(
        garden=garden,
        name="Old",
        chicks=10,
        hatch_on=date(2025, 1, 1),
        finished_on=date(2025, 3, 1),
    )
    BatchPenFactory(batch=batch, pen=stay.pen)
    first_day = date(2025, 2, 10)
    StayFactory(pen=stay.pen, batch=batch, bed=bed, first_day=first_day, end_day=date(2025, 2, 14))

    after = bed_record(garden, bed.pk, TODAY)
    grams = sum(forecast_of(batch, TODAY).nitrogen_g_by_day(10, first_day, date(2025, 2, 14)))
    # of what was dropped 80 % stayed, and 12.5 % of that is released in the second year
    assert after.soil.usable_g == pytest.approx(grams * 0.8 * 0.125, rel=1e-3)
    taken = grams * 0.8 * 0.125 / garden.nitrogen_rules().available_share
    assert before.room.left_g - after.room.left_g == pytest.approx(taken, rel=1e-3)
    assert facts_of(garden, TODAY).beds[bed.pk].soil == after.soil
    # the ledger's page counts the same out of its own lines
    book = bed_ledger(garden, with_soil(garden.beds, TODAY).get(), TODAY, TODAY.year)
    assert soil_by_book(book).usable_g == pytest.approx(after.soil.usable_g)
    assert ledger_room(book).left_g == pytest.approx(after.room.left_g)


def test_compost_of_earlier_years_gives_a_share_still(garden, bed):
    for on, grams in ((date(2026, 4, 1), 100), (date(2025, 4, 1), 100), (date(2024, 4, 1), 100)):
        SpreadFactory(bed=bed, on=on, nitrogen_g=grams, kind="compost")
    SpreadFactory(bed=bed, on=date(2025, 4, 1), nitrogen_g=100, kind="manure")
    SpreadFactory(bed=bed, on=date(2022, 4, 1), nitrogen_g=100, kind="compost")

    # 20 % of this year's, 12.5 % of last year's, 5 % of the year's before; manure less its ammonia
    soil = facts_of(garden, TODAY).beds[bed.pk].soil
    assert soil.usable_g == pytest.approx(20 + 12.5 + 5 + 0.8 * 12.5)
