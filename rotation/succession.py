"""A bed after its birds, read from its record for the suggestions of what to plant there."""

from dataclasses import replace
from datetime import date

from garden.crops_reference import crop_table
from garden.models import Crop, Garden
from garden.succession import Candidate, FreeBed, Rules
from rotation.bed_records import BedRecord


def candidates(garden: Garden, *, only_planted: bool = False) -> list[Candidate]:
    """Return the garden's crops, each with its hardiness where the reference table knows it.

    `only_planted` keeps those that have stood, or are to stand, in a bed.
    """
    crops = (
        garden.crops.filter(plantings__isnull=False).distinct() if only_planted else garden.crops
    )
    return [_candidate(crop) for crop in crops.all()]


def _candidate(crop: Crop) -> Candidate:
    known = crop_table().get(crop.reference or crop.name)
    return Candidate(
        id=crop.pk,
        name=crop.name,
        family=crop.family,
        nitrogen_kg_ha=crop.nitrogen_kg_ha,
        contact=crop.contact,
        days_to_harvest=crop.days_to_harvest,
        harvest_days=crop.harvest_days,
        hardiness=known.frost if known else None,
    )


def rules_of(garden: Garden) -> Rules:
    """Return the garden's rules that a suggestion keeps."""
    return Rules(
        harvest=garden.harvest_rule(),
        nitrogen=garden.nitrogen_rules(),
        soil_supply_kg_ha=garden.soil_nitrogen_kg_ha,
        frosts=garden.frosts,
    )


def free_bed(
    record: BedRecord, wanted_from: date | None = None, *, instead: bool = False
) -> FreeBed:
    """Return the bed from the first day on which it has neither birds nor a crop.

    Parameters
    ----------
    wanted_from : date, optional
        The day the grower asks about; otherwise the day after the last birds known of or planned, or today.
    instead : bool, default False
        Whether crops that are still to be planted are left out of account.
    """
    if instead:
        standing = tuple(crop for crop in record.plantings if crop.starts_on <= record.on)
        record = replace(record, plantings=standing)
    visits = record.ground.visits
    last = max((visit.end_day for visit in visits), default=record.on)
    free_from = _first_free_day(record, wanted_from or max(record.on, last))
    cleared = max((p.ends_on for p in record.plantings if p.ends_on <= free_from), default=date.min)
    fouled = (visit.end_day for visit in record.fouled if visit.first_day < free_from)
    birds_left = max(fouled, default=None)
    taken = [p.starts_on for p in record.plantings if p.starts_on >= free_from]
    taken += [visit.first_day for visit in visits if visit.first_day >= free_from]
    return FreeBed(
        area_m2=record.bed.area_m2,
        free_from=free_from,
        free_until=min(taken, default=None),
        interval_from=birds_left and record.garden.interval_starts_on(birds_left),
        dropped_g=_dropped_g(record, cleared, free_from),
        families=_families(record, free_from),
    )


def _first_free_day(record: BedRecord, day: date) -> date:
    """Return the first day from one on with no crop and no pen on the bed."""
    taken = [(planting.starts_on, planting.ends_on) for planting in record.plantings]
    taken += [(visit.first_day, visit.end_day) for visit in record.ground.visits]
    for first_day, end_day in sorted(taken):
        if first_day <= day < end_day:
            day = end_day
    return day


def _dropped_g(record: BedRecord, cleared: date, free_from: date) -> float:
    """Return what lies on the bed for the next crop by a day, dropped since the last one and planned."""
    dropped_g = sum(drop.nitrogen_g for drop in record.droppings if drop.day >= cleared)
    planned_g = sum(
        stay.nitrogen_ahead_g(record.on) for stay in record.planned if stay.end_day <= free_from
    )
    return dropped_g + planned_g


def _families(record: BedRecord, before: date) -> dict[str, date]:
    """Return when each family of crops was last cleared from the bed."""
    families: dict[str, date] = {}
    for planting in record.bed.plantings.all():
        if planting.ends_on <= before:
            family = planting.crop.family
            families[family] = max(planting.ends_on, families.get(family, date.min))
    return families
