"""A batch with changes that are only thought of, turned into the runs of its pens.

Its growth is the forecast of the batch as it is: by age its birds grow alike whenever they are hatched.
"""

from collections.abc import Iterator
from copy import copy
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from flocks import growth
from flocks.forecasting import forecast_of
from flocks.models import Batch
from flocks.sharing import shared_out
from garden.day_words import day_words
from garden.words import gettext as _
from pens.models import Pen
from rotation.change_kinds import (
    Birds,
    ChangeError,
    OfBatch,
    PartProcessed,
    Pens,
    Processed,
    Shift,
    UnknownRowError,
)
from rotation.facts import GardenFacts, PenRun


@dataclass
class BatchTried:
    """A batch with the changes of it gathered, until its runs are made anew."""

    facts: GardenFacts
    runs: list[PenRun]
    birds: int
    pens: list[Pen] | None = None
    shift_days: int = 0
    processed_on: date | None = None
    partly: list[PartProcessed] = field(default_factory=list)

    @property
    def batch(self) -> Batch:
        """The batch as it is."""
        return self.runs[0].batch

    @property
    def first_day(self) -> date:
        """The first day in the garden as it is, or today."""
        return min(run.first_day for run in self.runs)

    def take(self, change: OfBatch) -> None:
        """Note one change; ChangeError where it cannot be."""
        if isinstance(change, Birds):
            self._take_birds(change)
        elif isinstance(change, Pens):
            self._take_pens(change)
        elif isinstance(change, Shift):
            self._take_shift(change)
        elif isinstance(change, Processed):
            self.processed_on = change.on
        else:
            self.partly.append(change)

    def _take_birds(self, change: Birds) -> None:
        alive = sum(run.birds for run in self.runs)
        if change.birds > alive and self.batch.hatch_on <= self.facts.on:
            raise ChangeError(
                _("{batch} has {alive} birds; there cannot be more by now.").format(
                    batch=self.batch, alive=alive
                )
            )
        self.birds = change.birds

    def _take_pens(self, change: Pens) -> None:
        known = {pen.pk: pen for pen in self.facts.garden.pens.in_use()}
        known |= {run.pen.pk: run.pen for run in self.runs}
        if any(pk not in known for pk in change.pens):
            raise UnknownRowError(_("This garden has no such pen in use."))
        self.pens = [known[pk] for pk in dict.fromkeys(change.pens)]

    def _take_shift(self, change: Shift) -> None:
        hatch_on = self.batch.hatch_on
        if hatch_on <= self.facts.on:
            raise ChangeError(
                _(
                    "{batch} hatched on {day}, so it cannot be put off. Try another processing day."
                ).format(batch=self.batch, day=day_words(hatch_on))
            )
        if hatch_on + timedelta(days=change.days) <= self.facts.on:
            days_left = (hatch_on - self.facts.on).days - 1
            raise ChangeError(
                _("{batch} can be at most {days_left} days earlier.").format(
                    batch=self.batch, days_left=days_left
                )
            )
        self.shift_days = change.days

    def changed(self) -> list[PenRun]:
        """Return the runs of the batch with every change."""
        shift = timedelta(days=self.shift_days)
        batch = copy(self.batch)
        batch.hatch_on += shift
        batch.leaves_brooder_on += shift
        batch.processing_on = self.processed_on or batch.processing_on + shift
        self._check_days(batch, shift)
        return [self._run(batch, pen, birds, shift) for pen, birds in self._shares() if birds]

    def _check_days(self, batch: Batch, shift: timedelta) -> None:
        soonest = max(self.first_day + shift, self.facts.on) + timedelta(days=1)
        latest = soonest + timedelta(days=growth.LAST_DAY)
        if self.processed_on and not soonest <= self.processed_on <= latest:
            raise ChangeError(
                _("{batch} can be processed from {soonest} to {latest}.").format(
                    batch=batch, soonest=day_words(soonest), latest=day_words(latest)
                )
            )
        end_day = max(self._end_day(run, shift) for run in self.runs)
        gone = 0
        for part in self.partly:
            gone += part.birds
            if not self.first_day + shift < part.on < end_day:
                raise ChangeError(
                    _(
                        "{batch} is in the garden from {first_day} up to {end_day}: give a day between for "
                        "processing a part."
                    ).format(
                        batch=batch,
                        first_day=day_words(self.first_day + shift),
                        end_day=day_words(end_day),
                    )
                )
        if gone and gone >= self.birds:
            raise ChangeError(
                _("{batch} has {birds} birds: a part of it is fewer.").format(
                    batch=batch, birds=self.birds
                )
            )

    def _end_day(self, run: PenRun, shift: timedelta) -> date:
        return self.processed_on or run.end_day + shift

    def _shares(self) -> list[tuple[Pen, int]]:
        if self.pens is not None:
            floors = [pen.floor_m2 for pen in self.pens]
            return list(zip(self.pens, shared_out(self.birds, floors), strict=True))
        alive = [run.birds for run in self.runs]
        pens = [run.pen for run in self.runs]
        return list(zip(pens, shared_out(self.birds, alive), strict=True))

    def _run(self, batch: Batch, pen: Pen, birds: int, shift: timedelta) -> PenRun:
        was = next((run for run in self.runs if run.pen.pk == pen.pk), None)
        like = was or self.runs[0]
        first_day = (was.first_day if was else self.first_day) + shift
        end_day = self._end_day(like, shift)
        return replace(
            like,
            batch=batch,
            pen=pen,
            birds=birds,
            first_day=first_day,
            nitrogen_g=tuple(self._nitrogen_g(birds, first_day, end_day, shift)),
            standing=was.standing if was else None,
        )

    def _nitrogen_g(
        self, birds: int, first_day: date, end_day: date, shift: timedelta
    ) -> Iterator[float]:
        """Yield what a pen drops day by day, fewer birds from each day on which a part is processed."""
        forecast = forecast_of(self.batch, self.facts.on)
        day, left = first_day, self.birds
        steps = [(part.on, part.birds) for part in sorted(self.partly, key=lambda part: part.on)]
        for until, gone in [*steps, (end_day, 0)]:
            next_day = min(max(day, until), end_day)
            alive = birds * left / self.birds
            yield from forecast.nitrogen_g_by_day(
                alive, day - shift, next_day - shift, quantile=self.facts.garden.nitrogen_quantile
            )
            day, left = next_day, left - gone
