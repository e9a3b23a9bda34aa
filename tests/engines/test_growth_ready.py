"""When birds are ready, what a day more costs, and what taking the heaviest leaves."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flocks.growth import Forecast, forecast
from flocks.ready import (
    Target,
    carcass_g,
    chance_ready,
    daily_margins,
    live_for_carcass_g,
    mean_wanted_g,
    ready_age,
    take_heaviest,
    waiting,
)
from flocks.strains import built_in_strains
from flocks.weighings import Weighing


@pytest.fixture(scope="module")
def told() -> Forecast:
    fast = built_in_strains()["fast"]
    return forecast(fast, weighings=[Weighing(21, 820, 10), Weighing(28, 1330, 10)], target_g=2500)


class TestReady:
    def test_the_flock_s_mean_is_ready_when_the_forecast_says(self, told: Forecast) -> None:
        assert ready_age(told.paths, Target(2500)) == told.target_age_days

    def test_most_birds_are_over_a_mass_later_than_their_mean(self, told: Forecast) -> None:
        mean = ready_age(told.paths, Target(2500))
        most = ready_age(told.paths, Target(2500, share_of_birds=0.8))
        nearly_all = ready_age(told.paths, Target(2500, share_of_birds=0.95))

        assert mean.median < most.median < nearly_all.median

    def test_the_share_of_birds_is_that_of_a_log_normal_flock(self) -> None:
        wanted_g = mean_wanted_g(Target(2000, share_of_birds=0.8), 0.11)

        birds = np.random.default_rng(1).normal(size=400_000)
        log_sd = np.sqrt(np.log1p(0.11**2))
        weights_g = wanted_g * np.exp(log_sd * birds - log_sd**2 / 2)
        assert weights_g.mean() == pytest.approx(wanted_g, rel=1e-3)
        assert (weights_g >= 2000).mean() == pytest.approx(0.8, abs=0.003)

    def test_a_carcass_needs_a_heavier_bird(self, told: Forecast) -> None:
        live = ready_age(told.paths, Target(1800))
        carcass = ready_age(told.paths, Target(1800, carcass=True))
        own = ready_age(told.paths, Target(1800, carcass=True, yield_share=0.72))

        assert live.median < carcass.median
        assert own == ready_age(told.paths, Target(2500))

    def test_the_chance_rises_from_none_to_half_at_the_median(self, told: Forecast) -> None:
        chance = chance_ready(told.paths, Target(2500))
        day = np.searchsorted(told.paths.age_days, ready_age(told.paths, Target(2500)).median)

        assert np.all(np.diff(chance) >= 0)
        assert chance[0] == 0.0
        assert chance[day - 1] <= 0.5 <= chance[day]

    @pytest.mark.parametrize(
        ("live_g", "published"),
        [
            (1346, 0.718),  # carcass table quoted beside 28-day birds
            (1483, 0.743),  # the same, 30 days
            (2500, 0.75),  # grower guidelines 2007: about 75 %
        ],
    )
    def test_the_yield_is_near_the_published_ones(self, live_g: float, published: float) -> None:
        assert carcass_g(live_g) / live_g == pytest.approx(published, abs=0.045)

    @given(live_g=st.floats(200, 9000))
    def test_a_dressed_weight_leads_back_to_the_live_one(self, live_g: float) -> None:
        assert live_for_carcass_g(carcass_g(live_g)) == pytest.approx(live_g, rel=1e-6)

    @pytest.mark.parametrize(
        ("wrong", "reason"),
        [
            ({"mass_g": 0}, "above 0 g"),
            ({"mass_g": 2000, "share_of_birds": 1.0}, "share of birds"),
            ({"mass_g": 2000, "yield_share": 0.2}, "between 40 and 90 %"),
        ],
    )
    def test_what_cannot_be_wanted_is_refused(self, wrong: dict, reason: str) -> None:
        with pytest.raises(ValueError, match=reason):
            Target(**wrong)


class TestMargins:
    def test_a_gram_costs_more_feed_each_week(self, told: Forecast) -> None:
        margins = daily_margins(told.paths)

        weekly = margins.feed_per_gain.median[14:56:7]
        assert np.all(np.diff(weekly) > 0)
        assert 1.2 < weekly[0] < weekly[-1] < 4

    def test_the_days_add_up_to_the_wait(self, told: Forecast) -> None:
        margins, week = daily_margins(told.paths), waiting(told.paths, 42, 49)

        assert margins.gain_g.median[42:49].sum() == pytest.approx(week.gain_g[1], rel=0.02)
        assert margins.feed_g.median[42:49].sum() == pytest.approx(week.feed_g[1], rel=0.02)
        assert week.feed_g[0] < week.feed_g[1] < week.feed_g[2]

    def test_the_last_paying_day_comes_earlier_with_dearer_feed(self, told: Forecast) -> None:
        margins = daily_margins(told.paths)

        cheap, dear = margins.last_paying_day(0.5, 1.5), margins.last_paying_day(0.7, 1.5)
        assert dear < cheap
        assert margins.feed_per_gain.median[dear] * 0.7 <= 1.5
        assert margins.last_paying_day(9.0, 0.1) is None

    def test_ages_that_were_not_forecast_are_refused(self, told: Forecast) -> None:
        with pytest.raises(ValueError, match="two ages of the forecast"):
            waiting(told.paths, 42, 500)


class TestTakingTheHeaviest:
    def test_half_of_a_flock(self) -> None:
        parting = take_heaviest(100, 50, 0.11)

        # Means of the halves of a normal distribution: 0.8 standard deviations either side.
        assert parting.taken_mean == pytest.approx(1 + 0.8 * 0.11, abs=0.01)
        assert parting.left_mean == pytest.approx(1 - 0.8 * 0.11, abs=0.01)
        assert parting.left_cv < 0.08
        assert parting.lightest_taken == pytest.approx(1.0, abs=0.01)

    @given(
        birds=st.integers(1, 300),
        share=st.floats(0, 1),
        cv=st.floats(0, 0.3, allow_subnormal=False),
    )
    @settings(max_examples=60)
    def test_the_two_parts_make_the_flock_again(self, birds: int, share: float, cv: float) -> None:
        parting = take_heaviest(birds, int(share * birds), cv)

        whole = parting.taken * (parting.taken_mean or 0) + parting.left * (parting.left_mean or 0)
        assert whole == pytest.approx(birds)
        assert (parting.left_mean or 0) <= 1 + 1e-9
        assert (parting.taken_mean or 1) >= 1 - 1e-9

    def test_no_bird_and_one_bird(self) -> None:
        assert take_heaviest(0, 0, 0.11).left_mean is None
        assert take_heaviest(1, 1, 0.11).taken_mean == 1.0
        assert take_heaviest(1, 0, 0.11).left_cv == 0.0

    def test_more_than_there_are_are_refused(self) -> None:
        with pytest.raises(ValueError, match="as many birds"):
            take_heaviest(5, 6, 0.11)
