"""A batch looked back on: growth, feed, losses, index, nitrogen to each bed, days off the beds and money."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from flocks.batch_money import Purse, purse_of
from flocks.excretion_methods import excretion_of
from flocks.forecasting import diet_of, draft_forecast, forecast_of
from flocks.headcount import alive_after, departures
from flocks.models import Batch
from flocks.money import Account
from flocks.outlook import Totals, totals
from flocks.production_index import production_index
from flocks.survival import usual_losses
from garden.models import Garden
from garden.words import gettext as _
from garden.words import mark
from rotation.dropped import stay_dropped
from rotation.models import Stay

OFF_BEDS = mark("Off the beds, lifted for compost")


@dataclass(frozen=True)
class WeekOfLosses:
    """What a week of age took."""

    week: int
    lost: int
    usual: float
    """By the schedule [birds]."""
    alive: int
    """At its start."""


@dataclass(frozen=True)
class GroundLine:
    """What a batch left on one bed."""

    name: str
    pen_days: int
    nitrogen_g: float
    low_g: float
    high_g: float

    @property
    def said(self) -> str:
        """Return where that is, in words."""
        return _(OFF_BEDS) if self.name == OFF_BEDS else self.name


@dataclass(frozen=True)
class BatchFigures:
    """A batch in figures; None where its records do not tell."""

    batch: Batch
    age_days: int
    totals: Totals
    live_g: float | None
    """Mean live weight at processing [g]."""
    expected_g: float
    """By the strain's own table at that age [g]."""
    index: float | None
    yield_percent: float | None
    weeks: tuple[WeekOfLosses, ...]
    ground: tuple[GroundLine, ...]
    off_bed_days: int
    account: Account | None

    @property
    def weight_ratio(self) -> float | None:
        """Return the live weight over the expected [1]."""
        return self.live_g / self.expected_g if self.live_g else None

    @property
    def usual_lost_percent(self) -> float:
        """Return what the schedule alone takes to that age [%]."""
        return 100 * usual_losses(1, 0, self.age_days) if self.age_days > 0 else 0.0

    @property
    def nitrogen_g(self) -> float:
        """Return what it left on beds [g]."""
        return sum(line.nitrogen_g for line in self.ground if line.name != OFF_BEDS)


def figures_of(
    batch: Batch, stays: Sequence[Stay], on: date, purse: Purse | None = None
) -> BatchFigures:
    """Return a batch in figures, as of a day or its end; no query when its records are loaded.

    Parameters
    ----------
    stays
        Of this batch, with their beds.
    """
    until = min(on, batch.finished_on or on)
    age = max(0, batch.age_days(until))
    gone = totals(batch) if batch.finished_on else None
    sums = gone or totals_so_far(batch, age)
    live_g = _live_g(batch)
    expected = draft_forecast(batch.strain, batch.hatch_on, target_g=batch.target_g).flock_g.median
    index = None
    if live_g and sums.feed_per_gain and age:
        survived = 100 - sums.lost_percent
        index = production_index(live_g / 1000, survived, age, sums.feed_per_gain)
    ground = _ground(batch, stays, until)
    return BatchFigures(
        batch=batch,
        age_days=age,
        totals=sums,
        live_g=live_g,
        expected_g=float(expected[min(age, len(expected) - 1)]),
        index=index,
        yield_percent=_yield_percent(batch),
        weeks=tuple(_weeks(batch, age)),
        ground=tuple(ground),
        off_bed_days=sum(line.pen_days for line in ground if line.name == OFF_BEDS),
        account=purse.accounts.get(batch.pk) if purse else None,
    )


def totals_so_far(batch: Batch, age: int) -> Totals:
    """Return a running batch's totals; what only its end tells is left out."""
    lost = sum(row.count for row in batch.loss_set.all())
    return Totals(
        processed=sum(row.count for row in batch.processing_set.all()),
        lost=lost,
        lost_percent=100 * lost / batch.chicks,
        dressed_kg=None,
        feed_kg=sum(row.mass_kg for row in batch.feedrecord_set.all()) or None,
        feed_per_gain=None,
        feed_per_dressed=None,
        days=age,
    )


def _live_g(batch: Batch) -> float | None:
    rows = list(batch.processing_set.all())
    if not rows or not all(row.live_mean_g for row in rows):
        return None
    return sum(row.count * row.live_mean_g for row in rows) / sum(row.count for row in rows)


def _yield_percent(batch: Batch) -> float | None:
    """Return dressed over live weight of what was fit to eat [%]."""
    rows = [row for row in batch.processing_set.all() if row.live_mean_g and row.dressed_kg]
    live_kg = sum((row.count - row.condemned) * row.live_mean_g for row in rows) / 1000
    return 100 * sum(row.dressed_kg for row in rows) / live_kg if live_kg else None


def _weeks(batch: Batch, age: int) -> Iterable[WeekOfLosses]:
    losses = list(batch.loss_set.all())
    gone = departures(batch)
    for first in range(0, age, 7):
        last = min(first + 7, age + 1)
        eve = batch.hatch_on + timedelta(days=first - 1)
        alive = alive_after(batch, eve, gone)
        lost = sum(row.count for row in losses if first <= batch.age_days(row.on) < first + 7)
        yield WeekOfLosses(first // 7 + 1, lost, usual_losses(alive, first, last), alive)


def _ground(batch: Batch, stays: Sequence[Stay], until: date) -> list[GroundLine]:
    if not stays:
        return []
    forecast, found = forecast_of(batch, until), {}
    excretion = excretion_of(forecast, diet_of(batch.strain))
    for stay in stays:
        end_day = min(stay.end_day or until, until)
        left = stay_dropped(batch, stay.pen_id, forecast, excretion, stay.first_day, end_day)
        if left is None:
            continue
        name = stay.bed.name if stay.bed_id else OFF_BEDS
        before = found.get(name, GroundLine(name, 0, 0.0, 0.0, 0.0))
        # Low and high ends are added as they are: the growth of one flock lies behind all of them.
        found[name] = GroundLine(
            name,
            before.pen_days + len(left.birds),
            before.nitrogen_g + left.mass.likely.nitrogen_g,
            before.low_g + left.mass.low.nitrogen_g,
            before.high_g + left.mass.high.nitrogen_g,
        )
    return sorted(found.values(), key=lambda line: (line.name == OFF_BEDS, -line.nitrogen_g))


def garden_figures(garden: Garden) -> list[BatchFigures]:
    """Return every batch that has hatched in figures, the newest first."""
    today = garden.today()
    batches: list[Batch] = list(garden.batches.with_records().filter(hatch_on__lte=today))
    for batch in batches:
        batch.garden = garden  # spares a query for each batch
    finished = [batch for batch in reversed(batches) if batch.finished_on]
    garden.__dict__["finished_batches"] = finished  # spares the same rows loaded twice
    purse, stays = purse_of(garden, batches, today), stays_by_batch(garden)
    return [figures_of(batch, stays.get(batch.pk, []), today, purse) for batch in batches]


def stays_by_batch(garden: Garden) -> dict[int, list[Stay]]:
    """Return a garden's stays by the batch's id; one query."""
    found: dict[int, list[Stay]] = {}
    for stay in Stay.objects.of(garden).select_related("bed").order_by("first_day", "pk"):
        found.setdefault(stay.batch_id, []).append(stay)
    return found
