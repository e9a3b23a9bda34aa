"""A garden's own strain: what four batches teach, and what one does not."""

from __future__ import annotations

import pytest

from flocks.growth import forecast
from flocks.own_strain import PastBatch, base_key, own_key, own_strain
from flocks.strains import Strain, built_in_strains
from flocks.weighings import FeedRecord, Weighing


@pytest.fixture(scope="module")
def fast() -> Strain:
    return built_in_strains()["fast"]


def weight_g(strain: Strain, age: float) -> float:
    return float(strain.curve.weight_g(age))


def batch(strain: Strain, share: float, feed_g: float | None = None) -> PastBatch:
    """A batch weighed at a share of its table."""
    weighings = tuple(Weighing(age, share * weight_g(strain, age), 10) for age in (14, 28, 42))
    records = () if feed_g is None else (FeedRecord(0, 42, feed_g),)
    return PastBatch(weighings, records)


def test_four_light_batches_make_a_lighter_strain_by_four_fifths(fast: Strain) -> None:
    own = own_strain(fast, [batch(fast, share) for share in (0.88, 0.92, 0.9, 0.9)])

    assert own.told == "from your 4 batches"
    assert own.strain.mark == "own"
    for age in (14, 28, 42):
        # A flock's own median is itself held to the table a little.
        assert weight_g(own.strain, age) / weight_g(fast, age) == pytest.approx(0.92, abs=0.02)


def test_one_batch_moves_it_half_way(fast: Strain) -> None:
    own = own_strain(fast, [batch(fast, 0.8)])

    assert own.told == "from your 1 batch"
    assert weight_g(own.strain, 28) / weight_g(fast, 28) == pytest.approx(0.9, abs=0.03)


def test_batches_that_agree_narrow_the_next_forecast_and_others_widen_it(fast: Strain) -> None:
    alike = own_strain(fast, [batch(fast, 0.95)] * 8).strain
    apart = own_strain(fast, [batch(fast, s) for s in (0.7, 1.2, 0.75, 1.15, 0.7, 1.2)]).strain

    def width(strain: Strain) -> float:
        band = forecast(strain, ages=[42]).flock_mean_g
        return float(band.high[0] / band.low[0])

    assert width(alike) < width(fast) < width(apart)


def test_the_next_batch_is_forecast_better(fast: Strain) -> None:
    own = own_strain(fast, [batch(fast, s) for s in (0.8, 0.83, 0.78)]).strain
    truth = 0.8 * weight_g(fast, 42)

    off_own = abs(forecast(own, ages=[42]).flock_mean_g.median[0] / truth - 1)
    off_table = abs(forecast(fast, ages=[42]).flock_mean_g.median[0] / truth - 1)
    assert off_own < 0.4 * off_table


def test_feed_is_learnt_where_it_was_logged(fast: Strain) -> None:
    unfed = own_strain(fast, [batch(fast, 1.0)] * 3).strain
    sparing = own_strain(fast, [batch(fast, 1.0, feed_g=3700)] * 3).strain

    assert unfed.feed_at_weight == fast.feed_at_weight
    assert sparing.feed_at_weight[-1][1] < 0.96 * fast.feed_at_weight[-1][1]


def test_without_weighings_there_is_no_own_strain(fast: Strain) -> None:
    assert own_strain(fast, []) is None
    assert own_strain(fast, [PastBatch((Weighing(0, 41, 25),))]) is None


def test_the_formula_says_how_much_the_table_counts(fast: Strain) -> None:
    own = own_strain(fast, [batch(fast, 0.9)] * 3)

    assert "3 parts in 4" in own.formula
    assert own.formula.startswith(own.strain.source)


def test_only_the_latest_batches_are_read(fast: Strain) -> None:
    assert own_strain(fast, [batch(fast, 0.9)] * 15).batches == 12


def test_keys_lead_there_and_back() -> None:
    assert own_key("fast") == own_key("own-fast") == "own-fast"
    assert base_key("own-fast") == base_key("fast") == "fast"
