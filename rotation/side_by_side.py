"""Batches side by side in figures: as they were logged, and by the forecast where the logs do not tell yet."""

from dataclasses import dataclass
from datetime import date

from flocks.comparing import Compared, compared
from flocks.models import Batch
from rotation.batch_report import BatchFigures


@dataclass(frozen=True)
class Held:
    """One batch with what was logged and its forecast."""

    figures: BatchFigures
    growth: Compared

    @property
    def batch(self) -> Batch:
        """Return the batch."""
        return self.figures.batch

    @property
    def is_weighed_out(self) -> bool:
        """Whether its live weight at processing was logged."""
        return self.figures.live_g is not None

    @property
    def live_g(self) -> float:
        """Return its mean live weight, logged at processing or by the forecast [g]."""
        return self.figures.live_g or self.growth.weight_g

    @property
    def off_table_percent(self) -> float:
        """Return how far that lies over (below: negative) the strain's own table [%]."""
        return 100 * (self.live_g / self.figures.expected_g - 1)

    @property
    def is_fed_out(self) -> bool:
        """Whether its feed for each kilogram gained is what was logged."""
        return self.figures.totals.feed_per_gain is not None

    @property
    def feed_per_gain(self) -> float | None:
        """Return feed for each kilogram gained: given over gained, or eaten over gained by the forecast."""
        return self.figures.totals.feed_per_gain or self.growth.feed_per_gain

    @property
    def index(self) -> float | None:
        """Return the production index of what was logged, or by the forecast as far as it has come."""
        return self.figures.index or self.growth.index


def held_together(figures: list[BatchFigures], today: date) -> list[Held]:
    """Return batches ready to be held against each other, in their order."""
    growths = compared([one.batch for one in figures], today)
    return [Held(one, growth) for one, growth in zip(figures, growths, strict=True)]
