"""Nitrogen and phosphorus per finished bird against the handbook and the weekly table."""

from __future__ import annotations

from dataclasses import replace

import pytest

from flocks.excretion import handbook_nitrogen_g
from flocks.feed import DietPhase, FeedCurve
from flocks.growth import forecast
from flocks.strains import Strain, built_in_strains

HANDBOOK_WEIGHT_G = 2430
"""Middle of 2.36-2.5 kg, the handbook's finished broiler. ASABE D384.2, numbers from memory."""
HANDBOOK_NITROGEN_G = 53
HANDBOOK_PHOSPHORUS_G = 16

WEEKLY_PROTEIN = (23, 23, 22, 20, 20, 19, 18, 18, 18)
"""Crude protein by week behind the derived table of excretion [%]."""


FAST_FEED_SHARE = 0.95
"""What fast strains are taken to eat of the table's feed; the derived figures below rest on the whole."""


def _fed_as_printed(key: str) -> Strain:
    strain = built_in_strains()[key]
    share = FAST_FEED_SHARE if key == "fast" else 1.0
    return replace(strain, feed_at_weight=tuple((g, f / share) for g, f in strain.feed_at_weight))


def _weekly_diet() -> list[DietPhase]:
    return [DietPhase(7 * week, share / 100) for week, share in enumerate(WEEKLY_PROTEIN)]


@pytest.mark.parametrize(
    ("key", "published"),
    [
        # Derived: mass balance of the Poultry CRC and of the NRC 1994 table (the latter recalled), 29 g N
        # kept per kg; cumulative g of nitrogen by the end of weeks 1 to 9.
        ("fast", (1.8, 5.9, 16, 28, 47, 67, 92, 117, 144)),
        ("older-standard", (1.8, 6.0, 14, 25, 39, 59, 80, 105, 134)),
    ],
)
def test_nitrogen_to_each_week_follows_the_weekly_table(key: str, published: tuple) -> None:
    weeks = [7 * week for week in range(1, 10)]
    told = forecast(_fed_as_printed(key), diet=_weekly_diet(), ages=weeks)

    median = told.nitrogen_excreted_per_bird_g.median
    assert median == pytest.approx(published, rel=0.09, abs=0.15)


def test_a_bird_of_six_weeks_drops_three_grams_a_day() -> None:
    # Derived table, week 6 of the Poultry CRC bird: 2.9 g of nitrogen a day.
    daily = forecast(built_in_strains()["fast"], diet=_weekly_diet(), ages=[63]).by_day

    assert daily.nitrogen_g.median[35:42].mean() == pytest.approx(2.9, rel=0.06)


def test_handbook_equation_gives_the_handbook_total() -> None:
    strain = _fed_as_printed("fast")
    feed_g = FeedCurve(strain.feed_at_weight, strain.hatch_g).cumulative_g(HANDBOOK_WEIGHT_G)

    # 20 % crude protein over the whole life, as the middle of starter, grower and finisher.
    assert handbook_nitrogen_g(feed_g, 0.20) == pytest.approx(HANDBOOK_NITROGEN_G, rel=0.05)


def test_mass_balance_is_on_the_safe_side_of_the_handbook() -> None:
    told = forecast(built_in_strains()["fast"], ages=range(57))
    finished = int(told.flock_mean_g.median.searchsorted(HANDBOOK_WEIGHT_G))
    nitrogen, phosphorus = told.nitrogen_excreted_per_bird_g, told.phosphorus_excreted_per_bird_g

    # Not below it and at most a third above: a bed is filled sooner on paper than in the ground.
    assert 1.0 <= nitrogen.median[finished] / HANDBOOK_NITROGEN_G <= 1.34
    assert nitrogen.low[finished] < HANDBOOK_NITROGEN_G < nitrogen.high[finished]
    assert phosphorus.median[finished] == pytest.approx(HANDBOOK_PHOSPHORUS_G, rel=0.2)
