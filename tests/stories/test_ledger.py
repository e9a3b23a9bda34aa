"""The ledger of a bed: what its lines say, who may enter some, what is refused, how soil holds birds back."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from flocks.forecasting import forecast_of
from garden.models import Garden, HarvestWeight, SoilTest, Spread
from rotation.bed_ledger import bed_ledger
from rotation.dropped import careful_nitrogen_g
from rotation.facts import facts_of
from tests.conftest import TODAY
from tests.factories import (
    BedFactory,
    CropFactory,
    HeapFactory,
    HeapInputFactory,
    LossFactory,
    PlantingFactory,
    ProcessingFactory,
    SoilTestFactory,
    SpreadFactory,
    StayFactory,
)

pytestmark = pytest.mark.django_db

FIRST_STAY = date(2026, 6, 2)


def address(name, garden, *ids):
    return reverse(name, args=[garden.pk, *ids])


def page(client, garden, bed, **asked):
    answer = client.get(address("bed_ledger", garden, bed.pk), asked)
    assert answer.status_code == 200
    return answer.content.decode()


def test_an_empty_bed_says_so_and_offers_what_to_log(owner, viewer, garden, bed):
    shown = page(owner, garden, bed)

    assert "Nothing has come to this bed or left it yet." in shown
    assert "Log a soil test" in shown
    assert "Log a soil test" not in page(viewer, garden, bed)


def test_droppings_are_told_by_birds_and_days_with_an_interval(owner, garden, bed, stay):
    book = bed_ledger(garden, bed, TODAY, TODAY.year)
    (entry,) = book.entries

    assert entry.source.startswith("10 birds for 3 days")
    assert entry.mass.low.nitrogen_g < entry.mass.likely.nitrogen_g < entry.mass.high.nitrogen_g
    forecast = forecast_of(stay.batch, TODAY)
    expected = sum(forecast.nitrogen_g_by_day(10, FIRST_STAY, stay.end_day))
    assert entry.mass.likely.nitrogen_g == pytest.approx(expected)
    assert sum(entry.by_day) == pytest.approx(1.0)
    shown = page(owner, garden, bed)
    assert "Spring, Green pen" in shown
    assert "went into the air" in shown


def test_birds_processed_or_lost_in_between_drop_nothing_more(garden, bed, stay):
    ProcessingFactory(batch=stay.batch, on=FIRST_STAY + timedelta(days=1), count=6)
    LossFactory(batch=stay.batch, on=FIRST_STAY + timedelta(days=2), count=1)

    (entry,) = bed_ledger(garden, bed, TODAY, TODAY.year).entries
    each = forecast_of(stay.batch, TODAY).nitrogen_g_by_day(1, FIRST_STAY, stay.end_day)
    by_hand = 10 * each[0] + 4 * each[1] + 3 * each[2]
    assert entry.mass.likely.nitrogen_g == pytest.approx(by_hand)
    assert entry.source.startswith("10 birds, then 3 for 3 days")
    # and the planner's account of the bed says the same
    (past,) = facts_of(garden, TODAY).past
    assert past.nitrogen_g == pytest.approx(by_hand)


def test_the_room_counts_the_careful_end(garden, bed, stay):
    forecast = forecast_of(stay.batch, TODAY)
    about = (stay.batch, stay.pen_id, forecast, FIRST_STAY, stay.end_day)
    likely, careful = careful_nitrogen_g(*about, 0.5), careful_nitrogen_g(*about, 0.8)

    assert likely < careful
    garden.plan_for = Garden.PlanFor.MOST
    garden.save()
    (past,) = facts_of(garden, TODAY).past
    assert past.nitrogen_g == pytest.approx(careful)
    assert Garden().plan_for == Garden.PlanFor.MOST  # a garden made anew is careful


@pytest.mark.parametrize(
    ("typed", "unit", "mg_kg"),
    [
        ("35", "ppm", 35),
        ("35,5", "mg_kg", 35.5),
        ("60", "lb_acre", 30),
        ("60 lb/acre", "ppm", 30),  # what is typed beside the number goes before the choice
        ("78.46 kg/ha", "ppm", 35),
    ],
)
def test_a_soil_test_is_taken_in_every_unit(helper, garden, bed, typed, unit, mg_kg):
    answer = helper.post(
        address("soil_test_new", garden, bed.pk),
        {"on": "2026-03-01", "depth_mm": "15 cm", "unit": unit, "phosphorus": typed}
        | {"phosphorus_by": "olsen"},
    )

    assert answer.status_code == 302
    assert SoilTest.objects.get().phosphorus_mg_kg == pytest.approx(mg_kg, rel=1e-3)


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"phosphorus": "-5"}, "never less than 0"),
        ({"phosphorus": "lots"}, "Give a number, for example 35, 35 ppm"),
        ({"phosphorus": "35 bushels"}, "Give a number, for example 35, 35 ppm"),
        ({"phosphorus": "9000"}, "more than any soil holds. Is the unit right?"),
        ({"phosphorus": ""}, "Give at least one of the three figures."),
        ({"on": "2027-01-01"}, "That day has not come yet."),
    ],
)
def test_a_wrong_soil_test_is_told_beside_the_field(owner, garden, bed, fields, said):
    sent = {"on": "2026-03-01", "depth_mm": "15 cm", "unit": "ppm", "phosphorus": "30"}
    answer = owner.post(
        address("soil_test_new", garden, bed.pk), sent | {"phosphorus_by": "olsen"} | fields
    )

    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert not SoilTest.objects.exists()


def test_a_soil_test_opens_the_ledger_and_shows_its_unit_again(owner, garden, bed):
    test = SoilTestFactory(bed=bed, phosphorus_mg_kg=30.0, unit="lb_acre")

    shown = page(owner, garden, bed)
    assert "Counted from the soil test of" in shown
    # 30 mg/kg x 2 m² x 0.15 m x 1330 kg/m³ is 12 g
    assert bed_ledger(garden, bed, TODAY, 2026).entries[0].mass.likely.phosphorus_g == (
        pytest.approx(11.97)
    )
    form = owner.get(address("soil_test_edit", garden, test.pk)).content.decode()
    assert 'value="60"' in form


def test_fertiliser_takes_the_bag_s_numbers_and_negative_ones_are_refused(owner, garden, bed):
    where = address("spread_new", garden, bed.pk)
    sent = {"on": "2026-04-01", "kind": "fertiliser", "what": "Pellets", "mass_kg": "10 kg"}

    assert "Give the numbers on the bag" in owner.post(where, sent).content.decode()
    for wrong in ({"nitrogen": "-1"}, {"nitrogen": "101"}):
        assert owner.post(where, sent | wrong).status_code == 422
    over = owner.post(where, sent | {"nitrogen": "60", "potash": "50"})
    assert "cannot come to more than 100 %" in over.content.decode()
    assert owner.post(where, sent | {"nitrogen": "5", "phosphate": "3", "potash": "2"}).url
    row = Spread.objects.get()
    assert (row.nitrogen_g, row.is_composted) == (500.0, True)
    assert row.phosphorus_g == pytest.approx(130.9, abs=0.1)
    form = owner.get(address("spread_edit", garden, row.pk)).content.decode()
    assert 'value="3"' in form  # the bag's figure again, not the element's


def test_manure_that_was_not_composted_starts_a_wait(owner, garden, bed):
    SpreadFactory(bed=bed, kind="manure", is_composted=False, on=date(2026, 5, 1))

    shown = page(owner, garden, bed)
    assert "Raw manure" in shown
    assert "Sat 29 August 2026" in shown  # 120 days on
    assert "Thu 30 July 2026" in shown  # 90 days on


def test_raw_manure_makes_a_crop_wait_as_birds_do(owner, garden, bed):
    crop = CropFactory(garden=garden, name="Radish", contact="touches")
    dates = {"starts_on": date(2026, 5, 10), "first_harvest_on": TODAY + timedelta(days=1)}
    PlantingFactory(bed=bed, crop=crop, ends_on=date(2026, 12, 1), **dates)
    where = address("bed", garden, bed.pk)
    assert "Tue 8 September" not in owner.get(where).content.decode()
    SpreadFactory(bed=bed, kind="manure", is_composted=False, on=date(2026, 5, 11))

    assert "Tue 8 September" in owner.get(where).content.decode()  # 120 days after 11 May
    SpreadFactory(bed=bed, kind="compost", on=date(2026, 5, 30))
    assert "Tue 8 September" in owner.get(where).content.decode()


def test_a_harvest_comes_after_its_planting_and_takes_by_the_crop_s_content(owner, garden, bed):
    crop = CropFactory(garden=garden, name="Cabbage", reference="Cabbage")
    planting = PlantingFactory(
        bed=bed, crop=crop, starts_on=date(2026, 3, 1), first_harvest_on=date(2026, 5, 20)
    )
    where = address("harvest_new", garden, bed.pk)
    early = owner.post(where, {"planting": planting.pk, "on": "2026-02-01", "mass_kg": "2 kg"})

    assert early.status_code == 422
    assert "was planted on 1 March 2026" in early.content.decode()
    assert owner.post(where, {"planting": planting.pk, "on": "2026-05-20", "mass_kg": "2"}).url
    (entry,) = bed_ledger(
        garden, bed, TODAY, 2026
    ).entries  # the weight, and no usual harvest beside it
    assert entry.mass.likely.nitrogen_g == pytest.approx(2 * 3.125)
    assert HarvestWeight.objects.get().crop == crop


def test_a_bed_without_crops_says_what_to_do_first(owner, garden, bed):
    form = owner.get(address("harvest_new", garden, bed.pk)).content.decode()

    assert "nothing has been planted in this bed so far" in form


def test_a_crop_that_nobody_has_figures_for_takes_nothing_and_says_so(owner, garden, bed):
    PlantingFactory(bed=bed, crop=CropFactory(garden=garden, name="Mashua", nitrogen_kg_ha=0))

    (entry,) = bed_ledger(garden, bed, TODAY, 2026).entries
    assert entry.mass.likely.nitrogen_g == 0
    crop = entry.what
    assert crop == "Mashua"


def test_two_crops_in_one_bed_share_its_ground(garden, bed):
    for name in ("Cabbage", "Spinach"):
        PlantingFactory(bed=bed, crop=CropFactory(garden=garden, name=name, reference=name))
    alone = BedFactory(garden=garden, length_mm=2000, width_mm=1000)
    PlantingFactory(bed=alone, crop=garden.crops.get(name="Cabbage"))

    shared = [e for e in bed_ledger(garden, bed, TODAY, 2026).entries if e.what == "Cabbage"]
    (whole,) = bed_ledger(garden, alone, TODAY, 2026).entries
    assert shared[0].mass.likely.nitrogen_g == pytest.approx(whole.mass.likely.nitrogen_g / 2)


def test_what_came_from_a_heap_is_not_changed_as_if_it_came_in_a_bag(owner, garden, bed):
    row = SpreadFactory(bed=bed, heap=HeapFactory(garden=garden), heap_percent=50)

    assert owner.get(address("spread_edit", garden, row.pk)).status_code == 404
    assert reverse("heap", args=[garden.pk, row.heap_id]) in page(owner, garden, bed)


def test_another_year_tells_its_own_end_and_not_what_crops_can_use_today(owner, garden, bed):
    SpreadFactory(bed=bed, on=date(2025, 4, 1))
    SpreadFactory(bed=bed, on=date(2026, 4, 1))

    last = page(owner, garden, bed, year="2025")
    assert "At the end of 2025" in last
    assert "What crops can use" not in last
    assert "+100 g" in last
    assert "+200 g" not in last
    assert "+200 g" in page(owner, garden, bed, year="2027")


def test_a_line_can_be_taken_back_by_its_author(owner, garden, bed):
    owner.post(
        address("spread_new", garden, bed.pk),
        {"on": "2026-04-01", "kind": "compost", "what": "", "mass_kg": "5 kg"},
    )
    row = Spread.objects.get()
    assert row.nitrogen_g == pytest.approx(50.0)  # 1 % where nothing was given
    owner.post(address("spread_remove", garden, row.pk))
    assert not Spread.objects.exists()
    shown = page(owner, garden, bed)
    assert "removed" in shown  # the undo bar


def test_the_page_is_light_with_years_of_stays(
    owner, garden, bed, stay, django_assert_max_num_queries
):
    for number in range(30):
        first_day = FIRST_STAY - timedelta(days=3 * number + 4)
        StayFactory(
            pen=stay.pen,
            batch=stay.batch,
            bed=bed,
            first_day=first_day,
            end_day=first_day + timedelta(days=1),
        )
    SpreadFactory(bed=bed)
    SoilTestFactory(bed=bed, on=date(2025, 1, 1))
    PlantingFactory(bed=bed)
    HeapInputFactory(heap=HeapFactory(garden=garden), bed=bed)
    with django_assert_max_num_queries(12):
        page(owner, garden, bed, of="potassium", year="2026")


@pytest.mark.parametrize(
    "asked", [{"year": "abc"}, {"year": "0001"}, {"of": "gold"}, {"year": "9999"}]
)
def test_nonsense_in_the_address_shows_a_year_all_the_same(owner, garden, bed, stay, asked):
    page(owner, garden, bed, **asked)


def test_a_high_soil_test_holds_birds_back_and_the_garden_may_say_otherwise(owner, garden, bed):
    crop = CropFactory(garden=garden, name="Cabbage", reference="Cabbage")
    PlantingFactory(
        bed=bed,
        crop=crop,
        starts_on=date(2026, 9, 1),
        first_harvest_on=date(2026, 12, 1),
        ends_on=date(2026, 12, 20),
    )
    SoilTestFactory(bed=bed, phosphorus_mg_kg=80.0)

    shown = page(owner, garden, bed)
    assert "<strong>phosphorus</strong> holds it there, for the soil test is high" in shown
    held = facts_of(garden, TODAY).beds[bed.pk].soil
    # a usual harvest of 4.48 kg/m² takes 14.7 kg P/ha: 2.9 g on 2 m², which comes with 9.7 g N
    assert held.room_by_phosphorus_g(2.0, "Cabbage", 0.0) == pytest.approx(9.7, abs=0.1)
    garden.phosphorus_cap = False
    garden.save()
    assert not facts_of(garden, TODAY).beds[bed.pk].soil.phosphorus.is_capped
    assert "do not hold droppings back" in page(owner, garden, bed)


def test_the_droppings_page_shows_both_methods(viewer, garden, stay):
    shown = viewer.get(address("droppings", garden, stay.batch_id)).content.decode()

    assert "Held against the handbook" in shown
    assert "its birds keep 60 %" in shown
    assert "ASABE D384.2" in shown


def test_a_crop_s_page_tells_the_garden_s_own_figures_from_the_table_s(owner, garden):
    crop = CropFactory(
        garden=garden, name="Cabbage", reference="Cabbage", nitrogen_kg_ha=180, harvest_days=18
    )
    where = address("crop", garden, crop.pk)
    before = owner.get(where).content.decode()
    assert "New England Vegetable Management Guide" in before
    sent = {"name": "Cabbage", "family": "", "nitrogen_kg_ha": "180", "contact": "touches"}
    sent |= {"days_to_harvest": "60", "harvest_days": "18", "yield_kg_m2": "3"}
    assert owner.post(address("crop_edit", garden, crop.pk), sent).status_code == 302
    after = owner.get(where).content.decode()
    assert after.count("this garden’s own") == before.count("this garden’s own") + 1
    assert "The table says 4.48 kg/m²" in after


def test_a_garden_in_pounds_changes_one_figure_of_a_crop_and_no_other(owner, garden):
    crop = CropFactory(garden=garden, name="Cabbage", reference="Cabbage", nitrogen_kg_ha=183)
    garden.unit_system = "us"
    garden.save()
    where = address("crop_edit", garden, crop.pk)
    shown = owner.get(where).content.decode()
    assert "Nitrogen it needs (lb/1,000 sq ft)" in shown
    assert "3.75 lb/1,000 sq ft" in shown
    assert "Blank reckons with 0.92 lb/ft²." in shown

    sent = {"name": "Cabbage", "family": "", "nitrogen_kg_ha": "3.75 lb/1,000 sq ft"}
    sent |= {"contact": "touches", "days_to_harvest": "60", "harvest_days": "18"}
    wrong = owner.post(where, sent | {"phosphorus_kg_ha": "-1"}).content.decode()
    assert 'href="#id_phosphorus_kg_ha"' in wrong
    assert "Give a load that is not below zero" in wrong
    assert owner.post(where, sent | {"spacing_mm": "12"}).status_code == 302
    crop.refresh_from_db()
    assert crop.nitrogen_kg_ha == 183  # shown rounded, kept as it was
    assert crop.spacing_mm == pytest.approx(304.8)


def test_a_garden_in_pounds_reads_its_ledger_in_pounds(owner, garden, bed):
    crop = CropFactory(garden=garden, name="Cabbage", reference="Cabbage")
    PlantingFactory(
        bed=bed,
        crop=crop,
        starts_on=TODAY - timedelta(days=90),
        first_harvest_on=TODAY - timedelta(days=9),
        ends_on=TODAY - timedelta(days=2),
    )
    SoilTestFactory(bed=bed, on=TODAY - timedelta(days=100), depth_mm=152.4)
    SpreadFactory(bed=bed, on=TODAY - timedelta(days=95), mass_kg=22.68)
    garden.unit_system = "us"
    garden.save()

    shown = page(owner, garden, bed)
    for told in ("to a depth of 6 in", "50.0 lb, by", "A usual harvest, 0.92 lb/sq ft"):
        assert told in shown


def test_a_harvest_is_asked_of_what_stands_there_and_not_of_what_is_still_to_come(
    owner, garden, bed
):
    def crop(name, begins, ends):
        return PlantingFactory(
            bed=bed,
            crop=CropFactory(garden=garden, name=name),
            starts_on=TODAY + timedelta(days=begins),
            first_harvest_on=TODAY + timedelta(days=ends - 5),
            ends_on=TODAY + timedelta(days=ends),
        )

    crop("Kohlrabi", -90, -10)
    chard = crop("Chard", -40, 20)
    crop("Leek", 30, 90)
    form = owner.get(address("harvest_new", garden, bed.pk)).content.decode()

    assert f'<option value="{chard.pk}" selected>' in form
    assert "Kohlrabi, planted" in form
    assert "Leek" not in form
