"""The demo garden's books: medicines, money, the freezer, hours, the rota and notes. All made up."""

from datetime import date, time, timedelta
from decimal import Decimal
from typing import Any

from flocks.headcount import birds_alive
from flocks.models import (
    Arrival,
    Batch,
    Cleaning,
    Cost,
    FeedLot,
    HandOver,
    Hours,
    HouseRules,
    Pack,
    PackOut,
    ProcessingDay,
    Treatment,
    Turn,
    Visitor,
)
from flocks.stock import use_by_days
from garden.models import Garden
from pens.models import Pen

HATCHERY = "Hollow Mill hatchery"
# Kind of cost, amount, seasons, what, days ago.
LASTING = (
    (Cost.Kind.BUILDING, "236.40", 5, "Both pens", 440),
    (Cost.Kind.GEAR, "88.00", 4, "Feeders, drinkers, lamp", 430),
)
OF_LAST_BATCH = (
    (Cost.Kind.BEDDING, "11.90", 1, "Shavings", 455),
    (Cost.Kind.POWER, "9.45", 1, "Lamp", 430),
    (Cost.Kind.PROCESSING, "17.20", 1, "Ice, bags and gas", 406),
)
OF_THIS_BATCH = (
    (Cost.Kind.BEDDING, "11.90", 1, "Shavings", 34),
    (Cost.Kind.POWER, "7.80", 1, "Lamp", 10),
)
# Cut, packs, share of what was dressed, packs taken out since and what for.
PACKED = (
    ("whole", 8, 0.60, ((5, PackOut.Why.EATEN), (2, PackOut.Why.SOLD))),
    ("breast", 4, 0.15, ((4, PackOut.Why.EATEN),)),
    ("legs", 5, 0.21, ((4, PackOut.Why.EATEN), (1, PackOut.Why.GIVEN))),
    ("giblets", 2, 0.04, ((2, PackOut.Why.EATEN),)),
)
SOLD_AT = Decimal("19.00")
DAYS_ON_ROTA = 4


def demo_books(garden: Garden, on: date, user: Any) -> None:
    """Fill the books of a garden whose today is `on`."""
    batches = {batch.name: batch for batch in garden.batches.all()}
    last, now = batches["Last year's batch"], batches["First batch"]
    signed = {"garden": garden, "logged_by": user}
    HouseRules.objects.create(
        garden=garden, currency="EUR", eaters=4, households=2, freezer_l=220, hour_rate=Decimal(0)
    )
    _register(now, on, signed)
    _money(last, now, on, signed)
    _freezer(last, on, signed)
    _people(on, user, signed)
    ProcessingDay.objects.create(
        batch=now, on=now.processing_on, birds=birds_alive(now, on), starts_at=time(8),
        people=2, pace="plucker", **signed,
    )  # fmt: skip


def _register(batch: Batch, on: date, signed: dict[str, Any]) -> None:
    born = batch.hatch_on
    Treatment.objects.create(
        batch=batch, name="Coccidiostat in the water", on=born + timedelta(days=12),
        last_on=born + timedelta(days=16), withdrawal_days=5, dose="1 ml a litre",
        reason="Droppings with blood", prescribed_by="The vet", **signed,
    )  # fmt: skip
    for number, days_ago in (("K 1184", 34), ("G 0729", 13)):
        FeedLot.objects.create(on=on - timedelta(days=days_ago), number=number, **signed)
    Cleaning.objects.create(
        on=on - timedelta(days=9), what="brooder", how="Scraped, hot water, dried", **signed
    )
    Cleaning.objects.create(on=on - timedelta(days=2), what="feeders", how="Scrubbed", **signed)
    Cleaning.objects.create(
        on=on - timedelta(days=11), what="pen", pen=Pen.objects.filter(garden=batch.garden).first(),
        how="Hosed and left in the sun", **signed,
    )  # fmt: skip
    Visitor.objects.create(
        on=on - timedelta(days=20), name="The vet", why="Looked at the chicks", **signed
    )


def _money(last: Batch, now: Batch, on: date, signed: dict[str, Any]) -> None:
    for batch, price in ((last, "25.20"), (now, "19.50")):
        Arrival.objects.create(
            batch=batch, on=batch.hatch_on + timedelta(days=1), count=batch.chicks, source=HATCHERY,
            price=Decimal(price), **signed,
        )  # fmt: skip
    for batch, lines in ((None, LASTING), (last, OF_LAST_BATCH), (now, OF_THIS_BATCH)):
        for kind, amount, seasons, what, days_ago in lines:
            Cost.objects.create(
                batch=batch, on=on - timedelta(days=days_ago), kind=kind, amount=Decimal(amount),
                seasons=seasons, what=what, **signed,
            )  # fmt: skip
    for batch, hours, what, day in (
        (last, "14", "Mornings and evenings", last.processing_on),
        (last, "7.5", "Processing", last.processing_on),
        (now, "6.5", "Mornings and evenings", on),
    ):
        Hours.objects.create(batch=batch, on=day, hours=Decimal(hours), what=what, **signed)


def _freezer(batch: Batch, on: date, signed: dict[str, Any]) -> None:
    packed_on = batch.processing_on + timedelta(days=1)
    dressed_kg = sum(row.dressed_kg or 0 for row in batch.processing_set.all())
    for cut, count, share, outs in PACKED:
        mass_kg = round(dressed_kg * share, 1)
        pack = Pack.objects.create(
            batch=batch, on=packed_on, cut=cut, count=count, mass_kg=mass_kg,
            use_by=packed_on + timedelta(days=use_by_days(cut)), **signed,
        )  # fmt: skip
        for number, (taken, why) in enumerate(outs, 1):
            PackOut.objects.create(
                pack=pack, on=packed_on + timedelta(days=60 * number), why=why, count=taken,
                mass_kg=round(mass_kg * taken / count, 2), logged_by=signed["logged_by"],
                price=taken * SOLD_AT if why == PackOut.Why.SOLD else None,
            )  # fmt: skip


def _people(on: date, user: Any, signed: dict[str, Any]) -> None:
    for days in range(DAYS_ON_ROTA):
        Turn.objects.create(on=on + timedelta(days=days), person=user, **signed)
    HandOver.objects.create(
        on=on, text="The tap by the shed drips: turn it hard. Grower pellet is the open bag.",
        **signed,
    )  # fmt: skip
    HandOver.objects.create(
        on=on + timedelta(days=1), text="Look at the skirt on the east side, the fox was back.",
        **signed,
    )  # fmt: skip
