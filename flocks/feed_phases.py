"""Which feed when: the phases of a diet as days of one batch, with what is eaten in each.

PURE.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from flocks.batch_forecast import BatchForecast
from flocks.feed import DietPhase

MIXING_DAYS = 4
"""Days over which the old feed is mixed with the new, so that the birds go on eating [day]. Common practice, no
source."""


@dataclass(frozen=True)
class PhaseSpan:
    """One phase of a batch, on ``[first_day, end_day)``."""

    phase: DietPhase
    first_day: date
    end_day: date
    eaten_per_bird_kg: float
    """Feed that one bird eats in it [kg]."""

    @property
    def protein_percent(self) -> float:
        """Return the crude protein of its feed [%]."""
        return 100 * self.phase.crude_protein

    def is_on(self, day: date) -> bool:
        """Tell whether it is fed on a day."""
        return self.first_day <= day < self.end_day

    @property
    def mixes_until(self) -> date:
        """Return the day by which the feed before it should be used up."""
        return min(self.end_day, self.first_day + timedelta(days=MIXING_DAYS))


def phase_spans(
    diet: Sequence[DietPhase], forecast: BatchForecast, end_day: date
) -> tuple[PhaseSpan, ...]:
    """Return the phases that a batch goes through before it is processed.

    Parameters
    ----------
    diet : sequence of DietPhase
        The feeds by age.
    forecast : BatchForecast
        Says when the birds hatch and what they eat.
    end_day : date
        Day of processing.
    """
    phases = sorted(diet, key=lambda phase: phase.from_day)
    starts = [forecast.hatch_on + timedelta(days=round(phase.from_day)) for phase in phases]
    ends = [*starts[1:], end_day]
    return tuple(
        PhaseSpan(phase, start, min(end, end_day), forecast.feed_kg(1, start, min(end, end_day)))
        for phase, start, end in zip(phases, starts, ends, strict=True)
        if start < end_day
    )
