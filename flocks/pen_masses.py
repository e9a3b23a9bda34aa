"""What the Build place below asks: the weight of a bird of each strain, week by week."""

from functools import cache

from flocks.curve import GrowthCurve
from flocks.strains import built_in_strains
from pens.expected_mass import StrainWeights, tell_expected_mass

WEEKS = 12
"""How far the curve is told: further than any of these flocks is kept. Our choice."""


@tell_expected_mass
@cache
def strain_weights() -> tuple[StrainWeights, ...]:
    """Return each built-in strain's median curve at the end of weeks 1 to `WEEKS` [g]."""
    told = []
    for key, strain in built_in_strains().items():
        curve = GrowthCurve(
            strain.hatch_g,
            strain.mature_g.median,
            strain.rate_per_day.median,
            strain.inflection_day.median,
        )
        masses_g = tuple(float(curve.weight_g(7.0 * week)) for week in range(1, WEEKS + 1))
        told.append(StrainWeights(key, strain.name, masses_g))
    return tuple(told)
