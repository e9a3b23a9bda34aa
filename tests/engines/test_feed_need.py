"""The need that a store must cover, and when it runs out, over equally likely seasons."""

import numpy as np
import pytest

from flocks.feed_buying import ANY
from flocks.feed_need import need_curves, runs_out


def seasons(daily: list[float], days: int = 10) -> np.ndarray:
    """Return cumulative need of seasons that each eat the same every day."""
    return np.outer(np.arange(1, days + 1), daily)


@pytest.mark.parametrize("chance", [0.0, 0.05, 0.2])
def test_enough_seasons_stay_below_on_every_day_and_of_every_kind(chance):
    rng = np.random.default_rng(1)
    paths = {
        kind: np.cumsum(rng.lognormal(0, 0.3, (30, 400)), axis=0) for kind in ("starter", "grower")
    }
    needs = need_curves(paths, chance)
    below = np.ones(400, dtype=bool)
    for kind, curve in needs.curves.items():
        below &= (paths[kind] <= np.array(curve)[:, None]).all(axis=0)
        assert (np.diff(curve) >= 0).all()
    assert below.mean() >= 1 - chance
    assert needs.covered == pytest.approx(below.mean())


def test_the_hungriest_seasons_do_not_decide():
    hungry = [1.0] * 95 + [9.0] * 5
    assert need_curves({ANY: seasons(hungry)}).curves[ANY][-1] == pytest.approx(10.0)
    assert need_curves({ANY: seasons(hungry)}, chance=0.04).curves[ANY][-1] == pytest.approx(90.0)


def test_no_birds_need_nothing():
    assert need_curves({}).curves == {}
    assert runs_out({}, {}).median is None


def test_the_store_runs_out_between_two_days():
    # 12 kg: who eats 2 kg a day has none on the 7th day (6), who eats 4 on the 4th (3).
    out = runs_out({ANY: seasons([2.0] * 50 + [4.0] * 50)}, {ANY: 12.0})
    assert (out.low, out.high) == (3, 6)


def test_feed_for_another_phase_does_not_help_and_feed_for_all_ages_does():
    paths = {"starter": seasons([1.0] * 10)}
    assert runs_out(paths, {"grower": 50.0}).median == 0
    assert runs_out(paths, {"starter": 2.0, ANY: 3.0}).median == 5
    assert runs_out(paths, {ANY: 10.0}).median is None


def test_a_store_that_lasts_in_most_seasons_has_no_last_day():
    out = runs_out({ANY: seasons([1.0] * 80 + [3.0] * 20)}, {ANY: 10.0})
    assert (out.low, out.median, out.high) == (3, None, None)
