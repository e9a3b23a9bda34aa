"""Changes of the garden that may save days off the beds: a shorter rest, one more bed, a crop cleared."""

from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import count

from garden.models import Bed, Planting
from garden.words import gettext as _
from rotation.change_kinds import Cleared, MoreBed, Rule
from rotation.cures import LONGEST_STRIP_MM, STRIP_STEP_MM, STRIP_WIDTH_MM
from rotation.facts import GardenFacts
from rotation.ground import stretches
from rotation.why.cure_lines import Line, OffDays, Size

MOST_PLANTINGS = 8
"""Crops that are tried to be cleared earlier: those of the beds with most places. Our choice."""
MORE_BED_SHARE = 0.6
"""How large a change one more bed is taken to be. Our choice."""


def garden_lines(facts: GardenFacts, off: OffDays) -> Iterator[Line]:
    """Yield the changes of rules, beds and crops."""
    yield _shorter_rest(facts)
    yield from _bed_like_the_others(facts, off)
    yield _grass_strip(facts, off)
    yield from _cleared(facts, off)


def _shorter_rest(facts: GardenFacts) -> Line:
    rest_days = facts.garden.rest_days

    def size(number: int) -> Size:
        change = Rule(name="rest_days", value=rest_days - 1 - number)
        return Size(change, (number + 1) / rest_days)

    return Line("rest", rest_days, size)


def _bed_like_the_others(facts: GardenFacts, off: OffDays) -> Iterator[Line]:
    """Yield one more bed of the size that the garden has most of, if a pen that lacks beds fits it."""
    beds = [known.bed for known in facts.beds.values() if known.bed.grows_crops]
    pens = {stay.pen.pk: stay.pen for stay in off.stays}.values()
    fitting = [bed for bed in beds if any(stretches(bed, pen, facts.garden) for pen in pens)]
    sizes = Counter((bed.kind, bed.length_mm, bed.width_mm) for bed in fitting)
    for (kind, length_mm, width_mm), _rest in sizes.most_common(1):
        size = Size(_more_bed(facts, kind, length_mm, width_mm), MORE_BED_SHARE)
        yield Line.single("bed", size)


def _grass_strip(facts: GardenFacts, off: OffDays) -> Line:
    width_mm = max([STRIP_WIDTH_MM, *(stay.pen.width_mm for stay in off.stays)])
    steps = int(LONGEST_STRIP_MM // STRIP_STEP_MM)
    shortest = int(width_mm // STRIP_STEP_MM) + 1

    def size(number: int) -> Size:
        length_mm = (shortest + number) * STRIP_STEP_MM
        return Size(_more_bed(facts, Bed.Kind.TURF, length_mm, width_mm), (number + 1) / steps)

    return Line("strip", steps - shortest + 1, size)


def _more_bed(facts: GardenFacts, kind: str, length_mm: float, width_mm: float) -> MoreBed:
    taken = {known.bed.name.lower() for known in facts.beds.values()}
    noun = _("Grass strip") if kind == Bed.Kind.TURF else _("New bed")
    names = (f"{noun} {number}" for number in count(1))
    name = next(name for name in names if name.lower() not in taken)
    return MoreBed(kind_of_bed=str(kind), length_mm=length_mm, width_mm=width_mm, name=name)


def _cleared(facts: GardenFacts, off: OffDays) -> Iterator[Line]:
    """Yield the crops that stand on days off the beds and could be cleared before, once picked."""
    pens = {stay.pen.pk: stay.pen for stay in off.stays}.values()
    standing = [
        planting
        for planting in Planting.objects.of(facts.garden)
        .reaching(off.first_day + timedelta(days=1))
        .select_related("crop", "bed")
        if planting.bed_id in facts.beds and _soonest(planting, facts.on) <= off.last_day
    ]

    def most_places(planting: Planting) -> int:
        return -sum(len(stretches(planting.bed, pen, facts.garden)) for pen in pens)

    for planting in sorted(standing, key=most_places)[:MOST_PLANTINGS]:
        yield _clear_line(planting, facts.on, off.last_day)


def _soonest(planting: Planting, on: date) -> date:
    """Return the first day on which a crop can be cleared without losing all of its harvest."""
    return max(on, planting.first_harvest_on + timedelta(days=1))


def _clear_line(planting: Planting, on: date, last_off_day: date) -> Line:
    latest = min(planting.ends_on - timedelta(days=1), last_off_day)
    sizes = (latest - _soonest(planting, on)).days + 1

    def size(number: int) -> Size:
        change = Cleared(planting=planting.pk, on=latest - timedelta(days=number))
        return Size(change, (number + 1) / max(sizes, 1))

    return Line(f"clear-{planting.pk}", sizes, size)
