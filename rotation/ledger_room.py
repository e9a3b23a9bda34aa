"""How much nitrogen a bed may still get, each rule by itself, worked out from its ledger."""

from garden.bed_soil import BedSoil
from garden.bed_soil_rows import soil_of
from garden.ledger import EntryKind
from garden.nutrients import YEAR_DAYS, Dropping, carried_over_g
from rotation.bed_ledger import BedLedger
from rotation.bed_room import BedRoom, bed_room


def soil_by_book(book: BedLedger) -> BedSoil:
    """Return the soil that the planner reckons with, earlier years' droppings taken from the book.

    The book's bed was read by `with_soil`.
    """
    dropped = [
        Dropping(entry.day, entry.mass.likely.nitrogen_g)
        for entry in book.entries
        if entry.kind is EntryKind.DROPPINGS
    ]
    earlier_g = carried_over_g(dropped, book.on, book.garden.nitrogen_rules())
    return soil_of(book.bed, book.garden, book.on, earlier_g=earlier_g)


def ledger_room(book: BedLedger) -> BedRoom:
    """Return a bed's room today, what may have been dropped counted with the careful end of its interval.

    Droppings of the last 365 days count whole; older ones by what they still give, as part of the soil.
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
            if not entry.is_planned and (on - entry.day).days < YEAR_DAYS
        ],
        on=on,
        policy=garden.nitrogen_rules(),
        rule=garden.bird_day_rule(),
        soil_supply_kg_ha=garden.soil_nitrogen_kg_ha,
        planned_g=sum(entry.mass.high.nitrogen_g for entry in dropped if entry.is_planned),
        soil=soil_by_book(book),
    )
