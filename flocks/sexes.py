"""Males and females of a flock: what a share of males does to a strain, and to a weighing of one sex.

PURE. Strains are for as many males as females, but for those that name a sex. How far the sexes differ is read
off the male and the female curve of the fast class, and taken to be alike in other strains.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

from flocks.strains import Spread, Strain, built_in_strains

Sex = Literal["male", "female"]

EVEN = 0.5
"""Share of males that a strain of both sexes is for [1]."""
BETWEEN_SEXES_CV = 0.06
"""How far either sex is off the mean of both where there are as many of each [1]. Derived from the male and
female columns of the Poultry CRC table, as the spread of the mixed strain is."""


def strain_of_sexes(strain: Strain, male_share: float) -> Strain:
    """Return what is expected of a flock with a share of males.

    Parameters
    ----------
    strain : Strain
        For as many males as females.
    male_share : float
        0 to 1 [1].

    Returns
    -------
    Strain
        Its three figures moved towards the males' or the females', and with less spread between birds the
        fewer there are of one sex.

    Raises
    ------
    ValueError
        When the share is out of its range.
    """
    _check(male_share)
    male, female = (built_in_strains()[f"fast-{sex}"] for sex in ("male", "female"))
    off = male_share - EVEN

    def moved(figure: Spread, males: Spread, females: Spread) -> Spread:
        return replace(figure, median=figure.median * (males.median / females.median) ** off)

    within = strain.bird_cv**2 - (1.0 - 4.0 * male_share * (1.0 - male_share)) * BETWEEN_SEXES_CV**2
    return replace(
        strain,
        mature_g=moved(strain.mature_g, male.mature_g, female.mature_g),
        rate_per_day=moved(strain.rate_per_day, male.rate_per_day, female.rate_per_day),
        inflection_day=moved(strain.inflection_day, male.inflection_day, female.inflection_day),
        bird_cv=math.sqrt(within),
    )


def over_flock_mean(sex: Sex, male_share: float, age_days: float) -> float:
    """Return the mean weight of one sex over that of a flock with a share of males [1].

    Raises
    ------
    ValueError
        When the share is out of its range.
    """
    _check(male_share)
    male, female = (
        float(built_in_strains()[f"fast-{each}"].curve.weight_g(age_days))
        for each in ("male", "female")
    )
    # In the first days the fitted curves cross, which no males do.
    male = max(male, female)
    flock = male_share * male + (1.0 - male_share) * female
    return (male if sex == "male" else female) / flock


def _check(male_share: float) -> None:
    if not 0.0 <= male_share <= 1.0:
        raise ValueError("a share of males is between 0 and 1")
