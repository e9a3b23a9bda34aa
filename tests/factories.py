"""Rows for the stories: each factory makes something plausible, a story changes what it is about.

Names are counted under a word that no story types, so that the order of the tests decides nothing.
"""

from datetime import date, timedelta
from decimal import Decimal

import factory
from django.contrib.auth import get_user_model

from flocks import models as flocks
from garden import models as ground
from garden.clock import now
from pens import models as pens
from rotation import models as rotation

HATCHED = date(2026, 5, 10)


class UserFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = get_user_model()

    username = factory.Sequence(lambda n: f"person{n}")
    email = factory.LazyAttribute(lambda user: f"{user.username}@example.org")
    password = factory.django.Password("a long pass phrase")


class GardenFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ground.Garden

    name = factory.Sequence(lambda n: f"Garden {n}")
    time_zone = "Europe/Dublin"
    plan_for = ground.Garden.PlanFor.MEDIAN  # so that a story's arithmetic can be followed


class MembershipFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ground.Membership

    garden = factory.SubFactory(GardenFactory)
    user = factory.SubFactory(UserFactory)
    role = ground.Role.OWNER


class BedFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ground.Bed

    garden = factory.SubFactory(GardenFactory)
    name = factory.Sequence(lambda n: f"Spare bed {n}")
    length_mm = 2400
    width_mm = 1200
    height_mm = 300
    x_m = factory.Sequence(lambda n: (n % 6) * 2.0)
    y_m = 0.0


class CropFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ground.Crop

    garden = factory.SubFactory(GardenFactory)
    name = factory.Sequence(lambda n: f"Spare crop {n}")
    nitrogen_kg_ha = 120
    contact = ground.Crop.Contact.TOUCHES
    days_to_harvest = 60


class PlantingFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ground.Planting

    bed = factory.SubFactory(BedFactory)
    crop = factory.SubFactory(CropFactory, garden=factory.SelfAttribute("..bed.garden"))
    starts_on = date(2026, 5, 1)
    first_harvest_on = factory.LazyAttribute(lambda row: row.starts_on + timedelta(days=60))
    ends_on = factory.LazyAttribute(lambda row: row.first_harvest_on + timedelta(days=20))


class EarlyHarvestFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ground.EarlyHarvest

    planting = factory.SubFactory(PlantingFactory)
    on = factory.SelfAttribute("planting.first_harvest_on")
    why = ground.EarlyHarvest.Why.COOKED
    safe_from = factory.LazyAttribute(lambda row: row.on + timedelta(days=20))


class SoilTestFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ground.SoilTest

    bed = factory.SubFactory(BedFactory)
    on = date(2026, 3, 1)
    phosphorus_mg_kg = 30.0


class SpreadFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ground.Spread

    bed = factory.SubFactory(BedFactory)
    on = date(2026, 4, 1)
    what = "Bought compost"
    mass_kg = 10.0
    nitrogen_g = 100.0
    phosphorus_g = 20.0
    potassium_g = 80.0


class HarvestWeightFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ground.HarvestWeight

    bed = factory.SelfAttribute("planting.bed")
    crop = factory.SelfAttribute("planting.crop")
    planting = factory.SubFactory(PlantingFactory)
    on = factory.SelfAttribute("planting.first_harvest_on")
    mass_kg = 4.0


class HeapFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ground.Heap

    garden = factory.SubFactory(GardenFactory)
    name = factory.Sequence(lambda n: f"Spare heap {n}")
    started_on = date(2026, 5, 1)


class HeapInputFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ground.HeapInput

    heap = factory.SubFactory(HeapFactory)
    on = date(2026, 5, 2)
    material = "manure"
    mass_kg = 10.0
    carbon_g = 2600.0
    nitrogen_g = 165.0


class HeapReadingFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ground.HeapReading

    heap = factory.SubFactory(HeapFactory)
    on = date(2026, 5, 4)
    temperature_c = 60.0


class DesignFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = pens.Design

    garden = factory.SubFactory(GardenFactory)
    name = factory.Sequence(lambda n: f"Spare design {n}")
    length_mm = 2380
    width_mm = 1180
    profile = "38x38"
    strap = "25x38"
    species = "spruce-pine-fir"
    tarp = "light"


class PenFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = pens.Pen

    garden = factory.SubFactory(GardenFactory)
    name = factory.Sequence(lambda n: f"Spare pen {n}")
    length_mm = 1170
    width_mm = 1170
    floor_m2 = 1.2


class BatchFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.Batch

    garden = factory.SubFactory(GardenFactory)
    name = factory.Sequence(lambda n: f"Spare batch {n}")
    hatch_on = HATCHED
    chicks = 10
    strain = "fast"
    target_g = 2400
    leaves_brooder_on = factory.LazyAttribute(lambda row: row.hatch_on + timedelta(days=24))
    processing_on = factory.LazyAttribute(lambda row: row.hatch_on + timedelta(days=49))


class BatchPenFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.BatchPen

    batch = factory.SubFactory(BatchFactory)
    pen = factory.SubFactory(PenFactory, garden=factory.SelfAttribute("..batch.garden"))
    birds = factory.SelfAttribute("batch.chicks")


class WeighingFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.Weighing

    batch = factory.SubFactory(BatchFactory)
    on = HATCHED + timedelta(days=21)
    count = 8
    mean_g = 800


class FeedRecordFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.FeedRecord

    batch = factory.SubFactory(BatchFactory)
    on = HATCHED + timedelta(days=1)
    mass_kg = 2.0


class WaterRecordFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.WaterRecord

    batch = factory.SubFactory(BatchFactory)
    on = HATCHED + timedelta(days=1)
    litres = 4.0


class FeedProductFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.FeedProduct

    garden = factory.SubFactory(GardenFactory)
    name = factory.Sequence(lambda n: f"Spare feed {n}")
    bag_kg = 25.0
    price = Decimal("16.90")


class FeedPurchaseFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.FeedPurchase

    product = factory.SubFactory(FeedProductFactory)
    on = HATCHED + timedelta(days=30)
    bags = 2


class FeedCountFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.FeedCount

    product = factory.SubFactory(FeedProductFactory)
    on = HATCHED + timedelta(days=30)
    mass_kg = 12.5


class LossFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.Loss

    batch = factory.SubFactory(BatchFactory)
    on = HATCHED + timedelta(days=5)
    count = 1


class ProcessingFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.Processing

    batch = factory.SubFactory(BatchFactory)
    on = HATCHED + timedelta(days=33)
    count = 2


class TreatmentFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.Treatment

    batch = factory.SubFactory(BatchFactory)
    garden = factory.SelfAttribute("batch.garden")
    name = "Coccidiostat"
    on = HATCHED + timedelta(days=20)
    last_on = HATCHED + timedelta(days=24)
    withdrawal_days = 6


class ArrivalFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.Arrival

    batch = factory.SubFactory(BatchFactory)
    garden = factory.SelfAttribute("batch.garden")
    on = HATCHED + timedelta(days=1)
    count = 10
    source = "The hatchery"


class FeedLotFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.FeedLot

    garden = factory.SubFactory(GardenFactory)
    on = HATCHED + timedelta(days=2)
    number = "L-77"


class CleaningFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.Cleaning

    garden = factory.SubFactory(GardenFactory)
    on = HATCHED


class VisitorFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.Visitor

    garden = factory.SubFactory(GardenFactory)
    on = HATCHED + timedelta(days=3)
    name = "The neighbour"


class TurnFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.Turn

    garden = factory.SubFactory(GardenFactory)
    on = date(2026, 6, 13)
    person = factory.SubFactory(UserFactory)


class HandOverFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.HandOver

    garden = factory.SubFactory(GardenFactory)
    on = date(2026, 6, 13)
    text = "The hose drips."


class PackFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.Pack

    batch = factory.SubFactory(BatchFactory)
    garden = factory.SelfAttribute("batch.garden")
    on = HATCHED + timedelta(days=33)
    count = 4
    mass_kg = 8.0
    use_by = HATCHED + timedelta(days=398)


class PackOutFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.PackOut

    pack = factory.SubFactory(PackFactory)
    on = HATCHED + timedelta(days=33)
    mass_kg = 2.0


class CostFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.Cost

    garden = factory.SubFactory(GardenFactory)
    on = HATCHED
    amount = Decimal("10.00")


class HoursFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.Hours

    batch = factory.SubFactory(BatchFactory)
    garden = factory.SelfAttribute("batch.garden")
    on = HATCHED
    hours = Decimal("1.50")


class ProcessingDayFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.ProcessingDay

    batch = factory.SubFactory(BatchFactory)
    garden = factory.SelfAttribute("batch.garden")
    on = HATCHED + timedelta(days=49)
    birds = 4


class NoteFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = flocks.Note

    garden = factory.SubFactory(GardenFactory)
    on = HATCHED + timedelta(days=30)
    text = "Pale droppings in the morning."


class StayFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = rotation.Stay

    pen = factory.SubFactory(PenFactory)
    batch = factory.SubFactory(BatchFactory, garden=factory.SelfAttribute("..pen.garden"))
    bed = factory.SubFactory(BedFactory, garden=factory.SelfAttribute("..pen.garden"))
    offset_mm = 0
    stretch_mm = 1200
    first_day = HATCHED + timedelta(days=31)


class PlanFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = rotation.Plan

    garden = factory.SubFactory(GardenFactory)
    from_day = date(2026, 6, 12)
    end_day = date(2026, 8, 1)
    because = "first plan"
    cost = 100.0
    lower_bound = 100.0
    seconds = 0.1


class PlannedStayFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = rotation.PlannedStay

    plan = factory.SubFactory(PlanFactory)
    pen = factory.SubFactory(PenFactory, garden=factory.SelfAttribute("..plan.garden"))
    batch = factory.SubFactory(BatchFactory, garden=factory.SelfAttribute("..plan.garden"))
    bed = factory.SubFactory(BedFactory, garden=factory.SelfAttribute("..plan.garden"))
    stretch_mm = 1200
    first_day = date(2026, 6, 12)
    end_day = date(2026, 6, 14)
    nitrogen_g = 40.0


def processed_sooner(batch: flocks.Batch, days: int = 3) -> list[dict[str, object]]:
    """Return the one change that a batch is processed some days sooner."""
    on = batch.processing_on - timedelta(days=days)
    return [{"kind": "process", "batch": batch.pk, "on": on.isoformat()}]


class WhatIfFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = rotation.WhatIf

    garden = factory.SubFactory(GardenFactory)
    name = "Sooner"


class SizingFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = rotation.Sizing

    garden = factory.SubFactory(GardenFactory)
    wish = factory.LazyFunction(
        lambda: {"strain": "fast", "target_g": 2200.0, "brooder_days": 24, "pens": [], "away": []}
    )
    seconds_allowed = 1.0
    finished_at = factory.LazyFunction(now)
    fault = "Nothing was found."


class ExportFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = rotation.Export

    garden = factory.SubFactory(GardenFactory)
    kind = "archive"
    finished_at = factory.LazyFunction(now)
    size = 2
    content = b"{}"


class PinnedStayFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = rotation.PinnedStay

    pen = factory.SubFactory(PenFactory)
    batch = factory.SubFactory(BatchFactory, garden=factory.SelfAttribute("..pen.garden"))
    bed = factory.SubFactory(BedFactory, garden=factory.SelfAttribute("..pen.garden"))
    stretch_mm = 1200
    first_day = date(2026, 6, 20)
    end_day = date(2026, 6, 22)


class PhotoFactory(factory.django.DjangoModelFactory):
    """The row alone; its files are made where a story looks at them."""

    class Meta:
        model = rotation.Photo

    garden = factory.SubFactory(GardenFactory)
    name = factory.Sequence(lambda n: f"spare-photo-{n}")
    on = HATCHED + timedelta(days=30)
    width_px, height_px, size_bytes = 1600, 1200, 200_000


class ClosureFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = rotation.Closure

    bed = factory.SubFactory(BedFactory)
    first_day = date(2026, 6, 20)
    end_day = date(2026, 6, 27)
    why = "hose broken"
