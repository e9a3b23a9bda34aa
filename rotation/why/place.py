"""What shuts one place of a bed that is open by its crops: other pens, rest, nitrogen, or nothing."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rotation.engine.problem import NITROGEN_TOLERANCE_G, Spot
from rotation.facts import GardenFacts, stretch_of
from rotation.problems import NOW
from rotation.stretches import Occupied, Stretch
from rotation.why.account import Account, Visit
from rotation.why.shut_words import Reason, Wording


@dataclass(frozen=True)
class PlaceReasons:
    """One place, asked about days of a gap that begins on `gap_first_day`."""

    facts: GardenFacts
    account: Account
    place: Stretch
    gap_first_day: date
    wording: Wording

    @property
    def visits(self) -> Sequence[Visit]:
        """The plan's stays here, in order."""
        return self.account.visits[self.place.id]

    def reason(self, day: date) -> Reason | None:
        """Return what shuts the place on a day; None where that day alone would do."""
        for visit in self.visits:
            if visit.first_day <= day < visit.end_day:
                return self.wording.taken(visit.pen)
        return self._stood(day) or self._rest(day) or self._nitrogen(self._spot(), day)

    def open_reason(self, day: date, open_days: Sequence[date]) -> Reason:
        """Say whether a lawful stay holds an open day; then only the plan has passed it by."""
        garden, run, spot = self.facts.garden, self.account.run, self._spot()
        for start in range(garden.min_stay_days):
            first_day = day - timedelta(days=start)
            days = [first_day + timedelta(days=d) for d in range(garden.min_stay_days)]
            if not set(days) <= set(open_days):
                continue
            nitrogen_g = sum(run.nitrogen_g[(d - run.first_day).days] for d in days)
            left_g = self.account.room_left_g(spot, first_day) if spot else None
            if left_g is not None and nitrogen_g <= left_g + NITROGEN_TOLERANCE_G:
                return self.wording.open()
        return self.wording.too_short(garden.min_stay_days)

    def _stood(self, day: date) -> Reason | None:
        """Say why the pen, here until the gap began, cannot stay on: too long, or no room."""
        stood_from = self._stood_from()
        if stood_from is None:
            return None
        longest = self.facts.garden.max_stay_days
        if (day - stood_from).days >= longest:
            return self.wording.stood(longest)
        stood_since_before = stood_from < self.facts.on
        spot = self._spot(stands_now=stood_since_before)
        return self._nitrogen(spot, day) or (
            self.wording.open() if stood_since_before and day == self.facts.on else None
        )

    def _stood_from(self) -> date | None:
        """Return since when the pen stands here as the gap begins; None where it stands elsewhere."""
        standing = self.account.run.standing
        stands_here = standing is not None and self.place.overlaps(stretch_of(standing))
        if stands_here and self.gap_first_day == self.facts.on:
            return standing.first_day
        for visit in self.visits:
            if visit.is_own and visit.end_day == self.gap_first_day:
                goes_on = stands_here and visit.first_day == self.facts.on
                return standing.first_day if goes_on else visit.first_day
        return None

    def _rest(self, day: date) -> Reason | None:
        rest = timedelta(days=self.facts.garden.rest_days)
        ends = [*(visit.end_day for visit in self.visits), *self._actual_ends()]
        open_on = max((end + rest for end in ends if end <= day < end + rest), default=None)
        if open_on is not None:
            return self.wording.resting(open_on)
        for visit in self.visits:
            if day < visit.first_day <= day + rest:
                return self.wording.kept(visit.pen, visit.first_day, rest.days)
        return None

    def _actual_ends(self) -> Iterator[date]:
        """Yield the end days of actual stays here; who still stands here leaves today."""
        for stay in (*self.facts.past, *self._standing()):
            if self.place.overlaps(stay.stretch):
                yield stay.end_day

    def _standing(self) -> Iterator[Occupied]:
        for stay in self.facts.standing:
            end_day = max(self.facts.on, stay.first_day + timedelta(days=1))
            yield Occupied(stretch_of(stay), stay.first_day, end_day, 0.0)

    def _nitrogen(self, spot: Spot | None, day: date) -> Reason | None:
        left_g = self.account.room_left_g(spot, day) if spot else None
        if left_g is None:
            return self.wording.resting(self._opens_after(spot, day))
        run = self.account.run
        nitrogen_g = run.nitrogen_g[(day - run.first_day).days]
        if nitrogen_g <= left_g + NITROGEN_TOLERANCE_G:
            return None
        soil = self.facts.beds[self.place.bed_id].soil
        return self.wording.no_room(left_g, nitrogen_g, by_phosphorus=soil.phosphorus.is_capped)

    def _opens_after(self, spot: Spot | None, day: date) -> date | None:
        horizon = self.account.horizon
        later = (
            window.first_day
            for window in (spot.windows if spot else ())
            if window.first_day > horizon.index(day)
        )
        opens = min(later, default=None)
        return None if opens is None else horizon.first_day + timedelta(days=opens)

    def _spot(self, *, stands_now: bool = False) -> Spot | None:
        name = self.place.id
        if stands_now and self.account.run.standing is not None:
            name = stretch_of(self.account.run.standing).id + NOW
        return self.account.spots.get(name)
