"""Brooding: how warm, how much floor, and when chicks may move to the garden.

PURE. A guide for the day's suggestion; how the chicks behave beats every table.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from garden.words import mark

PEN_STATE = mark("Clauer, Penn State and Virginia Tech, space should increase as birds grow")

SQUARE_FOOT_M2 = 0.0929
INCH = 25.4


@dataclass(frozen=True)
class BrooderWeek:
    """What a chick needs from an age on, until the next row."""

    from_day: int
    """First age it holds for [day]."""
    low_c: float
    high_c: float
    """Air temperature at the chicks' height [°C]."""
    floor_m2: float
    """Floor for each bird [m2]."""
    feeder_mm: float
    """Edge of a feeder for each bird; a trough open on both sides counts twice [mm]."""
    drinker_mm: float
    """Edge of a drinker for each bird [mm]."""
    source: str


BROODER_WEEKS = (
    BrooderWeek(0, 33.0, 35.0, 0.25 * SQUARE_FOOT_M2, 1.0 * INCH, 0.5 * INCH, PEN_STATE),
    BrooderWeek(7, 29.0, 32.0, 0.50 * SQUARE_FOOT_M2, 1.5 * INCH, 0.5 * INCH, PEN_STATE),
    BrooderWeek(21, 27.0, 29.0, 0.75 * SQUARE_FOOT_M2, 2.0 * INCH, 0.5 * INCH, PEN_STATE),
    BrooderWeek(35, 21.0, 27.0, 1.00 * SQUARE_FOOT_M2, 2.0 * INCH, 0.75 * INCH, PEN_STATE),
)
"""Temperature, floor, feeder and drinker by age. Published."""

ROOM_SOURCE = mark("a breeder's guide, chart of house temperature by age")
ROOM_CURVE = ((0, 34.0), (7, 31.0), (14, 27.0), (21, 24.0), (28, 21.0), (35, 19.0), (42, 18.0))
"""Age [day] and temperature of a room that is warm all over [°C]. Published; between them a straight line."""

CHICKS_A_LAMP = 50
"""Chicks under one lamp of 250 W [birds]. Published: 50 to 75; the careful end."""
LAMP_KW = 0.25


@dataclass(frozen=True)
class SafeNight:
    """The coldest night that a bird of some age stands outdoors, dry and out of the wind."""

    from_day: int
    """First age it holds for [day]."""
    low_c: float
    """Night low [°C]."""
    source: str


SAFE_NIGHTS = (
    SafeNight(21, 20.0, mark("from memory, low: 65-70 °F at three weeks")),
    SafeNight(28, 15.5, mark("from memory, low: 60 °F at four weeks")),
    SafeNight(35, 10.0, mark("from memory, low: 50 °F at five weeks")),
    SafeNight(
        42,
        7.0,
        mark("forum of growers, 45 °F before moving; from memory, low: 40-45 °F at six weeks"),
    ),
)
"""Suggestions only, to be changed by the grower: published pages disagree from 20 days to 6
weeks."""

ORDER_DAYS = 28
"""How long before the hatch day chicks are ordered [day]. Common practice, no source: hatcheries sell out
weeks ahead in spring."""

ACCLIMATION_DAYS = 5
"""Days shut in the pen before it moves daily [day]. University of Maine pasture poultry trial."""


@dataclass(frozen=True)
class LeavingAdvice:
    """Whether chicks of an age may leave the brooder for nights as cold as given."""

    may_leave: bool
    reason: str
    source: str


def brooder_needs(age_days: float) -> BrooderWeek:
    """Return the row for an age [day]; the last one holds from five weeks on.

    Raises
    ------
    ValueError
        For an age below 0.
    """
    if age_days < 0:
        raise ValueError("age must be at least 0 days")
    return next(row for row in reversed(BROODER_WEEKS) if row.from_day <= age_days)


def room_c(age_days: float) -> float:
    """Return the temperature of a room that is warm all over [°C]; the last figure holds from six weeks on.

    Raises
    ------
    ValueError
        For an age below 0.
    """
    if age_days < 0:
        raise ValueError("age must be at least 0 days")
    for (age, warm_c), (later, cool_c) in pairwise(ROOM_CURVE):
        if age_days <= later:
            return warm_c + (cool_c - warm_c) * (age_days - age) / (later - age)
    return ROOM_CURVE[-1][1]


def lamps(chicks: int) -> int:
    """Return the lamps that so many chicks need."""
    return max(1, ceil(chicks / CHICKS_A_LAMP))


def lamp_kwh(chicks: int, days: int) -> float:
    """Return what the lamps use when they burn day and night [kWh]: the most that they can."""
    return lamps(chicks) * LAMP_KW * 24 * max(0, days)


def first_mild_age(night_lows_c: Sequence[float | None]) -> int | None:
    """Return the first age at which the nights to come are mild enough for the birds [day].

    Parameters
    ----------
    night_lows_c : sequence of float or None
        By age: coldest of the night expected, None where nobody knows.

    Returns
    -------
    int or None
        An age of at least three weeks from which `ACCLIMATION_DAYS` nights are all known and none is
        colder than the birds of that age should meet.
    """
    for age in range(SAFE_NIGHTS[0].from_day, len(night_lows_c) - ACCLIMATION_DAYS + 1):
        nights = night_lows_c[age : age + ACCLIMATION_DAYS]
        if None not in nights and leaving_advice(age, min(nights)).may_leave:
            return age
    return None


def safe_night_low_c(age_days: float) -> float | None:
    """Return the coldest night low that a bird of that age should meet outdoors [°C].

    None before three weeks, when its plumage does not keep it warm.
    """
    night = _safe_night(age_days)
    return None if night is None else night.low_c


def leaving_advice(age_days: float, night_low_c: float) -> LeavingAdvice:
    """Return the suggestion about leaving the brooder.

    Parameters
    ----------
    age_days : float
        Age of the chicks, at least 0 [day].
    night_low_c : float
        Lowest night temperature expected in the next five days or so [°C].
    """
    night = _safe_night(age_days)
    if night is None:
        first = SAFE_NIGHTS[0]
        return LeavingAdvice(
            False,
            f"too young: plumage keeps them warm from about {first.from_day} days",
            first.source,
        )
    if night_low_c >= night.low_c:
        reason = f"nights stay above {night.low_c:g} °C; dry bedding, out of the wind"
        return LeavingAdvice(True, reason, night.source)
    reason = (
        f"nights go to {night_low_c:g} °C; at this age {night.low_c:g} °C is the suggested least"
    )
    return LeavingAdvice(False, reason, night.source)


def _safe_night(age_days: float) -> SafeNight | None:
    return next((row for row in reversed(SAFE_NIGHTS) if row.from_day <= age_days), None)
