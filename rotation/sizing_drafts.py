"""Hatch days and sizes that a quick walk over the beds finds ground for: what the planner is then asked about.

PURE.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from rotation.sizing import LEAST_CHICKS, BatchSize, Bird, Judged, Limits, PenFloor, most_chicks
from rotation.sizing_choices import most_that_fit, pen_choices
from rotation.sizing_dates import (
    MOST_BATCHES,
    back_to_back,
    best_apart,
    climbed,
    hatch_days,
    least_gap,
)
from rotation.sizing_walk import Walk

Judge = Callable[[Sequence[BatchSize]], Judged]
"""What the planner finds for batches."""


@dataclass(frozen=True, eq=False)
class Setting:
    """A garden, as it is or with one limit loosened."""

    limits: Limits
    walk: Walk
    judge: Judge


class Drafts:
    """Proposals by the walk alone; what was walked once is kept."""

    def __init__(self, bird: Bird, off_days_a_batch: int, go_on: Callable[[], bool]) -> None:
        self.bird, self.off_days_a_batch, self._go_on = bird, off_days_a_batch, go_on
        self._filled: dict[tuple[object, ...], tuple[Walk, tuple[BatchSize, ...]]] = {}

    def drafts(self, setting: Setting) -> list[list[BatchSize]]:
        """Return, for each number of batches and choice of pens, the best that the walk finds."""
        drafts: list[list[BatchSize]] = []
        for pens in pen_choices(setting.limits.pens):
            most = 0
            for count in range(1, MOST_BATCHES + 1):
                if count > 1 and not self._go_on():
                    break
                dates = self.dates(setting, pens, count)
                if not dates:
                    break
                filled = self.filled(setting, dates, pens)
                chicks = sum(batch.chicks for batch in filled)
                if chicks > most:
                    drafts.append(filled)
                    most = chicks
            drafts.append(self._alike(setting, pens))
        return [draft for draft in drafts if draft]

    def _alike(self, setting: Setting, pens: Sequence[PenFloor]) -> list[BatchSize]:
        """Return batches one after the other, all of one size: as many chicks as the walk has ground for."""
        days = back_to_back(hatch_days(pens, self.bird, setting.limits), self.bird)
        filled = self.filled(setting, days, pens)
        if not filled:
            return []
        chicks = sum(batch.chicks for batch in filled) // len(days)
        pks = tuple(pen.pk for pen in pens)
        return [BatchSize(day, max(chicks, LEAST_CHICKS, len(pks)), pks) for day in days]

    def dates(self, setting: Setting, pens: Sequence[PenFloor], count: int) -> list[int]:
        days, gap = hatch_days(pens, self.bird, setting.limits), least_gap(self.bird)
        worth = [float(sum(b.chicks for b in self.filled(setting, [day], pens))) for day in days]
        chosen = best_apart(days, worth, count, gap)
        soonest = back_to_back(days, self.bird)
        starts = [start for start in (chosen, soonest) if len(start) == count]
        if not starts:
            return []

        def value(dates: Sequence[int]) -> float:
            return float(sum(batch.chicks for batch in self.filled(setting, dates, pens)))

        start = max(starts, key=value)
        return climbed(start, days, gap, value, self._go_on)

    def filled(
        self,
        setting: Setting,
        days: Sequence[int],
        pens: Sequence[PenFloor],
        off_share: float | None = None,
    ) -> list[BatchSize]:
        """Return a batch for each day with as many chicks as the walk has ground for, limits not yet kept."""
        pen_days = (self.bird.end_age - self.bird.out_age) * len(pens)
        allowed = self.off_days_a_batch if off_share is None else int(off_share * pen_days)
        return list(self._filled_to(setting, tuple(days), tuple(pens), allowed)[1])

    def _filled_to(
        self, setting: Setting, days: tuple[int, ...], pens: tuple[PenFloor, ...], allowed: int
    ) -> tuple[Walk, tuple[BatchSize, ...]]:
        """Fill the days in turn; what the first of them leave is kept for other days after them."""
        if not days:
            return setting.walk, ()
        key = setting, days, pens, allowed
        if key not in self._filled:
            walk, batches = self._filled_to(setting, days[:-1], pens, allowed)
            most = most_chicks(days[-1], pens, self.bird, setting.limits)
            least = max(LEAST_CHICKS, len(pens))
            chicks, after = most_that_fit(walk, days[-1], pens, self.bird, (least, most), allowed)
            if after is not None:
                batch = BatchSize(days[-1], chicks, tuple(pen.pk for pen in pens))
                walk, batches = after, (*batches, batch)
            self._filled[key] = walk, batches
        return self._filled[key]
