"""What a bed's soil says to its room: a phosphorus cap, and what compost and legumes bring or lifting takes.

PURE. Droppings are the planner's own account; this is everything else that changes how much more may come.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from garden.nutrients import Dropping, load_kg_ha
from garden.phosphorus import UNTESTED, SoilPhosphorus, nitrogen_by_phosphorus_g


@dataclass(frozen=True)
class BedSoil:
    """A bed's soil on a day; without anything known it changes nothing."""

    area_m2: float = 1.0
    """Interior of the bed [m²]."""
    phosphorus: SoilPhosphorus = UNTESTED
    """The last soil test, where the garden heeds it."""
    removals_kg_ha: Mapping[str, float] = field(default_factory=dict)
    """Phosphorus that a usual harvest of each crop takes, by the crop's name [kg/ha]."""
    changes: tuple[Dropping, ...] = ()
    """Total nitrogen that came by hand, and, below nothing, what was lifted again [g]."""
    usable_g: float = 0.0
    """Nitrogen that crops of this year can use out of compost, fertiliser and legumes [g]."""

    @property
    def supply_kg_ha(self) -> float:
        """Return the same as a load [kg/ha]."""
        return load_kg_ha(self.usable_g, self.area_m2)

    def changes_on(self, area_m2: float) -> list[Dropping]:
        """Return the share of the changes that lies on a part of the bed [g]."""
        share = area_m2 / self.area_m2
        return [replace(change, nitrogen_g=change.nitrogen_g * share) for change in self.changes]

    def room_by_phosphorus_g(
        self, area_m2: float, crop_name: str | None, dropped_g: float
    ) -> float:
        """Return the nitrogen that phosphorus still allows on a part of the bed [g].

        Parameters
        ----------
        area_m2 : float
            Of the part. [m²]
        crop_name : str or None
            The next crop; None where none is to come.
        dropped_g : float
            Nitrogen dropped there since the last crop. [g]

        Returns
        -------
        float
            Infinite where the soil test is not high.
        """
        return nitrogen_by_phosphorus_g(
            area_m2,
            self.phosphorus,
            removal_kg_ha=self.removals_kg_ha.get(crop_name or ""),
            nitrogen_dropped_g=dropped_g,
        )


UNKNOWN_SOIL = BedSoil()
"""A bed of whose soil nothing is known."""
