"""What the weather means for the birds of a day: heat, cold nights, frost at the brooder, wind on a pen.

PURE. Cautions come with what they are worked out from, so that a page can show it.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from flocks.brooding import safe_night_low_c
from flocks.heat import USUAL_AFTERNOON_PERCENT, HeatLevel, heat_on
from garden.units import TEMPERATURE, WIND_SPEED, System
from garden.weather_values import Weather
from garden.words import gettext as _

FROST_C = 2.0
"""Night air at which the ground may freeze and drinkers with it [°C]. Common practice, no source."""
NEAR_SHARE = 0.8
"""Share of the gust that moves a pen from which it is to be held down. Our choice."""
LIGHT_PEN_GUST_M_S = 11.0
"""Gust that lifts a light covered pen, where nobody knows its design [m/s]: 25 miles an hour. Derived from
published wind pressure and recalled coefficients; the low end."""


class Kind(StrEnum):
    """What is to be minded."""

    HEAT = "heat"
    NIGHT = "night"
    FROST = "frost"
    WIND = "wind"


@dataclass(frozen=True, slots=True, kw_only=True)
class Flock:
    """Birds of a batch on a day; `outdoors` says whether they live in pens."""

    name: str
    age_days: int
    outdoors: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PenInWind:
    """A pen with birds; the gust that moves it by its design, None without one. [m/s], [kg]"""

    name: str
    moves_at_m_s: float | None = None
    mass_kg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One thing to mind, with what to do and, for `garden.workings`, what it rests on."""

    kind: Kind
    is_danger: bool
    title: str
    words: str
    working: Mapping[str, str] = field(default_factory=dict)

    @property
    def why(self) -> str:
        """Return the name of its working."""
        return "night" if self.kind is Kind.FROST else self.kind.value


def cautions_of(
    today: Weather,
    tomorrow: Weather,
    flocks: Sequence[Flock],
    pens: Sequence[PenInWind],
    system: System = "metric",
) -> tuple[Caution, ...]:
    """Return what the day's weather asks, dangers first.

    Parameters
    ----------
    today, tomorrow : Weather
        A day's low is that of the night before it: tonight's is tomorrow's.
    flocks : sequence of Flock
        Those with birds.
    pens : sequence of PenInWind
        Pens with birds outdoors.
    system : {"metric", "us"}
        The units that figures are told in.
    """
    found = [
        *_heat(today, flocks, system),
        *_wind(today, pens, system),
        *_nights(tomorrow, flocks, system),
        *_frost(tomorrow, flocks, system),
    ]
    return tuple(sorted(found, key=lambda caution: not caution.is_danger))


def _heat(weather: Weather, flocks: Sequence[Flock], system: System) -> Iterator[Caution]:
    """Warn once, for the flock that bears least."""
    outdoors = [flock for flock in flocks if flock.outdoors]
    if weather.high_c is None or not outdoors:
        return
    humidity = weather.humidity_percent
    humid = USUAL_AFTERNOON_PERCENT if humidity is None else humidity
    flock = max(outdoors, key=lambda one: one.age_days)
    heat = heat_on(weather.high_c, humid, flock.age_days)
    if heat.level is HeatLevel.FINE:
        return
    is_danger = heat.level is HeatLevel.DANGER
    air = TEMPERATURE.show(weather.high_c, system)
    expected = (
        _("{air} is usual this month, and {batch} are {age} days old.")
        if weather.is_usual
        else _("Up to {air} today, and {batch} are {age} days old.")
    )
    advice = (
        _(
            "Shade all day, cool water twice, move and weigh before nine or not at all. Birds that pant with "
            "wings out: wet the ground beside them, and do not handle them."
        )
        if is_danger
        else _(
            "Shade over the hot hours, half as much water again, and do heavy work with them early."
        )
    )
    yield Caution(
        kind=Kind.HEAT,
        is_danger=is_danger,
        title=_("Danger of heat") if is_danger else _("Warm for the birds"),
        words=f"{expected.format(air=air, batch=flock.name, age=flock.age_days)} {advice}",
        working={
            "air": air,
            "humidity": (_("{n} % (taken)") if humidity is None else _("{n} %")).format(
                n=f"{humid:.0f}"
            ),
            "age": str(flock.age_days),
            "index": TEMPERATURE.show(heat.index_c, system),
            "limit": f"{TEMPERATURE.show(heat.limit_c, system)} ({heat.source})",
        },
    )


def _wind(weather: Weather, pens: Sequence[PenInWind], system: System) -> Iterator[Caution]:
    if weather.gust_m_s is None:
        return
    gust = WIND_SPEED.show(weather.gust_m_s, system)
    for pen in pens:
        moves_at = LIGHT_PEN_GUST_M_S if pen.moves_at_m_s is None else pen.moves_at_m_s
        if weather.gust_m_s < NEAR_SHARE * moves_at:
            continue
        is_danger = weather.gust_m_s >= moves_at
        limit = (
            _("{speed} (a light pen’s: it has no design here)")
            if pen.moves_at_m_s is None
            else "{speed}"
        )
        title = _("Wind may move {pen}") if is_danger else _("Wind near what {pen} stands")
        yield Caution(
            kind=Kind.WIND,
            is_danger=is_danger,
            title=title.format(pen=pen.name),
            words=_(
                "Gusts of {gust}. Stake it down at the corners or hang filled jugs there, close its windy "
                "side, and take off what flaps."
            ).format(gust=gust),
            working={
                "gust": gust,
                "moves": limit.format(speed=WIND_SPEED.show(moves_at, system)),
                "pen": pen.name,
                "weight": "" if pen.mass_kg is None else f"{pen.mass_kg:.0f} kg",
            },
        )


def _nights(tonight: Weather, flocks: Sequence[Flock], system: System) -> Iterator[Caution]:
    """Warn of a night too cold for birds that are out."""
    if tonight.low_c is None:
        return
    low = TEMPERATURE.show(tonight.low_c, system)
    for flock in flocks:
        if not flock.outdoors:
            continue
        least_c = safe_night_low_c(flock.age_days)
        if least_c is not None and tonight.low_c >= least_c:
            continue
        least = (
            _("none: too young to be out") if least_c is None else TEMPERATURE.show(least_c, system)
        )
        yield Caution(
            kind=Kind.NIGHT,
            is_danger=least_c is None or tonight.low_c <= FROST_C,
            title=_("Cold night for {batch}").format(batch=flock.name),
            words=_(
                "{night}, at {age} days. Dry bedding, the windy side closed, a lid over them; bring young ones "
                "in."
            ).format(night=_night(tonight, low), age=flock.age_days),
            working={"low": low, "age": str(flock.age_days), "least": least},
        )


def _night(tonight: Weather, low: str) -> str:
    said = (
        _("Nights of {low} are usual this month")
        if tonight.is_usual
        else _("Down to {low} tonight")
    )
    return said.format(low=low)


def _frost(tonight: Weather, flocks: Sequence[Flock], system: System) -> Iterator[Caution]:
    """Warn of frost while chicks need the brooder."""
    if tonight.low_c is None or tonight.low_c > FROST_C:
        return
    for flock in flocks:
        if flock.outdoors:
            continue
        low = TEMPERATURE.show(tonight.low_c, system)
        yield Caution(
            kind=Kind.FROST,
            is_danger=True,
            title=_("Frost while {batch} need the brooder").format(batch=flock.name),
            words=_(
                "{night}. Look at the heat last thing and first thing, have a second heater or hot bottles for "
                "a "
                "power cut, keep draughts out, and see that water has not frozen."
            ).format(night=_night(tonight, low)),
            working={"low": low, "age": str(flock.age_days)},
        )
