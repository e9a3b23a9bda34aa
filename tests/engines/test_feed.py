"""Feed by weight, by age and by the bag; water by feed and warmth."""

from __future__ import annotations

import numpy as np
import pytest

from flocks.feed import (
    DietPhase,
    FeedCurve,
    bags_needed,
    diet_programmes,
    phase_on,
    water_litres,
)

TABLE = ((42.0, 0.0), (170.0, 150.0), (435.0, 470.0), (820.0, 1075.0))


class TestFeedCurve:
    @pytest.mark.parametrize(("weight_g", "feed_g"), TABLE)
    def test_the_table_is_met_at_its_rows(self, weight_g: float, feed_g: float) -> None:
        assert FeedCurve(TABLE, 42).cumulative_g(weight_g) == pytest.approx(feed_g)

    def test_feed_rises_with_weight_and_goes_on_past_the_table(self) -> None:
        feed_g = FeedCurve(TABLE, 42).cumulative_g(np.linspace(0, 2000, 401))

        assert feed_g[0] == 0
        assert np.all(np.diff(feed_g) >= 0)
        assert feed_g[-1] > 1075 + 1180 * 1.4

    @pytest.mark.parametrize("hatch_g", [36.0, 50.0])
    def test_a_chick_of_another_weight_has_eaten_nothing(self, hatch_g: float) -> None:
        assert FeedCurve(TABLE, hatch_g).cumulative_g(hatch_g) == 0


class TestDiet:
    @pytest.mark.parametrize(
        ("age", "protein"),
        [
            # NRC 1994 as printed in the Merck Veterinary Manual: 0-3, 3-6 and 6-8 weeks.
            (0, 0.23),
            (20, 0.23),
            (21, 0.20),
            (41, 0.20),
            (42, 0.18),
            (70, 0.18),
        ],
    )
    def test_the_standard_programme_is_the_published_one(self, age: int, protein: float) -> None:
        assert phase_on(diet_programmes()["standard"], age).crude_protein == protein

    def test_order_does_not_matter_and_the_first_phase_holds_before_its_day(self) -> None:
        late, early = DietPhase(20, 0.18), DietPhase(5, 0.22)

        assert phase_on([late, early], 2) == early
        assert phase_on([late, early], 30) == late

    def test_no_phase_is_no_diet(self) -> None:
        with pytest.raises(ValueError, match="at least one phase"):
            phase_on([], 3)


class TestBags:
    @pytest.mark.parametrize(
        ("feed_g", "bag_kg", "waste", "bags"),
        [
            (142_500, 22.7, 0.12, 8),  # 25 birds to seven weeks at 5.7 kg each: 160 kg
            (25_000, 25, 0.0, 1),  # exactly one bag
            (25_001, 25, 0.0, 2),
            (0, 25, 0.12, 0),
        ],
    )
    def test_whole_bags(self, feed_g: float, bag_kg: float, waste: float, bags: int) -> None:
        assert bags_needed(feed_g, bag_kg, waste) == bags

    def test_an_empty_bag_is_refused(self) -> None:
        with pytest.raises(ValueError, match="more than 0 kg"):
            bags_needed(1000, 0)


class TestWater:
    @pytest.mark.parametrize(
        ("feed_g", "temperature_c", "for_drinkers", "litres"),
        [
            (100, 15, False, 0.19),  # mild: feed times 1.9
            (100, 21, True, 0.19),
            (100, 32, False, 0.19 * 1.44),  # 30-50 % more above 32 °C than at 21 °C
            (100, 31, True, 0.19 * 1.70),  # 7 % a degree
        ],
    )
    def test_birds_drink_with_feed_and_warmth(
        self, feed_g: float, temperature_c: float, for_drinkers: bool, litres: float
    ) -> None:
        told = water_litres(feed_g, temperature_c, for_drinkers=for_drinkers)

        assert told == pytest.approx(litres)
