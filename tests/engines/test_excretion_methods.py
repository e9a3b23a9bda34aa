"""What a bird leaves a day: what was eaten is in the body or dropped, to the last gram."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flocks.excretion import NITROGEN_PER_PROTEIN, NITROGEN_RETAINED_PER_GAIN
from flocks.excretion_methods import HANDBOOK_WEIGHT_G, compared, daily_excretion
from flocks.feed import DietPhase

DIET = (DietPhase(0, 0.23, 0.0065), DietPhase(21, 0.20, 0.006), DietPhase(42, 0.18, 0.0055))


@settings(max_examples=50, deadline=None)
@given(
    st.lists(st.tuples(st.floats(10, 100), st.floats(1.4, 3.0)), min_size=1, max_size=70),
    st.floats(30, 60),
)
def test_what_was_eaten_is_in_the_bird_or_dropped(days, hatch_g) -> None:
    gains = np.array([gain for gain, _ in days])
    feed_g = np.array([gain * conversion for gain, conversion in days])
    weight_g = hatch_g + np.concatenate([[0.0], np.cumsum(gains)])
    daily = daily_excretion(feed_g, weight_g, DIET)

    protein = np.array([0.23 if d < 21 else 0.20 if d < 42 else 0.18 for d in range(len(days))])
    eaten = feed_g * protein * NITROGEN_PER_PROTEIN
    kept = NITROGEN_RETAINED_PER_GAIN * gains
    assert daily.nitrogen_g + kept == pytest.approx(eaten, rel=1e-9, abs=1e-9)
    assert (daily.phosphorus_g >= 0).all()
    assert (daily.potassium_g >= 0).all()


def test_a_day_of_each_phase_by_hand() -> None:
    """100 g of feed for 50 g of gain: N 3.68 - 1.45; K 0.86 - 0.12; solids 28 g, 0.11 L."""
    days = 43
    daily = daily_excretion(np.full(days, 100.0), 40.0 + 50.0 * np.arange(days + 1), DIET)

    assert daily.nitrogen_g[0] == pytest.approx(3.68 - 1.45)
    assert daily.nitrogen_g[42] == pytest.approx(2.88 - 1.45)
    assert daily.potassium_g[[0, 21, 42]] == pytest.approx([0.74, 0.65, 0.56])
    assert daily.phosphorus_g[0] == pytest.approx(0.65 - 0.225)
    assert daily.dry_matter_g[0] == pytest.approx(28.0)
    assert daily.volume_l[0] == pytest.approx(0.1055, abs=0.001)
    assert daily.on(0).nitrogen_g == pytest.approx(2.23)
    assert daily.on(-1).least_g == 0
    assert daily.dry_matter_on(500) == pytest.approx(28.0)


def test_a_bird_that_never_gets_so_heavy_is_compared_at_the_end() -> None:
    told = compared(np.full(10, 50.0), 40.0 + 25.0 * np.arange(11), DIET)

    assert told.age_days == 10
    assert told.weight_g < HANDBOOK_WEIGHT_G
    assert told.difference_g == pytest.approx(told.by_keeping_g + told.by_feeding_g)
