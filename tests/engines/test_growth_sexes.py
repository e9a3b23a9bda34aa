"""Males and females: what their share does to a flock, and to a weighing of one sex."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flocks.sexes import over_flock_mean, strain_of_sexes
from flocks.strains import built_in_strains

STRAINS = built_in_strains()


@pytest.mark.parametrize(("share", "sex"), [(1.0, "male"), (0.0, "female")])
def test_a_flock_of_one_sex_grows_as_that_sex_s_own_table(share: float, sex: str) -> None:
    moved, own = strain_of_sexes(STRAINS["fast"], share), STRAINS[f"fast-{sex}"]

    for age in (14, 28, 42, 56):
        assert moved.curve.weight_g(age) == pytest.approx(own.curve.weight_g(age), rel=0.02)
    assert moved.bird_cv == pytest.approx(own.bird_cv, abs=0.002)


def test_as_many_of_either_are_the_strain_itself() -> None:
    moved = strain_of_sexes(STRAINS["ranger"], 0.5)

    assert moved.curve == STRAINS["ranger"].curve
    assert moved.bird_cv == pytest.approx(STRAINS["ranger"].bird_cv)


@given(share=st.floats(0, 1), age=st.floats(1, 70))
def test_both_sexes_together_are_the_flock(share: float, age: float) -> None:
    male, female = (over_flock_mean(sex, share, age) for sex in ("male", "female"))

    assert share * male + (1 - share) * female == pytest.approx(1.0)
    assert male >= female


@given(less=st.floats(0, 1), more=st.floats(0, 1))
def test_more_males_are_a_heavier_flock(less: float, more: float) -> None:
    less, more = sorted((less, more))
    lighter, heavier = (strain_of_sexes(STRAINS["fast"], share) for share in (less, more))

    assert lighter.curve.weight_g(42) <= heavier.curve.weight_g(42) * (1 + 1e-12)


@pytest.mark.parametrize("share", [-0.1, 1.1])
def test_a_share_beyond_all_birds_is_refused(share: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        strain_of_sexes(STRAINS["fast"], share)
    with pytest.raises(ValueError, match="between 0 and 1"):
        over_flock_mean("male", share, 21)
