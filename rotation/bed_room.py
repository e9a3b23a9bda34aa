"""How much nitrogen a whole bed may still receive, and what the plan brings it.

PURE. The planner keeps the same account for each place by itself; a page tells it for the bed.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import inf

from garden.bed_soil import BedSoil
from garden.harvest_interval import HarvestRule, PlantingDates, windows
from garden.nutrients import (
    YEAR_DAYS,
    Dropping,
    NitrogenPolicy,
    annual_room_g,
    dropped_last_365_days_g,
    nitrogen_room_g,
    nitrogen_wanted_g,
)


@dataclass(frozen=True, slots=True)
class BedRoom:
    """A bed's account of nitrogen, total as dropped. [g]"""

    dropped_year_g: float
    """Dropped in the last 365 days."""
    left_g: float
    """What the garden's policy still allows before the next crop, the plan not counted."""
    whole_g: float
    """What it would allow had no birds been there."""
    planned_g: float
    """What the plan brings from today on."""
    wanted_g: float
    """What the next crop could use of it."""
    next_crop: PlantingDates | None
    by_year_g: float = inf
    """What a year's limit alone would still allow."""
    by_need_g: float | None = None
    """What the next crop's need alone would still allow; None where no crop follows."""
    by_phosphorus_g: float = inf
    """What phosphorus would still allow; infinite where the soil test is not high."""

    @property
    def is_held_by_phosphorus(self) -> bool:
        """Whether a high soil test, and not nitrogen, makes the room."""
        return self.by_phosphorus_g <= self.left_g

    @property
    def used_g(self) -> float:
        """Return what earlier birds have taken of the whole room."""
        return max(0.0, self.whole_g - self.left_g)

    @property
    def over_g(self) -> float:
        """Return by how much the plan passes what is left; 0 where it fits."""
        return max(0.0, self.planned_g - self.left_g)


def bed_room(
    area_m2: float,
    plantings: Sequence[PlantingDates],
    droppings: Iterable[Dropping],
    *,
    on: date,
    policy: NitrogenPolicy,
    rule: HarvestRule,
    soil_supply_kg_ha: float = 0.0,
    planned_g: float = 0.0,
    soil: BedSoil | None = None,
) -> BedRoom:
    """Draw up the account of a bed on a day.

    Parameters
    ----------
    area_m2 : float
        Interior of the bed, above 0. [m²]
    plantings : sequence of PlantingDates
        All of the bed.
    droppings : iterable of Dropping
        What birds dropped up to `on`.
    on : date
        The day.
    policy, rule : NitrogenPolicy, HarvestRule
        The garden's own.
    soil_supply_kg_ha : float, default 0
        Available nitrogen that the soil gives the next crop by itself. [kg/ha]
    planned_g : float, default 0
        What the plan brings. [g]
    soil : BedSoil, optional
        What is known of its soil besides the droppings.

    Returns
    -------
    BedRoom
        Its next crop is the one after the first days on which birds may come; droppings since the
        crop before it count as dropped for it.
    """
    soil = soil or BedSoil(area_m2)
    droppings = [*droppings, *soil.changes]
    open_days = windows(plantings, first_day=on, end_day=on + timedelta(days=YEAR_DAYS), rule=rule)
    next_crop = open_days[0].next_crop if open_days else None
    opens = open_days[0].first_day if open_days else on
    cleared = max((crop.ends_on for crop in plantings if crop.ends_on <= opens), default=date.min)
    for_crop = (each for each in droppings if each.for_crop and each.day >= cleared)
    for_crop_g = max(0.0, sum(each.nitrogen_g for each in for_crop))
    year_g = max(0.0, dropped_last_365_days_g(droppings, on))
    need = {
        "need_kg_ha": next_crop.nitrogen_kg_ha if next_crop else None,
        "soil_supply_kg_ha": soil_supply_kg_ha + soil.supply_kg_ha,
    }
    used = {"dropped_for_crop_g": for_crop_g, "dropped_last_365_days_g": year_g}
    crop_name = next_crop.crop_name if next_crop else None
    cap_g, whole_cap_g = (
        soil.room_by_phosphorus_g(area_m2, crop_name, dropped_g) for dropped_g in (for_crop_g, 0.0)
    )
    wanted_g = nitrogen_wanted_g(area_m2, policy, dropped_for_crop_g=for_crop_g, **need)
    return BedRoom(
        dropped_year_g=dropped_last_365_days_g([d for d in droppings if d.for_crop], on),
        left_g=min(cap_g, nitrogen_room_g(area_m2, policy, **used, **need)),
        whole_g=min(whole_cap_g, nitrogen_room_g(area_m2, policy, **need)),
        planned_g=planned_g,
        wanted_g=min(cap_g, wanted_g),
        next_crop=next_crop,
        by_year_g=annual_room_g(area_m2, policy, dropped_last_365_days_g=year_g),
        by_need_g=wanted_g if next_crop else None,
        by_phosphorus_g=cap_g,
    )
