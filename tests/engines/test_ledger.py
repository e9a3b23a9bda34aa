"""The ledger of a bed: droppings in, harvests out, and the balance after each."""

from datetime import date

import pytest

from garden.crops_reference import removal_table
from garden.ledger import EntryKind, LedgerEntry, ledger, phosphorus_dropped_g

BIRDS = LedgerEntry(date(2026, 4, 9), EntryKind.DROPPINGS, "spring batch", 50.0, 15.0)
CABBAGE = LedgerEntry(date(2026, 9, 20), EntryKind.HARVEST, "cabbage", 31.0, 3.3)
MORE_BIRDS = LedgerEntry(date(2026, 10, 2), EntryKind.DROPPINGS, "autumn batch", 20.0, 6.0)


def test_a_year_of_a_bed() -> None:
    """Nitrogen escapes in part, phosphorus stays whole and piles up."""
    lines = ledger([MORE_BIRDS, CABBAGE, BIRDS], kept_share=0.8)

    assert [line.entry for line in lines] == [BIRDS, CABBAGE, MORE_BIRDS]
    assert [line.nitrogen_change_g for line in lines] == pytest.approx([40.0, -31.0, 16.0])
    assert [line.nitrogen_balance_g for line in lines] == pytest.approx([40.0, 9.0, 25.0])
    assert [line.phosphorus_change_g for line in lines] == pytest.approx([15.0, -3.3, 6.0])
    assert [line.phosphorus_balance_g for line in lines] == pytest.approx([15.0, 11.7, 17.7])


def test_a_bed_that_is_only_cropped_goes_into_the_red() -> None:
    (line,) = ledger([CABBAGE], kept_share=0.8)

    assert line.phosphorus_balance_g == pytest.approx(-3.3)


def test_entries_of_one_day_keep_their_order() -> None:
    same_day = LedgerEntry(BIRDS.day, EntryKind.HARVEST, "last leeks", 1.0, 0.1)

    assert [line.entry for line in ledger([same_day, BIRDS], kept_share=1.0)] == [same_day, BIRDS]


def test_no_entries_make_no_lines() -> None:
    assert ledger([], kept_share=0.8) == ()


@pytest.mark.parametrize("masses", [(-1.0, 0.0), (0.0, -1.0), (float("nan"), 0.0)])
def test_a_negative_mass_is_refused(masses: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match=r"nitrogen_g, phosphorus_g: expected numbers >= 0"):
        LedgerEntry(date(2026, 4, 9), EntryKind.DROPPINGS, "spring batch", *masses)


def test_birds_bring_several_times_the_phosphorus_a_harvest_takes() -> None:
    """A year's limit on 10 m², 170 g nitrogen, against a commercial 45 kg of cabbage."""
    brought_g = phosphorus_dropped_g(170.0)
    taken_g = removal_table()["Cabbage"].phosphorus_g(harvest_kg=45.0)

    assert brought_g == pytest.approx(51.3, abs=0.1)
    assert brought_g > 3 * taken_g
