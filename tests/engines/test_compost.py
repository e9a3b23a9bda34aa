"""A compost heap: its mix, its hot days, and that what goes in comes out somewhere."""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garden.compost import (
    NITROGEN_LOST,
    Reading,
    carbon_to_nitrogen,
    heap_account,
    hot_days,
    material_needed_kg,
    materials,
    share_carried,
)
from garden.npk import Npk, total
from garden.provenance import Mark

BEGUN = date(2026, 5, 1)


def log(*readings: tuple[float | None, bool] | float) -> list[Reading]:
    """A reading for each day from the day after the heap was begun."""
    pairs = [each if isinstance(each, tuple) else (each, False) for each in readings]
    return [
        Reading(BEGUN + timedelta(days=day), heat_c, turned)
        for day, (heat_c, turned) in enumerate(pairs, 1)
    ]


def judged(readings: list[Reading], *, in_vessel: bool = False, ratio: float = 30.0):
    return hot_days(readings, in_vessel=in_vessel, ratio=ratio, last_raw_on=BEGUN)


def test_every_material_has_a_source_and_nothing_recalled_is_a_citation() -> None:
    for material in materials().values():
        assert len(material.provenance.source) > 10
        recalled = material.provenance.source.startswith("recalled: ")
        assert recalled == (material.provenance.mark is Mark.FROM_MEMORY), material.name


def test_three_hot_days_in_a_row_do_in_a_vessel() -> None:
    found = judged(log(40, 56, 60, 55), in_vessel=True)

    assert found.composted_on == date(2026, 5, 5)
    assert found.lacks() == []


@pytest.mark.parametrize("gap", [54.9, 77.1, None])
def test_a_day_too_cold_too_hot_or_not_read_breaks_the_row(gap: float | None) -> None:
    found = judged(log(56, 60, (gap, True), 58, 57), in_vessel=True)

    assert found.composted_on is None
    assert found.lacks() == ["1 more day between 55 and 77 °C"]


def test_an_open_heap_takes_fifteen_hot_days_and_five_turnings() -> None:
    hot, turned = (60.0, False), (60.0, True)
    days = [hot, hot, turned] * 5

    assert judged(log(*days)).composted_on == BEGUN + timedelta(days=15)
    assert judged(log(*days[:-1])).lacks() == [
        "1 more day between 55 and 77 °C",
        "1 more turning",
    ]


def test_its_hot_days_need_not_be_in_a_row_because_turning_cools_it() -> None:
    cooled = [(60.0, False), (60.0, False), (60.0, False), (45.0, True)] * 5

    found = judged(log(*cooled))
    assert (found.hot, found.turnings) == (15, 5)
    assert found.composted_on == BEGUN + timedelta(days=20)


def test_turning_before_it_was_hot_does_not_count() -> None:
    assert judged(log((30, True), (35, True), (60, True))).turnings == 1


def test_what_was_logged_before_the_last_droppings_went_on_does_not_count() -> None:
    readings = log(*[60.0] * 4)
    found = hot_days(readings, in_vessel=True, ratio=30, last_raw_on=BEGUN + timedelta(days=2))

    assert found.hot == 2
    assert found.composted_on is None


@pytest.mark.parametrize(("ratio", "right"), [(24.9, False), (25, True), (40, True), (40.1, False)])
def test_the_mix_must_be_right_too(ratio: float, right: bool) -> None:
    found = judged(log(60, 60, 60), in_vessel=True, ratio=ratio)

    assert (found.composted_on is not None) == right
    assert ("a mix of 25 to 40 parts carbon to one of nitrogen" in found.lacks()) == (not right)


def test_straw_brings_droppings_to_thirty_to_one() -> None:
    straw = materials()["straw"]
    carbon_g, nitrogen_g = 546.0, 53.0  # a finished broiler: 1.3 kg of solids, 42 % carbon; 53 g N
    kg = material_needed_kg(carbon_g, nitrogen_g, straw)

    # (546 + 480 x) / (53 + 5 x) = 30, so x = (1590 - 546) / 330
    assert kg == pytest.approx(1044 / 330)
    mixed = carbon_to_nitrogen(carbon_g + 480 * kg, nitrogen_g + 5 * kg)
    assert mixed == pytest.approx(30)


def test_a_mix_with_carbon_enough_needs_none_and_kitchen_scraps_never_will_do() -> None:
    assert material_needed_kg(10_000, 53, materials()["straw"]) == 0
    with pytest.raises(ValueError, match="too little carbon"):
        material_needed_kg(546, 53, materials()["kitchen"])
    assert carbon_to_nitrogen(100, 0) is None


masses = st.builds(Npk, *[st.floats(0, 9000) for _ in range(3)])


@settings(max_examples=60, deadline=None)
@given(st.lists(masses, max_size=12), st.lists(st.floats(1, 100), max_size=6))
def test_what_goes_in_is_left_in_the_air_or_on_a_bed(put_in, percents) -> None:
    carried: list[Npk] = []
    for percent in percents:
        carried.append(share_carried(heap_account(put_in, carried), percent))
    account = heap_account(put_in, carried)
    found = account.left + account.carried + Npk(account.to_air_g)

    for name in ("nitrogen_g", "phosphorus_g", "potassium_g"):
        assert getattr(found, name) == pytest.approx(
            getattr(total(put_in), name), rel=1e-9, abs=1e-9
        )
        assert getattr(account.left, name) >= -1e-6
    assert account.to_air_g == pytest.approx(NITROGEN_LOST.value * account.put_in.nitrogen_g)


def test_a_heap_spread_beyond_its_log_carries_nothing_more() -> None:
    account = heap_account([Npk(10.0)], [Npk(9.0)])

    assert account.left.nitrogen_g == pytest.approx(-2.0)
    assert share_carried(account, 100) == Npk()
