"""A compost heap from its first straw to the bed that gets it."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from garden.heap_state import heap_state
from garden.models import Heap, HeapInput, Spread
from rotation.bed_ledger import bed_ledger
from rotation.facts import facts_of
from rotation.lifting import off_bed_droppings
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    HeapFactory,
    HeapInputFactory,
    HeapReadingFactory,
    PenFactory,
    SpreadFactory,
    StayFactory,
)

pytestmark = pytest.mark.django_db

MAY = date(2026, 5, 1)


@pytest.fixture
def heap(garden):
    return HeapFactory(garden=garden, name="Back heap", started_on=MAY)


@pytest.fixture
def birds(garden):
    batch = BatchFactory(garden=garden, chicks=10)
    pen = PenFactory(garden=garden)
    BatchPenFactory(batch=batch, pen=pen)
    return {"pen": pen, "batch": batch}


def address(name, garden, *ids):
    return reverse(name, args=[garden.pk, *ids])


def shown(client, heap):
    answer = client.get(address("heap", heap.garden, heap.pk))
    assert answer.status_code == 200
    return answer.content.decode()


def test_a_heap_from_its_begin_to_compost_on_a_bed(helper, garden):
    """Ten kg of manure and straw to match, three hot days in a bin, then all of it on a bed."""
    bed = BedFactory(garden=garden, length_mm=2000, width_mm=1000)
    helper.post(
        address("heap_new", garden), {"name": "Bin", "kind": "vessel", "started_on": "2026-06-01"}
    )
    heap = Heap.objects.get()
    put_on = address("heap_input_new", garden, heap.pk)
    helper.post(put_on, {"on": "2026-06-01", "material": "manure", "mass_kg": "10 kg"})
    # 2600 g carbon and 165 g nitrogen are 15.8 to one; straw brings 480 and 5 g a kg, so 30 to one takes
    # (30 x 165 - 2600) / (480 - 150) = 7.1 kg
    assert "7.1 kg" in shown(helper, heap)
    helper.post(put_on, {"on": "2026-06-01", "material": "straw", "mass_kg": "7.1 kg"})
    assert "There is carbon enough." in shown(helper, heap)
    log = address("heap_reading_new", garden, heap.pk)
    for day, heat in (("02", "58"), ("03", "140 °F"), ("04", "61")):
        assert "Not composted yet" in shown(helper, heap)
        sent = {"on": f"2026-06-{day}", "temperature_c": heat}
        assert helper.post(log, sent).status_code == 302
    assert "Composted since Thu 4 June" in shown(helper, heap)
    carry = {"on": "2026-06-10", "bed": bed.pk, "heap_percent": "100", "mass_kg": "9"}
    assert helper.post(address("heap_spread_new", garden, heap.pk), carry).status_code == 302
    row = Spread.objects.get()
    # 165 + 35.5 g nitrogen less 30 % on the way
    assert row.nitrogen_g == pytest.approx(0.7 * 200.5)
    assert (row.kind, row.is_composted) == ("compost", True)
    assert heap_state(heap).account.left.nitrogen_g == pytest.approx(0, abs=1e-9)
    (line,) = bed_ledger(garden, bed, TODAY, 2026).entries
    assert (line.what, line.kind) == ("Bin", "compost")


def test_what_leaves_a_heap_too_early_is_raw_manure_on_the_bed(owner, garden, heap):
    bed = BedFactory(garden=garden)
    HeapInputFactory(heap=heap)
    form = owner.get(address("heap_spread_new", garden, heap.pk)).content.decode()
    assert "counts as raw manure" in form
    carry = {"on": "2026-06-10", "bed": bed.pk, "heap_percent": "50", "mass_kg": "4"}
    owner.post(address("heap_spread_new", garden, heap.pk), carry)
    row = Spread.objects.get()

    assert (row.kind, row.is_composted) == ("manure", False)
    assert row.nitrogen_g == pytest.approx(165 * 0.7 / 2)


def test_manure_and_own_compost_count_towards_a_year_s_limit_but_bought_compost_does_not(
    garden, heap
):
    bed = BedFactory(garden=garden, length_mm=2000, width_mm=1000)
    about = {"bed": bed, "on": date(2026, 4, 1)}
    SpreadFactory(**about, kind="manure", nitrogen_g=5.0, is_composted=False)
    SpreadFactory(**about, kind="compost", nitrogen_g=7.0, heap=heap, heap_percent=10)
    SpreadFactory(**about, kind="compost", nitrogen_g=100.0)
    soil = facts_of(garden, TODAY).beds[bed.pk].soil

    assert [change.nitrogen_g for change in soil.changes] == [12.0]
    assert not soil.changes[0].for_crop
    # usable: 0.6 of the manure's 0.8, and a fifth of all compost
    assert soil.usable_g == pytest.approx(5 * 0.48 + 107 * 0.2)


def test_a_heap_without_droppings_asks_for_no_wait(viewer, garden, heap):
    HeapInputFactory(heap=heap, material="straw", nitrogen_g=5, carbon_g=480)

    assert "No droppings in it: no wait" in shown(viewer, heap)


def test_droppings_off_the_beds_go_on_it_once(owner, garden, heap, birds):
    StayFactory(**birds, bed=None, first_day=date(2026, 6, 3), end_day=date(2026, 6, 6))
    assert "3 pen-days off the beds" in shown(owner, heap)
    offered = off_bed_droppings(garden, TODAY)
    owner.post(address("heap_off_bed", garden, heap.pk))
    row = HeapInput.objects.get()

    assert row.nitrogen_g == pytest.approx(offered.nutrients.nitrogen_g)
    assert row.carbon_g / row.nitrogen_g == pytest.approx(
        8, abs=3
    )  # fresh droppings, 7 to 10 to one
    assert "off the beds:" not in shown(owner, heap)
    owner.post(address("heap_off_bed", garden, heap.pk))
    assert HeapInput.objects.count() == 1


def test_what_is_lifted_from_a_bed_leaves_its_ledger_and_gives_room_back(
    owner, garden, heap, birds
):
    bed = BedFactory(garden=garden, length_mm=2000, width_mm=1000)
    StayFactory(**birds, bed=bed, first_day=date(2026, 6, 3), end_day=date(2026, 6, 6))
    before = bed_ledger(garden, bed, TODAY, 2026).lines[-1]
    sent = {"bed": bed.pk, "on": "2026-06-07", "percent": "50", "straw_kg": "3 kg"}
    assert owner.post(address("heap_lift", garden, heap.pk), sent).status_code == 302
    row = HeapInput.objects.get()
    dropped_g = before.entry.mass.likely.nitrogen_g

    # half of what was dropped, less the 20 % that had gone into the air, and 15 g in the straw
    assert row.nitrogen_g == pytest.approx(0.5 * 0.8 * dropped_g + 15)
    changes = facts_of(garden, TODAY).beds[bed.pk].soil.changes
    assert changes[0].nitrogen_g == pytest.approx(-row.nitrogen_g / 0.8)
    again = owner.post(address("heap_lift", garden, heap.pk), sent | {"on": "2026-06-08"})
    assert again.status_code == 422
    assert "No birds have stood there since" in again.content.decode()


@pytest.mark.parametrize(
    ("name", "fields", "said"),
    [
        ("heap_reading_new", {}, "Give a temperature, or tick that it was turned."),
        ("heap_reading_new", {"temperature_c": "400"}, "at most"),
        ("heap_reading_new", {"on": "2026-04-01", "turned": "on"}, "was begun on 1 May 2026"),
        ("heap_reading_new", {"on": "2026-07-01", "turned": "on"}, "has not come yet"),
        (
            "heap_input_new",
            {"material": "gold", "mass_kg": "1"},
            "not one of the available choices",
        ),
        ("heap_input_new", {"material": "straw", "mass_kg": "-1 kg"}, "not below zero"),
        ("heap_spread_new", {"heap_percent": "0", "mass_kg": "1"}, "greater than or equal to 1"),
        ("heap_lift", {"percent": "140"}, "less than or equal to 100"),
    ],
)
def test_what_cannot_be_is_told_beside_the_field(owner, garden, heap, name, fields, said):
    answer = owner.post(address(name, garden, heap.pk), {"on": "2026-05-10"} | fields)

    assert answer.status_code == 422
    assert said in answer.content.decode()


def test_a_day_is_in_the_log_once(owner, garden, heap):
    HeapReadingFactory(heap=heap, on=date(2026, 5, 4))
    sent = {"on": "2026-05-04", "temperature_c": "60"}
    answer = owner.post(address("heap_reading_new", garden, heap.pk), sent)

    assert "That day is in the log already" in answer.content.decode()


def test_a_closed_heap_takes_nothing_more(owner, garden, heap):
    heap.closed_on = MAY + timedelta(days=3)
    heap.save()
    sent = {"on": "2026-05-10", "material": "straw", "mass_kg": "2 kg"}
    answer = owner.post(address("heap_input_new", garden, heap.pk), sent)

    assert "was closed on 4 May 2026" in answer.content.decode()


def test_the_page_of_a_heap_is_light(owner, garden, heap, birds, django_assert_max_num_queries):
    HeapReadingFactory(heap=heap)
    HeapInputFactory(heap=heap)
    StayFactory(**birds, bed=None, first_day=date(2026, 6, 3), end_day=date(2026, 6, 6))
    with django_assert_max_num_queries(14):
        shown(owner, heap)
