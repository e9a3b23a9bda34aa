"""What the season page shows of an answer: proposals as rows of words and figures, and the frontier drawn."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from functools import cached_property

from flocks.batch_charts import FEED_AXES, PageChart, page_chart
from flocks.brooding import ORDER_DAYS
from garden.charts import Axis, Chart, Line
from garden.models import Garden
from garden.units import FEED_MASS
from pens.models import Pen
from rotation.models import Sizing
from rotation.season_limits import Wish
from rotation.season_sizing import MORE_BIRDS, MORE_FREEZER_L
from rotation.sizing import BatchSize, Bird, Offer, Sized
from rotation.sizing_rows import bird_of, sized_of, wish_of

CENT = Decimal("0.01")
MORE_OF = {
    "bed": "One more bed like your middle one, with its crops",
    "pen": "One more pen like your largest",
    "freezer": f"{MORE_FREEZER_L:.0f} litres more freezer",
    "season": "A week longer outdoors in autumn",
    "home": "A week less away",
    "birds": f"{MORE_BIRDS} birds more allowed at a time",
    "budget": "A tenth more money",
}
BINDS = {
    "bed": "the beds",
    "pen": "the pens",
    "freezer": "the freezer",
    "season": "the season outdoors",
    "home": "the weeks away",
    "birds": "the birds allowed at a time",
    "budget": "the money",
}
WORTH_KG = 0.5
"""Meat a year under which more of a limit is not told to bring anything [kg]. A choice."""


@dataclass(frozen=True)
class BatchRow:
    """One batch of a proposal as a page tells it."""

    hatch_on: date
    order_by: date
    out_on: date
    processing_on: date
    chicks: int
    pens: str


@dataclass(frozen=True)
class OfferRow:
    """One proposal as a page tells it."""

    key: str
    """What the button that makes it sends."""
    offer: Offer
    batches: tuple[BatchRow, ...]
    cost: Decimal | None
    is_best: bool

    @property
    def off_a_batch(self) -> float:
        """Return off-bed days for each batch."""
        return self.offer.off_bed_days / len(self.offer.batches)


@dataclass(frozen=True)
class More:
    """What one more unit of a limit brings."""

    words: str
    more_kg: float
    brings: bool


class Answer:
    """A finished sizing, made ready for its page."""

    def __init__(self, sizing: Sizing, garden: Garden, pen_names: dict[int, str]) -> None:
        self.sizing, self.garden = sizing, garden
        self.pen_names = pen_names
        self.sized: Sized = sized_of(sizing.result)
        self.bird: Bird = bird_of(sizing.result)
        self.wish: Wish = wish_of(sizing.wish)

    @cached_property
    def rows(self) -> list[OfferRow]:
        """The proposals side by side, the best one first."""
        rows = [self._row(f"o{n}", offer) for n, offer in enumerate(self.sized.others)]
        return sorted(rows, key=lambda row: not row.is_best)

    @cached_property
    def frontier(self) -> list[OfferRow]:
        """The proposals that bring more with more off-bed days."""
        return [self._row(f"f{n}", offer) for n, offer in enumerate(self.sized.frontier)]

    @property
    def best(self) -> OfferRow | None:
        """The proposal that is told first."""
        return next((row for row in self.rows if row.is_best), None)

    def offer(self, key: str) -> Offer | None:
        """Return the proposal that a button names."""
        return next((row.offer for row in [*self.rows, *self.frontier] if row.key == key), None)

    @cached_property
    def more(self) -> list[More]:
        """What one more unit of each limit brings, the most first."""
        return [
            More(MORE_OF[each.key], each.more_kg, each.more_kg >= WORTH_KG)
            for each in self.sized.loosened
        ]

    @property
    def untried(self) -> list[str]:
        """Name what more was not tried for want of time."""
        return [MORE_OF[key][:1].lower() + MORE_OF[key][1:] for key in self.sized.untried]

    @property
    def binds(self) -> str:
        """Name the limit of which one more unit brings most; empty where none brings anything."""
        first = next(iter(self.sized.loosened), None)
        return BINDS[first.key] if first and first.more_kg >= WORTH_KG else ""

    @cached_property
    def chart(self) -> PageChart | None:
        """Draw the frontier; None where there is but one point."""
        return frontier_chart(self.sized.frontier, self.garden)

    def _row(self, key: str, offer: Offer) -> OfferRow:
        return OfferRow(
            key=key,
            offer=offer,
            batches=tuple(self._batch(batch) for batch in offer.batches),
            cost=_cost(offer, self.wish, self.bird),
            is_best=offer == self.sized.best,
        )

    def _batch(self, batch: BatchSize) -> BatchRow:
        hatch_on = self.sizing.sized_on + timedelta(days=batch.hatch_day)
        return BatchRow(
            hatch_on=hatch_on,
            order_by=hatch_on - timedelta(days=ORDER_DAYS),
            out_on=hatch_on + timedelta(days=self.bird.out_age),
            processing_on=hatch_on + timedelta(days=self.bird.end_age),
            chicks=batch.chicks,
            pens=" and ".join(self.pen_names.get(pk, "a pen given up") for pk in batch.pens),
        )


def answer_of(sizing: Sizing, garden: Garden) -> Answer:
    """Return a finished sizing as its page shows it; one query, for the names of the pens."""
    return Answer(sizing, garden, dict(Pen.objects.filter(garden=garden).values_list("pk", "name")))


def _cost(offer: Offer, wish: Wish, bird: Bird) -> Decimal | None:
    """Return what a proposal costs, to the cent; None where no price is known."""
    prices = [Decimal(f"{price:.6f}") for price in (wish.chick_price, wish.other_price)]
    feed = Decimal(f"{wish.feed_price_kg:.6f}") * Decimal(f"{offer.feed_kg:.3f}")
    total = offer.chicks * sum(prices) + feed
    return total.quantize(CENT) if total else None


def frontier_chart(frontier: Sequence[Offer], garden: Garden) -> PageChart | None:
    """Draw meat against off-bed days; None for fewer than two proposals."""
    if len(frontier) < 2:
        return None
    system = garden.unit_system
    days = [offer.off_bed_days for offer in frontier]
    step = max(1, -(-max(days) // 6))
    return page_chart(
        Chart(
            key="frontier",
            title="Dressed meat a year against days off the beds",
            says="Each corner is a proposal that was planned; more meat costs more days off the beds.",
            x_axis=Axis("days off"),
            y_axis=FEED_AXES[system],
            x_end=max(days) + step / 2,
            x_step=step,
            x_marks=tuple((day, str(day)) for day in days),
            series=(Line("Meat", "line-1", days, [offer.meat_kg for offer in frontier]),),
            write_x=lambda day: f"{day:g}",
            write_y=lambda kg: FEED_MASS.show(kg, system),
        )
    )
