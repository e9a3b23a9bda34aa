"""The balance of what goes in and what stays."""

from __future__ import annotations

import numpy as np
import pytest

from flocks.excretion import handbook_nitrogen_g, nitrogen_excreted_g, phosphorus_excreted_g


@pytest.mark.parametrize(
    ("feed_g", "gain_g", "protein", "nitrogen_g"),
    [
        (6.25, 0, 1.0, 1.0),  # pure protein is a sixth and a bit of nitrogen
        (1000, 500, 0.20, 32 - 14.5),  # by hand: 32 g eaten, 14.5 g kept
        (10, 100, 0.20, 0.0),  # a gain that the feed cannot explain leaves nothing, not less
        (0, 0, 0.20, 0.0),
    ],
)
def test_nitrogen_is_what_was_eaten_less_what_was_kept(
    feed_g: float, gain_g: float, protein: float, nitrogen_g: float
) -> None:
    assert nitrogen_excreted_g(feed_g, gain_g, protein) == pytest.approx(nitrogen_g)


def test_phosphorus_is_balanced_alike() -> None:
    assert phosphorus_excreted_g(1000, 500, 0.006) == pytest.approx(6 - 2.25)
    assert phosphorus_excreted_g(1, 500, 0.006) == 0


def test_the_handbook_leaves_two_fifths_of_the_feed_nitrogen() -> None:
    assert handbook_nitrogen_g(1000, 0.20) == pytest.approx(0.4 * 32)


def test_arrays_are_balanced_bird_by_bird() -> None:
    told = nitrogen_excreted_g(np.array([1000.0, 0.0]), np.array([500.0, 10.0]), 0.20)

    assert told == pytest.approx([17.5, 0.0])
