"""Whole birds shared out in proportion."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flocks.sharing import shared_out


@pytest.mark.parametrize(
    ("birds", "floors_m2", "shares"),
    [
        (25, [1.2, 1.2], [13, 12]),  # of equal remainders the first pen gets the odd bird
        (25, [1.2, 0.6], [17, 8]),  # 16.7 and 8.3
        (10, [1, 1, 1], [4, 3, 3]),
        (2, [1, 1, 1], [1, 1, 0]),
        (5, [0, 0], [3, 2]),  # nothing to go by: equal shares
        (7, [2, 0], [7, 0]),
        (0, [1, 2], [0, 0]),
        (9, [], []),
    ],
)
def test_birds_go_by_the_floor(birds, floors_m2, shares):
    assert shared_out(birds, floors_m2) == shares


@settings(max_examples=50)
@given(
    st.integers(0, 10_000),
    st.lists(st.floats(0, 100, allow_subnormal=False), min_size=1, max_size=12),
)
def test_no_bird_is_lost_and_no_share_is_off_by_one(birds, weights):
    shares = shared_out(birds, weights)
    assert sum(shares) == birds
    if total := sum(weights):
        exact = [birds * weight / total for weight in weights]
        assert all(abs(share - just) < 1 + 1e-6 for share, just in zip(shares, exact, strict=True))


@pytest.mark.parametrize(("birds", "weights"), [(-1, [1.0]), (5, [1.0, -0.5])])
def test_less_than_nothing_is_refused(birds, weights):
    with pytest.raises(ValueError, match="at least 0"):
        shared_out(birds, weights)
