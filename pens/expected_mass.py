"""What birds of a strain are expected to weigh by their age.

The floor above knows, and this floor may not import it; so it registers its teller when it starts, and the
design page asks here.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class StrainWeights:
    """A strain by its key and plain name, and what a bird weighs at the end of each week of its life [g]."""

    key: str
    name: str
    mass_g_by_week: tuple[float, ...]

    @property
    def by_week(self) -> dict[int, float]:
        """The weights by week, from 1 [g]."""
        return dict(enumerate(self.mass_g_by_week, start=1))


Teller = Callable[[], Sequence[StrainWeights]]

_tellers: list[Teller] = []


def tell_expected_mass(teller: Teller) -> Teller:
    """Register who knows the strains; usable as a decorator."""
    _tellers.append(teller)
    return teller


def strains_told() -> list[StrainWeights]:
    """Return every strain that is known, in its teller's order."""
    return [strain for teller in _tellers for strain in teller()]


def strain_told(key: str) -> StrainWeights | None:
    """Return one strain, or None where nobody knows it."""
    return next((strain for strain in strains_told() if strain.key == key), None)
