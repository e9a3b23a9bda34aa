"""The plan of a processing day: hours, stations, feed withdrawal, crates, ice, bags and freezer.

PURE. ::

    plan_day(DayInputs(...)) -> DayPlan

Times are minutes after midnight of the day; below 0 is the evening before.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from flocks.carcass import GIBLET_SHARE, OFFAL_SHARE, MassBand, carcass_band, share_band
from flocks.chilling import ChillBath, IceNeed, hours_to_cold, ice_needed
from garden.words import gettext as _

BIRDS_PER_PERSON_HOUR = {"novice": 2.5, "plucker": 6.5, "practised": 12.0}
"""Birds finished in an hour for each person [1/h]: 2-3 plucked by hand, 5-8 with a plucker, 10-15 practised;
from memory. One crew's published first day, 130 birds in 7 h, lies between the first two."""
TIRED_AFTER_BIRDS = 20
"""Birds after which first-timers tire [1]. Published (a farm's account of its own first days)."""
LONG_DAY_HOURS = 6.0
"""Hours of killing and drawing after which a day is better split [h]. A choice."""
WITHDRAWAL_HOURS = (8, 12)
"""Least and most time without feed, water left [h]. Published: Wabeck 1972, Poultry Science 51:1119, found 8-10
best; Directive 2007/43/EC, Annex I, allows at most 12."""
SET_UP_MIN, CLEAN_UP_MIN = 60, 60
"""Time to heat the water and lay out, and to clean away [min]. A choice."""
FIRST_BIRD_MIN = {"novice": 40, "plucker": 20, "practised": 15}
"""From the first bird caught to its carcass in the ice [min]. A choice."""
CRATE_CM2_PER_KG = 160.0
"""Floor of a crate for each kilogram of bird of 1.6 to 3 kg [cm²/kg]: Regulation (EC) 1/2005, from memory."""
FREEZER_KG_PER_L = (0.32, 0.40)
"""Whole bagged birds in a freezer [kg/L]: 20-25 lb a cubic foot, from memory; up to 35 lb for square packs is
published."""
FREEZE_KG_PER_L_DAY = (0.032, 0.048)
"""What a freezer takes new in a day for each litre it holds [kg/(L d)]: 2-3 lb a cubic foot, University of
Minnesota Extension 2017. Published."""
TOLD_TO_MIN = 5
"""To what the times of a plan are rounded [min]: hands do not work to the minute. A choice."""
SPARE_BAGS = 0.10
"""Bags and labels over the count [1]. A choice."""


@dataclass(frozen=True)
class DayInputs:
    """What the plan starts from."""

    birds: int
    live_g: MassBand
    """Mean live mass before feed withdrawal [g]."""
    people: int
    pace: str
    """Key of `BIRDS_PER_PERSON_HOUR`."""
    start_min: int
    """First bird, minutes after midnight."""
    water_c: float = 15.0
    water_l_per_kg: float = 2.0
    crate_m2: float = 0.5
    freezer_l: float = 200.0

    def __post_init__(self) -> None:
        """Refuse what cannot be planned."""
        if self.birds < 1 or self.people < 1 or self.pace not in BIRDS_PER_PERSON_HOUR:
            raise ValueError("a day takes at least one bird, one person and a known pace")


@dataclass(frozen=True)
class Step:
    """One stretch of the day at one station."""

    name: str
    from_min: int
    to_min: int
    detail: str = ""
    is_work: bool = True
    """Whether hands are busy; waiting and chilling are not."""


@dataclass(frozen=True)
class Withdrawal:
    """When the feed goes."""

    off_min: int
    """Time for the birds of a group."""
    first_bird: int
    last_bird: int
    """Birds of the group, counted from 1."""


@dataclass(frozen=True)
class DayPlan:
    """A day worked out."""

    inputs: DayInputs
    hours: float
    """From the first bird to the last in the ice [h]."""
    steps: tuple[Step, ...]
    withdrawals: tuple[Withdrawal, ...]
    carcass_g: MassBand
    """One carcass."""
    dressed_kg: MassBand
    ice: IceNeed
    cold_hours: float
    cold_by_min: int
    """The last carcass is cold by then, as guidance goes."""
    crates: int
    birds_per_crate: int
    bags: int
    giblets_kg: tuple[float, float]
    offal_kg: tuple[float, float]
    freezer_l: tuple[float, float]
    freezing_days: int

    @property
    def is_long(self) -> bool:
        """Whether the day is better split over two dates."""
        novice = self.inputs.pace == "novice"
        return self.hours > LONG_DAY_HOURS or (novice and self.inputs.birds > TIRED_AFTER_BIRDS)

    @property
    def birds_of_a_day(self) -> int:
        """Return how many birds the same hands finish in a day that is not too long."""
        rate = BIRDS_PER_PERSON_HOUR[self.inputs.pace] * self.inputs.people
        birds = max(1, int(LONG_DAY_HOURS * rate))
        return min(birds, TIRED_AFTER_BIRDS) if self.inputs.pace == "novice" else birds


def plan_day(inputs: DayInputs) -> DayPlan:
    """Return the plan of a processing day.

    Parameters
    ----------
    inputs : DayInputs
        Birds, hands and conditions.

    Notes
    -----
    Birds come into the ice one after the other at ``people x rate``, the first after `FIRST_BIRD_MIN`.
    Feed goes between 12 h before the last bird and 8 h before the first; where the killing takes longer than
    the 4 h between, the birds are told in groups.
    """
    carcass = carcass_band(inputs.live_g)
    dressed = MassBand(carcass.low / 1000, carcass.median / 1000, carcass.high / 1000)
    dressed = dressed.times(inputs.birds)
    minutes = 60 * inputs.birds / (BIRDS_PER_PERSON_HOUR[inputs.pace] * inputs.people)
    work_min = TOLD_TO_MIN * math.ceil((FIRST_BIRD_MIN[inputs.pace] + minutes) / TOLD_TO_MIN)
    end_min = inputs.start_min + work_min
    cold_hours = hours_to_cold(carcass.high)
    live_kg = inputs.birds * inputs.live_g.median / 1000
    per_crate = max(1, int(inputs.crate_m2 * 1e7 / (CRATE_CM2_PER_KG * inputs.live_g.median)))
    low_l, high_l = FREEZER_KG_PER_L
    return DayPlan(
        inputs=inputs,
        hours=(end_min - inputs.start_min) / 60,
        steps=_steps(inputs, end_min, cold_hours),
        withdrawals=_withdrawals(inputs, end_min),
        carcass_g=carcass,
        dressed_kg=dressed,
        ice=ice_needed(
            ChillBath(dressed.high, dressed.high * inputs.water_l_per_kg, inputs.water_c)
        ),
        cold_hours=cold_hours,
        cold_by_min=end_min + round(60 * cold_hours),
        crates=-(-inputs.birds // per_crate),
        birds_per_crate=per_crate,
        bags=math.ceil(inputs.birds * (1 + SPARE_BAGS)),
        giblets_kg=share_band(live_kg, GIBLET_SHARE),
        offal_kg=share_band(live_kg, OFFAL_SHARE),
        freezer_l=(dressed.median / high_l, dressed.median / low_l),
        freezing_days=max(
            1, math.ceil(dressed.median / (inputs.freezer_l * FREEZE_KG_PER_L_DAY[0]) - 1e-9)
        ),
    )


def _steps(inputs: DayInputs, end_min: int, cold_hours: float) -> tuple[Step, ...]:
    start, first = inputs.start_min, FIRST_BIRD_MIN[inputs.pace]
    share = TOLD_TO_MIN * max(1, first // (4 * TOLD_TO_MIN))
    last = end_min - first
    return (
        Step(
            _("Set up"),
            start - SET_UP_MIN,
            start,
            _("Water to 63-66 °C (145-150 °F), tubs, ice, knives, aprons"),
        ),
        Step(
            _("Catch and crate"), start - 30, last, _("In the dark or at dusk they are calm"), False
        ),
        Step(
            _("Kill and bleed"), start, last + share, _("One at a time, out of sight of the others")
        ),
        Step(
            _("Scald and pluck"),
            start + share,
            last + 2 * share,
            _("30-75 s, until a wing feather comes"),
        ),
        Step(_("Draw"), start + 2 * share, end_min, _("A clean table apart from the plucking")),
        Step(
            _("Into the ice"), start + first, end_min, _("Top up before it has all melted"), False
        ),
        Step(_("Clean up"), end_min, end_min + CLEAN_UP_MIN, _("Tables, knives, tubs, ground")),
        Step(
            _("Chill to 4 °C (40 °F)"),
            end_min,
            end_min + round(60 * cold_hours),
            _("Thermometer in the thickest breast of the largest bird"),
            False,
        ),
    )


def _withdrawals(inputs: DayInputs, end_min: int) -> tuple[Withdrawal, ...]:
    least, most = (60 * hours for hours in WITHDRAWAL_HOURS)
    killing = end_min - inputs.start_min
    groups = max(1, math.ceil(killing / (most - least)))
    found, first_bird = [], 1
    for number in range(1, groups + 1):
        last_bird = inputs.birds * number // groups
        if last_bird < first_bird:
            continue
        # The middle of what both ends allow: 8 h before the group's first bird, 12 h before its last.
        starts = inputs.start_min + killing * (number - 1) // groups
        ends = inputs.start_min + killing * number // groups
        off_min = TOLD_TO_MIN * round(((starts - least) + (ends - most)) / (2 * TOLD_TO_MIN))
        found.append(Withdrawal(off_min, first_bird, last_bird))
        first_bird = last_bird + 1
    return tuple(found)


def clock(minutes: int) -> str:
    """Write minutes after midnight as a time; another day is the caller's to say."""
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"
