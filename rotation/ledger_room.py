"""How much nitrogen a bed may still get, each rule by itself, worked out from its ledger."""

from garden.bed_soil import BedSoil
from garden.ledger import EntryKind
from garden.nutrients import Dropping
from rotation.bed_ledger import BedLedger
from rotation.bed_room import BedRoom, bed_room


def ledger_room(book: BedLedger, soil: BedSoil) -> BedRoom:
    """Return a bed's room today, what may have been dropped counted with the careful end of its interval.

    The plan reckons with the quantile that the garden's settings name, which is the same or less careful.
    """
    garden, on = book.garden, book.on
    dropped = [entry for entry in book.entries if entry.kind is EntryKind.DROPPINGS]
    return bed_room(
        book.bed.area_m2,
        [planting.dates() for planting in book.bed.plantings.all()],
        [
            Dropping(entry.day, entry.mass.high.nitrogen_g)
            for entry in dropped
            if not entry.is_planned
        ],
        on=on,
        policy=garden.nitrogen_rules(),
        rule=garden.bird_day_rule(),
        soil_supply_kg_ha=garden.soil_nitrogen_kg_ha,
        planned_g=sum(entry.mass.high.nitrogen_g for entry in dropped if entry.is_planned),
        soil=soil,
    )
