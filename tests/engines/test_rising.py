"""The curve of feed against weight is the one that is published for rising points."""

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from flocks.rising import RisingCurve
from flocks.strains import built_in_strains


@pytest.mark.parametrize("key", ["fast", "label", "older-standard"])
def test_it_is_the_monotone_cubic_of_the_textbook(key: str) -> None:
    weights, feeds = zip(*built_in_strains()[key].feed_at_weight, strict=True)
    between = np.linspace(weights[0], weights[-1], 500)
    ours, theirs = RisingCurve.through(weights, feeds), PchipInterpolator(weights, feeds)

    assert ours(between) == pytest.approx(theirs(between), rel=1e-9)
    assert ours.last_slope == pytest.approx(float(theirs(weights[-1], 1)))


def test_two_points_make_a_line() -> None:
    curve = RisingCurve.through([40, 1040], [0, 2000])

    assert curve(np.array([40.0, 540.0, 1040.0])) == pytest.approx([0, 1000, 2000])
    assert curve.last_slope == 2.0


def test_it_never_falls_where_points_turn_sharply() -> None:
    curve = RisingCurve.through([0, 1, 2, 10], [0, 5, 5.01, 300])

    assert (np.diff(curve(np.linspace(0, 10, 1000))) >= 0).all()
