"""How far a pen is carried and what its place is called."""

import pytest

from rotation.carrying import carry_m, off_bed_in_words, place_in_words


def test_a_pen_is_carried_straight() -> None:
    assert carry_m((0.0, 0.0), (3.0, 4.0)) == pytest.approx(5.0)


@pytest.mark.parametrize(("origin", "goal"), [(None, (1.0, 1.0)), ((1.0, 1.0), None), (None, None)])
def test_what_is_not_on_the_map_has_no_distance(origin, goal) -> None:
    assert carry_m(origin, goal) is None


@pytest.mark.parametrize(
    ("offset_mm", "offsets_mm", "lies_across", "words"),
    [
        (600.0, [600.0], False, ""),
        (30.0, [], False, ""),
        (20.0, [20.0, 1215.0], False, "place 1 of 2 from the north end"),
        (1215.0, [20.0, 1215.0], True, "place 2 of 2 from the west end"),
        # Put down before the bed was measured anew: the nearest place is meant.
        (1100.0, [20.0, 1215.0, 2408.0], False, "place 2 of 3 from the north end"),
    ],
)
def test_a_place_is_counted_from_one_end(offset_mm, offsets_mm, lies_across, words) -> None:
    assert place_in_words(offset_mm, offsets_mm, lies_across=lies_across) == words


def test_reasons_are_told_with_their_counts() -> None:
    words = off_bed_in_words({"crop": 7, "nitrogen": 2, "rest": 0})
    assert words == "7 shut by a crop or the wait before its harvest, 2 without nitrogen room"


def test_an_unknown_reason_is_told_by_its_name_and_none_by_nothing() -> None:
    assert off_bed_in_words({"flood": 1}) == "1 flood"
    assert off_bed_in_words({}) == ""
