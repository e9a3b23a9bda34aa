"""How much nitrogen a whole bed may still receive, and what the plan brings it.

PURE. The planner keeps the same account for each place by itself; a page tells it for the bed.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from garden.harvest_interval import HarvestRule, PlantingDates, windows
from garden.nutrients import (
    YEAR_DAYS,
    Dropping,
    NitrogenPolicy,
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

    Returns
    -------
    BedRoom
        Its next crop is the one after the first days on which birds may come; droppings since the
        crop before it count as dropped for it.
    """
    droppings = list(droppings)
    open_days = windows(plantings, first_day=on, end_day=on + timedelta(days=YEAR_DAYS), rule=rule)
    next_crop = open_days[0].next_crop if open_days else None
    opens = open_days[0].first_day if open_days else on
    cleared = max((crop.ends_on for crop in plantings if crop.ends_on <= opens), default=date.min)
    for_crop_g = sum(dropping.nitrogen_g for dropping in droppings if dropping.day >= cleared)
    year_g = dropped_last_365_days_g(droppings, on)
    need = {
        "need_kg_ha": next_crop.nitrogen_kg_ha if next_crop else None,
        "soil_supply_kg_ha": soil_supply_kg_ha,
    }
    return BedRoom(
        dropped_year_g=year_g,
        left_g=nitrogen_room_g(
            area_m2,
            policy,
            dropped_for_crop_g=for_crop_g,
            dropped_last_365_days_g=year_g,
            **need,
        ),
        whole_g=nitrogen_room_g(area_m2, policy, **need),
        planned_g=planned_g,
        wanted_g=nitrogen_wanted_g(area_m2, policy, dropped_for_crop_g=for_crop_g, **need),
        next_crop=next_crop,
    )
