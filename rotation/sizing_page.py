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
from garden.words import gettext as _
from garden.words import mark
from pens.models import Pen
from rotation.models import Sizing
from rotation.season_limits import Wish
from rotation.season_sizing import MORE_BIRDS, MORE_FREEZER_L
from rotation.sizing import LEAST_CHICKS, BatchSize, Bird, Offer, Sized
from rotation.sizing_rows import bird_of, sized_of, wish_of

CENT = Decimal("0.01")
MORE_OF = {
    "bed": mark("One more bed like your middle one, with its crops"),
    "bare": mark("One more bed like your middle one, without a crop"),
    "pen": mark("One more pen like your largest"),
    "freezer": mark("{n} litres more freezer"),
    "season": mark("A week longer outdoors in autumn"),
    "home": mark("A week less away"),
    "birds": mark("{n} birds more allowed at a time"),
    "budget": mark("A tenth more money"),
}
BINDS = {
    "bed": mark("the beds"),
    "bare": mark("ground without crops"),
    "pen": mark("the pens"),
    "freezer": mark("the freezer"),
    "season": mark("the season outdoors"),
    "home": mark("the weeks away"),
    "birds": mark("the birds allowed at a time"),
    "budget": mark("the money"),
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
    is_soon: bool
    """Whether chicks should be ordered at once."""


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
            More(_more_of(each.key), each.more_kg, each.more_kg >= WORTH_KG)
            for each in self.sized.loosened
        ]

    @property
    def least_nitrogen_g(self) -> float:
        """Return what the smallest batch worth a brooder drops outdoors [g]."""
        return LEAST_CHICKS * sum(self.bird.nitrogen_g)

    @property
    def untried(self) -> list[str]:
        """Name what more was not tried for want of time."""
        return [words[:1].lower() + words[1:] for words in map(_more_of, self.sized.untried)]

    @property
    def binds(self) -> str:
        """Name the limit of which one more unit brings most; empty where none brings anything."""
        first = next(iter(self.sized.loosened), None)
        return _(BINDS[first.key]) if first and first.more_kg >= WORTH_KG else ""

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
        order_by = hatch_on - timedelta(days=ORDER_DAYS)
        return BatchRow(
            hatch_on=hatch_on,
            order_by=order_by,
            out_on=hatch_on + timedelta(days=self.bird.out_age),
            processing_on=hatch_on + timedelta(days=self.bird.end_age),
            chicks=batch.chicks,
            pens=_(" and ").join(self.pen_names.get(pk, _("a pen given up")) for pk in batch.pens),
            is_soon=order_by <= self.sizing.sized_on,
        )


def _more_of(key: str) -> str:
    n = MORE_BIRDS if key == "birds" else f"{MORE_FREEZER_L:.0f}"
    return _(MORE_OF[key]).format(n=n)


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
            title=_("Dressed meat a year against days off the beds"),
            says=_(
                "Each corner is a proposal that was planned; more meat costs more days off the beds."
            ),
            x_axis=Axis(_("days off")),
            y_axis=FEED_AXES[system],
            x_end=max(days) + step / 2,
            x_step=step,
            x_marks=tuple((day, str(day)) for day in days),
            series=(Line(_("Meat"), "line-1", days, [offer.meat_kg for offer in frontier]),),
            write_x=lambda day: f"{day:g}",
            write_y=lambda kg: FEED_MASS.show(kg, system),
        )
    )
