"""What is in the freezer, what went where, and how long it lasts."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from flocks.models import Batch, HouseRules, Pack, PackOut
from flocks.models.stock import Cut
from garden.models import Garden

USE_BY_DAYS = {Cut.WHOLE: 365, Cut.GIBLETS: 91, Cut.MINCE: 91}
OTHER_USE_BY_DAYS = 273
"""How long a pack keeps its quality at -18 °C [day]: whole a year, pieces 9 months, giblets and ground 3-4
months. Published: the USDA's cold storage chart, foodsafety.gov."""
SOON_DAYS = 30
"""How long before its use-by day a pack is told first [day]. A choice."""


def use_by_days(cut: str) -> int:
    """Return how long a cut keeps in the freezer [day]."""
    return USE_BY_DAYS.get(Cut(cut), OTHER_USE_BY_DAYS)


@dataclass(frozen=True)
class Left:
    """What is left of some packs."""

    count: int
    mass_kg: float


def left_of(pack: Pack) -> Left:
    """Return what is left of a pack line; reads what came out of it."""
    outs = list(pack.outs.all())
    count = pack.count - sum(row.count for row in outs)
    return Left(count, max(0.0, pack.mass_kg - sum(row.mass_kg for row in outs)) if count else 0.0)


@dataclass(frozen=True)
class StockLine:
    """Packs of one cut of one batch that went in together."""

    pack: Pack
    left: Left
    is_old: bool
    is_soon: bool


@dataclass(frozen=True)
class Freezer:
    """The freezer on a day."""

    lines: tuple[StockLine, ...]
    """What is left, the oldest use-by day first."""
    in_kg: float
    out_kg: dict[str, float]
    """What came out by what for [kg], keys of `PackOut.Why`."""
    next_batch: Batch | None
    """The batch whose meat comes next."""
    rules: HouseRules
    on: date

    @property
    def left_kg(self) -> float:
        """Return what is left [kg]."""
        return sum(line.left.mass_kg for line in self.lines)

    @property
    def batches(self) -> list[Batch]:
        """Return the batches whose meat is left."""
        return list({line.pack.batch_id: line.pack.batch for line in self.lines}.values())

    @property
    def packs(self) -> int:
        """Return how many packs are left."""
        return sum(line.left.count for line in self.lines)

    @property
    def household_kg(self) -> float:
        """Return each household's share of what is left [kg]."""
        return self.left_kg / self.rules.households

    @property
    def person_kg(self) -> float:
        """Return each person's share of what is left [kg]."""
        return self.left_kg / self.rules.eaters

    @property
    def weeks_till_next(self) -> float | None:
        """Return the weeks until new meat comes, at least a day; None where no batch is on its way."""
        if self.next_batch is None:
            return None
        return max(1, (self.next_batch.processing_on - self.on).days) / 7

    @property
    def week_kg(self) -> float | None:
        """Return what may be eaten in a week so that it lasts till then [kg]."""
        weeks = self.weeks_till_next
        return self.left_kg / weeks if weeks else None

    def by_cut(self) -> list[tuple[str, int, float]]:
        """Return each cut with the packs and the mass left [kg], most first."""
        found: dict[str, Left] = defaultdict(lambda: Left(0, 0.0))
        for line in self.lines:
            before, name = found[line.pack.get_cut_display()], line.pack.get_cut_display()
            found[name] = Left(before.count + line.left.count, before.mass_kg + line.left.mass_kg)
        rows = [(name, left.count, left.mass_kg) for name, left in found.items()]
        return sorted(rows, key=lambda row: -row[2])

    def outs_in_words(self) -> list[tuple[str, float]]:
        """Return what came out by what for, with its mass [kg]."""
        return [(why.label, self.out_kg[why]) for why in PackOut.Why if self.out_kg.get(why)]


def rules_of(garden: Garden) -> HouseRules:
    """Return how a garden counts, or what is usual; one query."""
    return HouseRules.objects.filter(garden=garden).first() or HouseRules(garden=garden)


def freezer_of(garden: Garden, on: date) -> Freezer:
    """Return a garden's freezer on a day; four queries."""
    packs = list(
        Pack.objects.filter(garden=garden).select_related("batch").prefetch_related("outs")
    )
    coming = garden.batches.unfinished().order_by("processing_on", "pk").first()
    return Freezer(
        lines=tuple(_lines(packs, on)),
        in_kg=sum(pack.mass_kg for pack in packs),
        out_kg=_out_kg(packs),
        next_batch=coming,
        rules=rules_of(garden),
        on=on,
    )


def _lines(packs: Sequence[Pack], on: date) -> Iterable[StockLine]:
    lines = [
        StockLine(pack, left, pack.use_by < on, 0 <= (pack.use_by - on).days <= SOON_DAYS)
        for pack in packs
        if (left := left_of(pack)).count > 0
    ]
    return sorted(lines, key=lambda line: (line.pack.use_by, line.pack.pk))


def _out_kg(packs: Iterable[Pack]) -> dict[str, float]:
    found: dict[str, float] = defaultdict(float)
    for pack in packs:
        for row in pack.outs.all():
            found[row.why] += row.mass_kg
    return dict(found)
