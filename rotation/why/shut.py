"""Why a pen stands off the beds: for every place of every bed, what shuts it on those days.

The reasons come from the beds' own facts and the rest of the plan as it is, and are looked for in the order of
`Kind`: a place that is planted and resting is told as planted.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from garden.harvest_interval import shut_reasons
from garden.models import Bed
from garden.words import gettext as _
from pens.fit import fit_pen
from rotation.carrying import place_in_words
from rotation.facts import GardenFacts, PenRun
from rotation.models import PlannedStay
from rotation.problems import NOW
from rotation.stretches import Stretch
from rotation.why.account import Account, account_of
from rotation.why.place import PlaceReasons
from rotation.why.shut_words import Kind, Reason, Wording


@dataclass(frozen=True)
class ShutPlace:
    """One sentence: what shuts a place, or several places of one bed alike, on a span of days."""

    kind: Kind
    bed: Bed
    place: str
    """Which of the bed's places; empty where it means the whole bed."""
    places: int
    """How many places of the bed it speaks of; 0 for a bed too small to have one."""
    first_day: date
    end_day: date
    words: str


@dataclass(frozen=True)
class ShutGroup:
    """All that one kind of reason shuts."""

    kind: Kind
    places: tuple[ShutPlace, ...]

    @property
    def count(self) -> int:
        """How many places it shuts on one day at least, or beds where they are too small."""
        return sum(max(1, place.places) for place in self._first_of_each())

    def _first_of_each(self) -> Iterator[ShutPlace]:
        seen = set()
        for place in self.places:
            if (place.bed.pk, place.place) not in seen:
                seen.add((place.bed.pk, place.place))
                yield place


def shut_groups(places: Iterable[ShutPlace]) -> list[ShutGroup]:
    """Return what shuts places by its kind, what shuts most first; beds too small come last."""
    by_kind: dict[Kind, list[ShutPlace]] = {}
    for place in places:
        by_kind.setdefault(place.kind, []).append(place)
    groups = [ShutGroup(kind, tuple(found)) for kind, found in by_kind.items()]
    return sorted(groups, key=lambda group: (group.kind is Kind.TOO_SMALL, -group.count))


def shut_places(
    facts: GardenFacts,
    stays: Sequence[PlannedStay],
    run: PenRun,
    first_day: date,
    end_day: date,
    *,
    only: Stretch | None = None,
) -> list[ShutPlace]:
    """Return what shuts every place of every bed to a pen on days ``[first_day, end_day)``.

    Parameters
    ----------
    stays : sequence of PlannedStay
        The whole plan, with `pen` loaded.
    run : PenRun
        The pen with its birds, off the beds on these days.
    only : Stretch, optional
        The one place asked about; every place otherwise.
    """
    gap = _Gap(facts, account_of(facts, stays, run), first_day, end_day)
    bed_ids = [only.bed_id] if only else facts.beds
    return [place for bed_id in bed_ids for place in gap.shut_on(bed_id, only)]


@dataclass(frozen=True)
class _Gap:
    """One pen's days off the beds."""

    facts: GardenFacts
    account: Account
    first_day: date
    end_day: date

    @property
    def wording(self) -> Wording:
        return Wording(self.facts.on, self.facts.garden.unit_system)

    @property
    def days(self) -> list[date]:
        return [
            self.first_day + timedelta(days=day)
            for day in range((self.end_day - self.first_day).days)
        ]

    def shut_on(self, bed_id: int, only: Stretch | None = None) -> Iterator[ShutPlace]:
        """Yield what shuts a bed's places, those alike in one sentence."""
        bed = self.facts.beds[bed_id].bed
        stretches = self.account.part.stretches
        places = [
            place
            for name, place in stretches.items()
            if place.bed_id == bed_id and not name.endswith(NOW)
        ]
        if not places:
            yield self._too_small(bed)
            return
        by_bed = {day: self._bed_reason(bed_id, day) for day in self.days}
        told: dict[tuple[tuple[date, date, Reason], ...], list[Stretch]] = {}
        for place in places:
            if only is not None and place.id != only.id:
                continue
            told.setdefault(tuple(self._spans(place, by_bed)), []).append(place)
        for spans, alike in told.items():
            name = _name_of(alike, places, lies_across=bed.lies_across)
            for first_day, end_day, reason in spans:
                words = (
                    self.wording.drop(reason.words, reason.nitrogen_g)
                    if reason.nitrogen_g
                    else reason.words
                )
                yield ShutPlace(reason.kind, bed, name, len(alike), first_day, end_day, words)

    def _too_small(self, bed: Bed) -> ShutPlace:
        pen, clearance_mm = self.account.run.pen, self.facts.garden.clearance_mm
        fit = fit_pen(
            bed.length_mm, bed.width_mm, pen.length_mm, pen.width_mm, clearance_mm, bed.kind
        )
        reason = self.wording.too_small(fit)
        return ShutPlace(reason.kind, bed, "", 0, self.first_day, self.end_day, reason.words)

    def _bed_reason(self, bed_id: int, day: date) -> Reason | None:
        """Return what shuts a whole bed on a day."""
        garden, known = self.facts.garden, self.facts.beds[bed_id]
        for closed in known.closures:
            if closed.first_day <= day < closed.end_day:
                return self.wording.closed(closed.end_day, closed.why)
        by_crop = shut_reasons(known.plantings, day, garden.bird_day_rule())
        return self.wording.planted(by_crop, garden.harvest_rule()) if by_crop else None

    def _spans(
        self, place: Stretch, by_bed: Mapping[date, Reason | None]
    ) -> Iterator[tuple[date, date, Reason]]:
        """Yield days that one reason shuts, joined; of what birds drop the least is told."""
        judge = PlaceReasons(self.facts, self.account, place, self.first_day, self.wording)
        reasons = {day: by_bed[day] or judge.reason(day) for day in self.days}
        open_days = [day for day, reason in reasons.items() if reason is None]
        for day in open_days:
            reasons[day] = judge.open_reason(day, open_days)
        for _why, group in groupby(reasons.items(), key=lambda item: (item[1].kind, item[1].words)):
            spell = list(group)
            least = min((reason for _, reason in spell), key=lambda reason: reason.nitrogen_g)
            yield spell[0][0], spell[-1][0] + timedelta(days=1), least


def _name_of(alike: Sequence[Stretch], places: Sequence[Stretch], *, lies_across: bool) -> str:
    """Return which of a bed's places are meant; nothing where all of them are."""
    if len(alike) == len(places):
        return ""
    if len(alike) == 1:
        offsets = [place.offset_mm for place in places]
        return place_in_words(alike[0].offset_mm, offsets, lies_across=lies_across)
    *first, last = (str(places.index(place) + 1) for place in alike)
    said = (
        _("places {first} and {last} of {of} from the west end")
        if lies_across
        else _("places {first} and {last} of {of} from the north end")
    )
    return said.format(first=", ".join(first), last=last, of=len(places))
