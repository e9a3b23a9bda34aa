"""One bed through two years, every gram worked out by hand in the comments."""

from datetime import date

import pytest

from flocks.forecasting import forecast_of
from garden.ledger import EntryKind, usable_nitrogen_g
from rotation.bed_ledger import bed_ledger
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    CropFactory,
    HarvestWeightFactory,
    PenFactory,
    PlantingFactory,
    SoilTestFactory,
    SpreadFactory,
    StayFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def bed(garden):
    """2.0 m by 1.0 m, so 2 m²; droppings are mixed in, so 80 parts of 100 of the nitrogen stay."""
    bed = BedFactory(garden=garden, length_mm=2000, width_mm=1000)
    # 1 March 2025, a soil test to 150 mm: 2 m² x 0.15 m x 1330 kg/m³ = 399 kg of soil.
    #   nitrate 5 mg/kg -> 1.995 g N; P 20 -> 7.98 g; K 100 -> 39.9 g
    SoilTestFactory(
        bed=bed,
        on=date(2025, 3, 1),
        nitrogen_mg_kg=5.0,
        phosphorus_mg_kg=20.0,
        potassium_mg_kg=100.0,
    )
    # 10 to 12 April 2025, ten birds for two days, 40 days old.
    pen = PenFactory(garden=garden)
    batch = BatchFactory(
        garden=garden, chicks=10, hatch_on=date(2025, 3, 1), finished_on=date(2025, 4, 20)
    )
    BatchPenFactory(batch=batch, pen=pen)
    StayFactory(
        pen=pen, batch=batch, bed=bed, first_day=date(2025, 4, 10), end_day=date(2025, 4, 12)
    )
    # 20 September 2025, 6 kg of cabbage: 3.125 g N, 0.3275 g P and 2.698 g K in each kg
    #   (New England guide: 125 lb N, 30 lb P2O5, 130 lb K2O in 20 short tons)
    #   -> 18.75 g N, 1.965 g P, 16.19 g K
    cabbage = PlantingFactory(
        bed=bed,
        crop=CropFactory(garden=garden, name="Cabbage", reference="Cabbage"),
        starts_on=date(2025, 8, 12),
        first_harvest_on=date(2025, 9, 20),
        ends_on=date(2025, 10, 1),
    )
    HarvestWeightFactory(planting=cabbage, on=date(2025, 9, 20), mass_kg=6.0)
    # 1 March 2026, compost with 100 g N, 20 g P, 80 g K.
    SpreadFactory(bed=bed, on=date(2026, 3, 1))
    # Peas until 9 June 2026, not weighed: 0.6 kg/m² x 2 m² = 1.2 kg with 8.67 g N, 1.08 g P, 2.44 g K a kg
    #   -> 10.4 g N, 1.30 g P, 2.93 g K away; 25 kg/ha = 2.5 g/m² -> 5 g N left by the roots
    PlantingFactory(
        bed=bed,
        crop=CropFactory(garden=garden, name="Peas", reference="Pea, trellised", nitrogen_kg_ha=0),
        starts_on=date(2026, 3, 20),
        first_harvest_on=date(2026, 5, 25),
        ends_on=date(2026, 6, 10),
    )
    return bed


def test_two_years_by_hand(garden, bed, today):
    book = bed_ledger(garden, bed, today, 2026)
    birds = next(entry for entry in book.entries if entry.kind is EntryKind.DROPPINGS)
    stay = bed.stays.get()
    nitrogen_g = sum(
        forecast_of(stay.batch, today).nitrogen_g_by_day(10, stay.first_day, stay.end_day)
    )

    # Twenty bird-days in the sixth week: the derived weekly table has 2.8 to 2.9 g a bird, so about 57 g.
    assert birds.mass.likely.nitrogen_g == pytest.approx(nitrogen_g)
    assert birds.mass.likely.nitrogen_g == pytest.approx(57, rel=0.25)
    phosphorus_g, potassium_g = birds.mass.likely.phosphorus_g, birds.mass.likely.potassium_g

    # On New Year 2026: test + 0.8 x droppings - cabbage.
    forward = book.brought_forward.likely
    assert forward.nitrogen_g == pytest.approx(1.995 + 0.8 * nitrogen_g - 18.75, abs=0.01)
    assert forward.phosphorus_g == pytest.approx(7.98 + phosphorus_g - 1.965, abs=0.01)
    assert forward.potassium_g == pytest.approx(39.9 + potassium_g - 16.19, abs=0.02)

    # Today, 12 June 2026: + compost - peas + roots.
    now = book.lines[-1].balance.likely
    assert now.nitrogen_g == pytest.approx(forward.nitrogen_g + 100 - 10.4 + 5, abs=0.05)
    assert now.phosphorus_g == pytest.approx(forward.phosphorus_g + 20 - 1.30, abs=0.01)
    assert now.potassium_g == pytest.approx(forward.potassium_g + 80 - 2.93, abs=0.01)
    assert [line.entry.kind for line in book.shown] == ["compost", "harvest", "legume"]

    # Into the air went a fifth of the droppings and nothing else.
    assert sum(line.to_air_g for line in book.lines) == pytest.approx(0.2 * nitrogen_g)

    # What crops can use in the year up to today: compost 20 % of 100 g, roots 5 g. The birds left 427 days ago,
    # in the year before it: 0.8 x 0.125 of theirs, and none of the soil test's nitrate any more.
    usable = usable_nitrogen_g(book.entries, today, garden.nitrogen_rules())
    assert usable == pytest.approx((25.0, 0.1 * nitrogen_g, 0.0), abs=0.01)


def test_the_first_year_by_itself(garden, bed, today):
    book = bed_ledger(garden, bed, today, 2025)

    assert [line.entry.kind for line in book.shown] == ["soil test", "droppings", "harvest"]
    assert book.brought_forward is None
    assert book.lines[0].balance.likely.phosphorus_g == pytest.approx(7.98, abs=0.01)
