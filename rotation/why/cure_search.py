"""Which single changes would save days off the beds: tried one by one, each by planning the changed garden.

A search goes on in small steps and is kept between them, so that no page waits for it. Every change is
planned with the same little work as the garden as it is, from the told plan on, so that none looks better or
worse by luck.
"""

import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass, field
from time import monotonic
from typing import Any

from django.core.cache import cache

from rotation.change_kinds import ChangeError, as_json
from rotation.change_words import change_words
from rotation.changed_plan import changed_plan, days_off_in
from rotation.changes_tried import apply
from rotation.facts import GardenFacts
from rotation.models import Plan
from rotation.planning import Effort
from rotation.told import ground_fingerprint
from rotation.why.cure_lines import Line, OffDays, off_days
from rotation.why.cures_of_batch import batch_lines
from rotation.why.cures_of_garden import garden_lines
from rotation.why.ladder import best_size, next_size

CURE_EFFORT = Effort(seconds=0.15, rounds=15)
"""For each of the some fifty changed gardens that are planned, up to three times each. Our choice."""
QUICK_SECONDS = 0.3
"""After so long a changed garden is not searched again, so that no answer takes long. Our choice."""
MOST_BATCHES = 3
"""Batches of which changes are tried: those with most days off the beds. Our choice."""
KEPT_SECONDS = 24 * 3600


@dataclass(frozen=True)
class Cure:
    """One change, with what it leaves and saves."""

    key: str
    """The line's; a reader's focus stays on it while others are found."""
    words: str
    note: str
    changes: list[dict[str, Any]]
    """As `rotation.change_kinds.read_changes` reads them."""
    left: int
    """Days off the beds of the plan with the change."""
    saved: int
    """Days off the beds that the told plan has and this one has not."""
    share: float

    @property
    def changes_json(self) -> str:
        """The changes as a form sends them."""
        return json.dumps(self.changes)


@dataclass
class Found:
    """What a search has found so far; empty at its start."""

    unchanged: int | None = None
    """Days off the beds when the garden as it is is planned with the same work."""
    left: dict[str, dict[int, int]] = field(default_factory=dict)
    """By the line's key: days off the beds by size."""


class CureSearch:
    """The search for one plan's cures, as far as it has come."""

    def __init__(self, facts: GardenFacts, plan: Plan) -> None:
        self.facts = facts
        self.told = list(plan.stays.all())
        self.off = off_days(facts, self.told)
        self.lines = list(_lines(facts, self.off)) if self.off.stays else []
        birds = sum(run.birds for run in facts.runs)
        self._key = f"cures/{plan.pk}/{facts.on}/{birds}/{ground_fingerprint(facts)}"
        self.found = Found(**cache.get(self._key, {}))

    @property
    def is_done(self) -> bool:
        """Whether there is nothing left to try."""
        return self._next() is None

    @property
    def progress(self) -> tuple[int, int]:
        """How many of the kinds of change have been looked at, and how many there are."""
        done = sum(self._next_size(line) is None for line in self.lines)
        return (done if self.found.unchanged is not None else 0), len(self.lines)

    def go_on(self, seconds: float) -> None:
        """Try changes until the time is spent, at least one, and keep what they leave."""
        ends = monotonic() + seconds
        while (following := self._next()) is not None:
            self._try(*following)
            if monotonic() >= ends:
                break
        cache.set(self._key, asdict(self.found), KEPT_SECONDS)

    def cures(self) -> list[Cure]:
        """Return what saves days, most first; of those that save alike the smallest change first."""
        if self.found.unchanged is None:
            return []
        cures = [
            self._cure(line, size)
            for line in self.lines
            if self._next_size(line) is None
            and (size := best_size(self._left(line), self.found.unchanged)) is not None
        ]
        return sorted(cures, key=lambda cure: (-cure.saved, cure.share))

    @property
    def saved_by_planning_again(self) -> int:
        """Days off the beds that a new plan saves with nothing changed."""
        return self.off.count - (
            self.off.count if self.found.unchanged is None else self.found.unchanged
        )

    def _cure(self, line: Line, size: int) -> Cure:
        tried, left = line.size(size), self._left(line)[size]
        return Cure(
            key=line.key,
            words=change_words(tried.change, self.facts),
            note=tried.note,
            changes=as_json([tried.change]),
            left=left,
            saved=self.off.count - left,
            share=tried.share,
        )

    def _left(self, line: Line) -> dict[int, int]:
        return self.found.left.get(line.key, {})

    def _next_size(self, line: Line) -> int | None:
        if not self.found.unchanged:
            return None
        return next_size(line.count, self._left(line), self.found.unchanged, line.coarse)

    def _next(self) -> tuple[Line | None, int] | None:
        """Return what to try next: nothing changed, then each kind once, then each to its end."""
        if not self.lines:
            return None
        if self.found.unchanged is None:
            return None, 0
        untried = [line for line in self.lines if line.key not in self.found.left]
        for line in (*untried, *self.lines):
            size = self._next_size(line)
            if size is not None:
                return line, size
        return None

    def _try(self, line: Line | None, size: int) -> None:
        if line is None:
            self.found.unchanged = min(self.off.count, self._days_off(self.facts))
            return
        try:
            left = self._days_off(apply(self.facts, [line.size(size).change]))
        except ChangeError:
            left = self.off.count
        self.found.left.setdefault(line.key, {})[size] = left

    def _days_off(self, changed: GardenFacts) -> int:
        planned = changed_plan(
            self.facts, changed, self.told, CURE_EFFORT, quick_seconds=QUICK_SECONDS
        )
        return days_off_in(planned.stays, changed.on)


def _lines(facts: GardenFacts, off: OffDays) -> Iterator[Line]:
    for batch_id in off.batches[:MOST_BATCHES]:
        yield from (line for line in batch_lines(facts, off, batch_id) if line.count > 0)
    yield from (line for line in garden_lines(facts, off) if line.count > 0)
