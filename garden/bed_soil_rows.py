"""Beds with what is known of their soil, read along with the beds themselves: no query more."""

from datetime import date, timedelta

from django.db.models import FloatField, Max, OuterRef, Q, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from garden.bed_soil import BedSoil
from garden.crop_figures import figures_of
from garden.ledger import EntryKind, release_shares
from garden.models import Bed, Garden, HeapInput, SoilTest, Spread
from garden.nutrients import YEAR_DAYS, Dropping
from garden.phosphorus import UNTESTED, soil_phosphorus


def with_soil(beds: QuerySet[Bed], on: date) -> QuerySet[Bed]:
    """Annotate beds with the last test of phosphorus and with a year of what came and went by hand."""
    since = on - timedelta(days=YEAR_DAYS)
    here = {"bed": OuterRef("pk"), "on__lte": on}
    tests = SoilTest.objects.filter(**here, phosphorus_mg_kg__isnull=False).order_by("-on", "-pk")
    recent = Spread.objects.filter(**here, on__gt=since)
    lifted = HeapInput.objects.filter(**here, on__gt=since)
    return beds.annotate(
        tested_mg_kg=Subquery(tests.values("phosphorus_mg_kg")[:1]),
        tested_by=Subquery(tests.values("phosphorus_by")[:1]),
        compost_g=_sum(recent.filter(kind=Spread.Kind.COMPOST)),
        own_compost_g=_sum(recent.filter(kind=Spread.Kind.COMPOST).exclude(heap=None)),
        manure_g=_sum(recent.filter(kind=Spread.Kind.MANURE)),
        fertiliser_g=_sum(recent.filter(kind=Spread.Kind.FERTILISER)),
        manure_on=_last(recent.filter(Q(kind=Spread.Kind.MANURE) | Q(heap__isnull=False))),
        raw_on=_last(recent.filter(is_composted=False)),
        lifted_g=_sum(lifted),
        lifted_on=_last(lifted),
    )


def _sum(rows: QuerySet) -> Coalesce:
    total = rows.order_by().values("bed").annotate(total=Sum("nitrogen_g")).values("total")
    return Coalesce(Subquery(total), 0.0, output_field=FloatField())


def _last(rows: QuerySet) -> Subquery:
    return Subquery(rows.order_by().values("bed").annotate(last=Max("on")).values("last"))


def soil_of(bed: Bed, garden: Garden, on: date) -> BedSoil:
    """Return the soil of a bed read by `with_soil`, with its plantings and their crops loaded.

    Manure, and compost of the garden's own heaps, counts towards a year's limit, which is one on manure; the
    usable part of whatever was spread is taken off what the next crop needs. What was lifted is counted as it
    had been dropped.
    """
    policy = garden.nitrogen_rules()
    figures = {planting.crop.name: figures_of(planting.crop) for planting in bed.plantings.all()}
    changes = []
    if bed.manure_on:
        manure_g = bed.own_compost_g + bed.manure_g
        changes.append(Dropping(bed.manure_on, manure_g, for_crop=False))
    if bed.lifted_on:
        changes.append(Dropping(bed.lifted_on, -bed.lifted_g / policy.kept_share))
    usable_g = sum(
        grams * release_shares(kind, policy)[0]
        for kind, grams in (
            (EntryKind.COMPOST, bed.compost_g),
            (EntryKind.MANURE, bed.manure_g * policy.kept_share),
            (EntryKind.FERTILISER, bed.fertiliser_g),
        )
    )
    legumes_kg_ha = sum(
        figures[planting.crop.name].fixed_kg_ha
        for planting in bed.plantings.all()
        if 0 <= (on - planting.ends_on).days < YEAR_DAYS
    )
    tested = soil_phosphorus(bed.tested_mg_kg, bed.tested_by or "")
    return BedSoil(
        area_m2=bed.area_m2,
        phosphorus=tested if garden.phosphorus_cap else UNTESTED,
        removals_kg_ha={name: each.removal_kg_ha.phosphorus_g for name, each in figures.items()},
        changes=tuple(changes),
        usable_g=usable_g + legumes_kg_ha / 10 * bed.area_m2,
    )
