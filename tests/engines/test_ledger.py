"""The ledger of a bed: what comes, what goes, what escapes, and that every gram is somewhere."""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garden.crops_reference import removal_table
from garden.ledger import (
    EntryKind,
    LedgerEntry,
    balance_by_day,
    ledger,
    phosphorus_dropped_g,
    usable_nitrogen_g,
)
from garden.npk import Element, Npk, NpkBand
from garden.nutrients import NitrogenPolicy

POLICY = NitrogenPolicy()  # 0.80 kept, 0.60 released in the first year


def entry(day: date, kind: EntryKind, *grams: float, **more: object) -> LedgerEntry:
    return LedgerEntry(day, kind, "x", NpkBand.exactly(Npk(*grams)), **more)


BIRDS = entry(date(2026, 4, 9), EntryKind.DROPPINGS, 50.0, 15.0, 30.0)
CABBAGE = entry(date(2026, 9, 20), EntryKind.HARVEST, 31.0, 3.3, 27.0)
MORE_BIRDS = entry(date(2026, 10, 2), EntryKind.DROPPINGS, 20.0, 6.0, 12.0)


def test_a_year_of_a_bed() -> None:
    """Nitrogen escapes in part, phosphorus and potassium stay whole and pile up."""
    lines = ledger([MORE_BIRDS, CABBAGE, BIRDS], kept_share=0.8)

    assert [line.entry for line in lines] == [BIRDS, CABBAGE, MORE_BIRDS]
    assert [line.change.likely.nitrogen_g for line in lines] == pytest.approx([40.0, -31.0, 16.0])
    assert [line.balance.likely.nitrogen_g for line in lines] == pytest.approx([40.0, 9.0, 25.0])
    assert [line.balance.likely.phosphorus_g for line in lines] == pytest.approx([15.0, 11.7, 17.7])
    assert [line.balance.likely.potassium_g for line in lines] == pytest.approx([30.0, 3.0, 15.0])
    assert [line.to_air_g for line in lines] == pytest.approx([10.0, 0.0, 4.0])


def test_what_takes_away_widens_the_interval_like_what_comes() -> None:
    picked = LedgerEntry(
        CABBAGE.day, EntryKind.HARVEST, "x", NpkBand(Npk(20.0), Npk(30.0), Npk(40.0))
    )
    lines = ledger([BIRDS, picked], kept_share=1.0)

    assert (lines[1].balance.low.nitrogen_g, lines[1].balance.high.nitrogen_g) == (10.0, 30.0)


def test_entries_of_one_day_keep_their_order() -> None:
    same_day = entry(BIRDS.day, EntryKind.HARVEST, 1.0)

    assert [line.entry for line in ledger([same_day, BIRDS], kept_share=1.0)] == [same_day, BIRDS]
    assert ledger([], kept_share=0.8) == ()


@pytest.mark.parametrize("grams", [(-1.0, 0.0), (0.0, -1.0), (0.0, 0.0, -1.0), (float("nan"), 0.0)])
def test_negative_grams_are_refused(grams: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="expected nitrogen, phosphorus and potassium >= 0"):
        entry(BIRDS.day, EntryKind.DROPPINGS, *grams)


def test_birds_bring_several_times_the_phosphorus_a_harvest_takes() -> None:
    """A year's limit on 10 m², 170 g nitrogen, against a commercial 45 kg of cabbage."""
    brought_g = phosphorus_dropped_g(170.0)
    taken_g = removal_table()["Cabbage"].phosphorus_g(harvest_kg=45.0)

    assert brought_g == pytest.approx(51.3, abs=0.1)
    assert brought_g > 3 * taken_g


def test_a_stay_comes_to_the_balance_day_by_day() -> None:
    stay = entry(
        date(2026, 1, 4),
        EntryKind.DROPPINGS,
        100.0,
        first_day=date(2026, 1, 2),
        by_day=(0.2, 0.3, 0.5),
    )
    before = entry(date(2025, 12, 1), EntryKind.COMPOST, 7.0)
    days = balance_by_day(
        [stay, before],
        Element.NITROGEN,
        first_day=date(2026, 1, 1),
        end_day=date(2026, 1, 6),
        kept_share=0.5,
    )

    assert [day.likely_g for day in days] == pytest.approx([7, 17, 32, 57, 57])
    assert [day.day.day for day in days] == [1, 2, 3, 4, 5]


def test_a_stay_over_new_year_brings_forward_its_first_days() -> None:
    stay = entry(
        date(2026, 1, 1), EntryKind.DROPPINGS, 10.0, first_day=date(2025, 12, 31), by_day=(0.5, 0.5)
    )
    (first, *_) = balance_by_day(
        [stay],
        Element.NITROGEN,
        first_day=date(2026, 1, 1),
        end_day=date(2026, 1, 3),
        kept_share=1.0,
    )

    assert first.likely_g == 10.0


@pytest.mark.parametrize(
    ("kind", "days_ago", "expected"),
    [
        (EntryKind.DROPPINGS, 0, (48.0, 0, 0)),  # 100 x 0.80 kept x 0.60
        (EntryKind.DROPPINGS, 364, (48.0, 0, 0)),
        (EntryKind.DROPPINGS, 365, (0, 10.0, 0)),  # 100 x 0.80 x 0.125
        (EntryKind.DROPPINGS, 730, (0, 0, 4.0)),  # 100 x 0.80 x 0.05
        (EntryKind.DROPPINGS, 1095, (0, 0, 0)),
        (EntryKind.DROPPINGS, -1, (0, 0, 0)),
        (EntryKind.COMPOST, 10, (20.0, 0, 0)),
        (EntryKind.COMPOST, 400, (0, 12.5, 0)),
        (EntryKind.FERTILISER, 10, (100.0, 0, 0)),
        (EntryKind.FERTILISER, 400, (0, 0, 0)),
        (EntryKind.LEGUME, 10, (100.0, 0, 0)),
        (EntryKind.LIFTED, 10, (-60.0, 0, 0)),  # it had lost its share to the air before
        (EntryKind.HARVEST, 10, (0, 0, 0)),
    ],
)
def test_what_crops_can_use_by_kind_and_year(kind: EntryKind, days_ago: int, expected) -> None:
    on = date(2026, 6, 12)
    given_g = usable_nitrogen_g([entry(on - timedelta(days=days_ago), kind, 100.0)], on, POLICY)

    assert given_g == pytest.approx(expected)


masses = st.builds(Npk, *[st.floats(0, 5000) for _ in range(3)])
entries_strategy = st.lists(
    st.builds(
        lambda days, kind, mass: LedgerEntry(
            date(2024, 1, 1) + timedelta(days=days), kind, "x", NpkBand.within(mass, 0.3)
        ),
        st.integers(0, 1400),
        st.sampled_from(EntryKind),
        masses,
    ),
    max_size=40,
)


@settings(max_examples=60, deadline=None)
@given(entries_strategy, st.floats(0.0, 1.0))
def test_every_gram_is_in_the_bed_in_the_air_or_carried_off(entries, kept_share) -> None:
    lines = ledger(entries, kept_share=kept_share)
    away = {EntryKind.HARVEST, EntryKind.LIFTED}
    came = sum(e.mass.likely.nitrogen_g for e in entries if e.kind not in away)
    went = sum(e.mass.likely.nitrogen_g for e in entries if e.kind in away)
    in_air = sum(line.to_air_g for line in lines)
    in_bed = lines[-1].balance.likely.nitrogen_g if lines else 0.0

    assert came == pytest.approx(went + in_air + in_bed, rel=1e-9, abs=1e-9)
    for line in lines:
        assert line.balance.low.nitrogen_g <= line.balance.likely.nitrogen_g + 1e-9
        assert line.balance.likely.phosphorus_g <= line.balance.high.phosphorus_g + 1e-9


@settings(max_examples=40, deadline=None)
@given(entries_strategy, st.floats(0.0, 1.0), st.sampled_from(Element))
def test_the_chart_ends_where_the_ledger_does(entries, kept_share, element) -> None:
    lines = ledger(entries, kept_share=kept_share)
    days = balance_by_day(
        entries,
        element,
        first_day=date(2026, 1, 1),
        end_day=date(2028, 1, 1),
        kept_share=kept_share,
    )
    told = lines[-1].balance.likely.of(element) if lines else 0.0

    assert days[-1].likely_g == pytest.approx(told, abs=1e-6)
