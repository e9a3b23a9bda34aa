"""Changes of one batch that may save days off the beds: fewer birds, other days, other pens."""

from collections.abc import Callable, Iterator
from datetime import date, timedelta
from itertools import count

from flocks.forecasting import forecast_of
from flocks.models import Batch
from garden.units import BIRD_MASS
from garden.words import gettext as _
from pens.models import Pen
from rotation.change_kinds import Birds, PartProcessed, Pens, Processed, Shift
from rotation.facts import GardenFacts, PenRun
from rotation.why.cure_lines import Line, OffDays, Size

MOST_SHIFT_DAYS = 28
COARSE_DAYS = (3, 7, 14, 21, 28)
"""How far a batch is put off or brought forward at most, and the steps that are tried first. Our choice."""
LEAST_SHARE_OF_TARGET = 0.5
"""No bird is tried to be processed below this share of the weight wanted. Our choice."""
OTHER_PENS_SHARE = 0.5
"""How large a change other pens are taken to be. Our choice."""


def batch_lines(facts: GardenFacts, off: OffDays, batch_id: int) -> Iterator[Line]:
    """Yield the changes of one batch with days off the beds."""
    runs = [run for run in facts.runs if run.batch.pk == batch_id]
    if runs:
        changes = _BatchChanges(facts, off.of_batch(batch_id), runs)
        yield from (changes.fewer_birds(), changes.processed(), changes.part_processed())
        yield from changes.shifted()
        yield from changes.other_pens()


class _BatchChanges:
    """One batch with what is known of it."""

    def __init__(self, facts: GardenFacts, off: OffDays, runs: list[PenRun]) -> None:
        self.facts, self.off, self.runs = facts, off, runs
        self.batch: Batch = runs[0].batch
        self.birds = sum(run.birds for run in runs)
        self.first_day = min(run.first_day for run in runs)
        self.end_day = max(run.end_day for run in runs)

    def fewer_birds(self) -> Line:
        """Down to one bird in each pen."""

        def size(number: int) -> Size:
            birds = self.birds - 1 - number
            return Size(Birds(batch=self.batch.pk, birds=birds), (number + 1) / self.birds)

        return Line(f"birds-{self.batch.pk}", max(0, self.birds - len(self.runs)), size)

    def processed(self) -> Line:
        """All on an earlier day, no sooner than they are worth it."""
        latest = self.end_day - timedelta(days=1)

        def size(number: int) -> Size:
            on = latest - timedelta(days=number)
            change = Processed(batch=self.batch.pk, on=on)
            return Size(change, (number + 1) / MOST_SHIFT_DAYS, self._weighing(on))

        soonest = max(self._worth_it_from(), self.first_day + timedelta(days=1))
        return Line(f"process-{self.batch.pk}", (latest - soonest).days + 1, size)

    def part_processed(self) -> Line:
        """Up to half of them on the first day off the beds, or once they are worth it."""
        on = max(self.off.first_day, self.first_day + timedelta(days=1), self._worth_it_from())

        def size(number: int) -> Size:
            change = PartProcessed(batch=self.batch.pk, on=on, birds=number + 1)
            return Size(change, (number + 1) / self.birds, self._weighing(on))

        in_time = on <= self.off.last_day and on < self.end_day
        return Line(f"part-{self.batch.pk}", self.birds // 2 if in_time else 0, size)

    def _weighing(self, on: date) -> str:
        weight_g = forecast_of(self.batch, self.facts.on).weight_g(on).median
        weight = BIRD_MASS.show(weight_g, self.facts.garden.unit_system)
        return _("They weigh about {weight} each by then.").format(weight=weight)

    def _worth_it_from(self) -> date:
        forecast = forecast_of(self.batch, self.facts.on)
        wanted_g = LEAST_SHARE_OF_TARGET * self.batch.target_g
        days = (self.first_day + timedelta(days=day) for day in count())
        return next(
            day for day in days if day >= self.end_day or forecast.weight_g(day).median >= wanted_g
        )

    def shifted(self) -> Iterator[Line]:
        """Hatched later or earlier, while the eggs are not."""
        ahead = (self.batch.hatch_on - self.facts.on).days - 1
        if ahead < 0:
            return
        for sign, most in ((1, MOST_SHIFT_DAYS), (-1, min(ahead, MOST_SHIFT_DAYS))):
            coarse = tuple(days - 1 for days in COARSE_DAYS if days <= most)
            if coarse:
                key = f"shift-{self.batch.pk}-{sign}"
                yield Line(key, most, self._shift_size(sign), coarse)

    def _shift_size(self, sign: int) -> Callable[[int], Size]:
        def size(number: int) -> Size:
            change = Shift(batch=self.batch.pk, days=sign * (number + 1))
            return Size(change, (number + 1) / MOST_SHIFT_DAYS)

        return size

    def other_pens(self) -> Iterator[Line]:
        """One other pen for them all, or all pens there are, with no less floor than now."""
        pens = list(self.facts.garden.pens.in_use())
        now = {run.pen.pk for run in self.runs}
        floor_m2 = sum(run.pen.floor_m2 for run in self.runs)
        choices = [(pen,) for pen in pens] + ([tuple(pens)] if len(pens) > 1 else [])
        for choice in choices:
            enough = sum(pen.floor_m2 for pen in choice) >= floor_m2
            if enough and {pen.pk for pen in choice} != now and len(choice) <= self.birds:
                yield self._pens_line(choice)

    def _pens_line(self, choice: tuple[Pen, ...]) -> Line:
        ids = [pen.pk for pen in choice]
        key = f"pens-{self.batch.pk}-{'-'.join(map(str, ids))}"
        return Line.single(key, Size(Pens(batch=self.batch.pk, pens=ids), OTHER_PENS_SHARE))
