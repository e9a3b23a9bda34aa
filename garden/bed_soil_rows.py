"""Beds with what is known of their soil, read along with the beds themselves: no query more."""

from datetime import date, timedelta

from django.db.models import Case, F, FloatField, Max, OuterRef, Q, QuerySet, Subquery, Sum, When
from django.db.models.expressions import CombinedExpression
from django.db.models.functions import Coalesce

from garden.bed_soil import BedSoil
from garden.crop_figures import figures_of
from garden.ledger import EntryKind, release_shares
from garden.models import Bed, Garden, HeapInput, SoilTest, Spread
from garden.nutrients import (
    SECOND_YEAR_SHARE,
    THIRD_YEAR_SHARE,
    YEAR_DAYS,
    Dropping,
    NitrogenPolicy,
)
from garden.phosphorus import UNTESTED, soil_phosphorus
from garden.soil_tests import in_bed_g


def with_soil(beds: QuerySet[Bed], on: date) -> QuerySet[Bed]:
    """Annotate beds with the last soil tests and with what came and went by hand.

    That is a year of it, and what spreads of the two years before still release.
    """
    since, earlier, earliest = (on - timedelta(days=years * YEAR_DAYS) for years in (1, 2, 3))
    here = {"bed": OuterRef("pk"), "on__lte": on}
    tests = SoilTest.objects.filter(**here, phosphorus_mg_kg__isnull=False).order_by("-on", "-pk")
    nitrate = SoilTest.objects.filter(**here, on__gt=since, nitrogen_mg_kg__isnull=False)
    nitrate = nitrate.order_by("-on", "-pk")
    recent = Spread.objects.filter(**here, on__gt=since)
    older = Spread.objects.filter(bed=OuterRef("pk"), on__gt=earliest, on__lte=since)
    released = F("nitrogen_g") * Case(
        When(on__gt=earlier, then=SECOND_YEAR_SHARE.value),
        default=THIRD_YEAR_SHARE.value,
        output_field=FloatField(),
    )
    lifted = HeapInput.objects.filter(**here, on__gt=since)
    return beds.annotate(
        tested_mg_kg=Subquery(tests.values("phosphorus_mg_kg")[:1]),
        tested_by=Subquery(tests.values("phosphorus_by")[:1]),
        nitrate_mg_kg=Subquery(nitrate.values("nitrogen_mg_kg")[:1]),
        nitrate_on=Subquery(nitrate.values("on")[:1]),
        nitrate_depth_mm=Subquery(nitrate.values("depth_mm")[:1]),
        older_compost_g=_sum(older.filter(kind=Spread.Kind.COMPOST), released),
        older_manure_g=_sum(older.filter(kind=Spread.Kind.MANURE), released),
        compost_g=_sum(recent.filter(kind=Spread.Kind.COMPOST)),
        own_compost_g=_sum(recent.filter(kind=Spread.Kind.COMPOST).exclude(heap=None)),
        manure_g=_sum(recent.filter(kind=Spread.Kind.MANURE)),
        fertiliser_g=_sum(recent.filter(kind=Spread.Kind.FERTILISER)),
        manure_on=_last(recent.filter(Q(kind=Spread.Kind.MANURE) | Q(heap__isnull=False))),
        raw_on=_last(recent.filter(is_composted=False)),
        lifted_g=_sum(lifted),
        lifted_on=_last(lifted),
    )


def _sum(rows: QuerySet, of: str | CombinedExpression = "nitrogen_g") -> Coalesce:
    total = rows.order_by().values("bed").annotate(total=Sum(of)).values("total")
    return Coalesce(Subquery(total), 0.0, output_field=FloatField())


def _last(rows: QuerySet) -> Subquery:
    return Subquery(rows.order_by().values("bed").annotate(last=Max("on")).values("last"))


def soil_of(bed: Bed, garden: Garden, on: date, *, earlier_g: float = 0.0) -> BedSoil:
    """Return the soil of a bed read by `with_soil`, with its plantings and their crops loaded.

    `earlier_g` is the nitrogen that crops can use this year out of birds' droppings of earlier ones.

    Manure, and compost of the garden's own heaps, counts towards a year's limit, which is one on manure; the
    usable part of whatever was spread, of what a soil test found and of what earlier years left is taken off
    what the next crop needs. What was lifted is counted as it had been dropped.
    """
    policy = garden.nitrogen_rules()
    figures = {planting.crop.name: figures_of(planting.crop) for planting in bed.plantings.all()}
    changes = []
    if bed.manure_on:
        manure_g = bed.own_compost_g + bed.manure_g
        changes.append(Dropping(bed.manure_on, manure_g, for_crop=False))
    if bed.lifted_on:
        changes.append(Dropping(bed.lifted_on, -bed.lifted_g / policy.kept_share))
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
        usable_g=_spread_g(bed, policy)
        + legumes_kg_ha / 10 * bed.area_m2
        + _nitrate_g(bed, on)
        + earlier_g,
    )


def _spread_g(bed: Bed, policy: NitrogenPolicy) -> float:
    """Return what crops can use this year out of what was spread in it and in the two before [g]."""
    first_year = {kind: release_shares(kind, policy)[0] for kind in EntryKind}
    manure_g = bed.manure_g * first_year[EntryKind.MANURE] + bed.older_manure_g
    return (
        bed.compost_g * first_year[EntryKind.COMPOST]
        + bed.older_compost_g
        + manure_g * policy.kept_share
        + bed.fertiliser_g * first_year[EntryKind.FERTILISER]
    )


def _nitrate_g(bed: Bed, on: date) -> float:
    """Return the nitrate nitrogen of the last soil test, until a crop that stood after it is cleared [g].

    What is found is there for one crop; what is left of it then is as good as washed out.
    """
    if bed.nitrate_on is None:
        return 0.0
    if any(bed.nitrate_on < planting.ends_on <= on for planting in bed.plantings.all()):
        return 0.0
    return in_bed_g(bed.nitrate_mg_kg, bed.area_m2, bed.nitrate_depth_mm)
