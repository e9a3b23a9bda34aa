"""Why a pen is off-bed: how many of its spots each rule shut on that day.

PURE. Every spot the run may use is counted once a day, under the first of these that shuts it, the
rest of the plan being as it is:

``crop``      no window of the spot is open that day
``taken``     another pen stands there
``rest``      the day falls in the rest after a stay, or a stay would end too soon before the next
``nitrogen``  that one day's droppings pass the room left in the window or on the spot
``length``    the day alone would do, but no stay of a lawful length holds it and only off-bed days
``cost``      a lawful stay is there to be had, and the plan does not take it because it costs more
              or because the search ended first
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from rotation.engine.problem import NITROGEN_TOLERANCE_G, OffBed, Problem, Run, Spot, Stay, stay_of
from rotation.engine.rules import window_of


def off_bed_spans(problem: Problem, stays: Sequence[Stay]) -> tuple[OffBed, ...]:
    """Return every off-bed day of a plan, days alike in run and reasons merged into spans."""
    garden = _Garden(problem, stays)
    spans: list[OffBed] = []
    for run in problem.runs:
        for gap in _gaps(run, stays):
            reasons = [(day, garden.because(run, day, gap)) for day in range(*gap)]
            for because, group in groupby(reasons, key=lambda entry: entry[1]):
                days = [day for day, _ in group]
                spans.append(OffBed(run.id, days[0], days[-1] + 1, because))
    return tuple(spans)


def _gaps(run: Run, stays: Iterable[Stay]) -> Iterator[tuple[int, int]]:
    """Yield the spans of days of a run that no stay covers."""
    reached = run.first_day
    for stay in sorted((s for s in stays if s.run == run.id), key=lambda stay: stay.first_day):
        if stay.first_day > reached:
            yield reached, stay.first_day
        reached = stay.end_day
    if reached < run.end_day:
        yield reached, run.end_day


class _Garden:
    """A plan's stays by spot, with what nitrogen they leave."""

    def __init__(self, problem: Problem, stays: Iterable[Stay]) -> None:
        self.problem = problem
        self.spots = {spot.id: spot for spot in problem.spots}
        self.visits: dict[str, list[Stay]] = defaultdict(list)
        for stay in stays:
            self.visits[stay.spot].append(stay)

    def because(self, run: Run, day: int, gap: tuple[int, int]) -> dict[str, int]:
        """Return the count of each reason over the spots of `run`."""
        reasons = Counter(self._reason(run, self.spots[spot], day, gap) for spot in run.spots)
        return dict(sorted(reasons.items()))

    def _reason(self, run: Run, spot: Spot, day: int, gap: tuple[int, int]) -> str:
        that_day = Stay(run.id, spot.id, day, day + 1, run.nitrogen_g[day - run.first_day])
        if window_of(spot, that_day) is None:
            return "crop"
        if any(other.first_day <= day < other.end_day for other in self.visits[spot.id]):
            return "taken"
        if not self._rested(that_day):
            return "rest"
        if not self._has_room(spot, that_day):
            return "nitrogen"
        return "cost" if self._any_stay(run, spot, day, gap) else "length"

    def _any_stay(self, run: Run, spot: Spot, day: int, gap: tuple[int, int]) -> bool:
        """Say whether some lawful stay on `spot` holds `day` and else only days of the gap."""
        rules = self.problem.rules
        starts = set(range(max(gap[0], day + 1 - rules.min_stay_days), day + 1))
        if gap[0] == run.first_day and spot.id == run.starts_on:
            starts.add(run.first_day)
        for first_day in starts:
            # what shuts a stay shuts every longer one that holds it, so the shortest are enough
            stood = run.counted_days(spot.id, first_day, first_day)
            end_day = max(day + 1, first_day + rules.min_stay_days - stood)
            if end_day > gap[1] or end_day - first_day + stood > rules.max_stay_days:
                continue
            stay = stay_of(run, spot.id, first_day, end_day)
            if window_of(spot, stay) and self._rested(stay) and self._has_room(spot, stay):
                return True
        return False

    def _rested(self, stay: Stay) -> bool:
        rest_days = self.problem.rules.rest_days
        return all(
            stay.first_day >= other.end_day + rest_days
            or other.first_day >= stay.end_day + rest_days
            for other in self.visits[stay.spot]
        )

    def _has_room(self, spot: Spot, stay: Stay) -> bool:
        window = window_of(spot, stay)
        on_spot = self.visits[spot.id]
        in_window = [other for other in on_spot if window_of(spot, other) == window]
        spot_g = sum(other.nitrogen_g for other in on_spot) + stay.nitrogen_g
        window_g = sum(other.nitrogen_g for other in in_window) + stay.nitrogen_g
        return (
            spot_g <= spot.nitrogen_room_g + NITROGEN_TOLERANCE_G
            and window is not None
            and window_g <= window.nitrogen_room_g + NITROGEN_TOLERANCE_G
        )
