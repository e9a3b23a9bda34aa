"""Sunrise and sunset in the garden, worked out here by a library: no outside service is asked.

PURE. Times are those of the garden's own clock. Near the poles a day may lack one of the two, or both.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from astral import Observer
from astral.sun import elevation, sunrise, sunset

from garden.words import gettext as _

HORIZON_DEG = -0.833
"""Height of the sun's middle as its upper edge appears or goes: 50 minutes of arc below the horizon, as
almanacs define it. From memory."""


@dataclass(frozen=True, slots=True)
class SunDay:
    """What the sun does on a day; None for a rising or a setting that the day lacks."""

    rises_at: datetime | None
    sets_at: datetime | None
    is_up_at_noon: bool

    @property
    def words(self) -> str:
        """Return it in words, such as ``Sunrise 05:02, sunset 21:56``."""
        if self.rises_at and self.sets_at:
            told = (
                _("Sunrise {rises}, sunset {sets}")
                if self.rises_at < self.sets_at
                else _("Sunset {sets}, sunrise {rises}")
            )
            return told.format(rises=f"{self.rises_at:%H:%M}", sets=f"{self.sets_at:%H:%M}")
        if self.rises_at:
            return _("Sunrise {rises}, and it does not set today").format(
                rises=f"{self.rises_at:%H:%M}"
            )
        if self.sets_at:
            return _("Sunset {sets}, and it does not rise today").format(
                sets=f"{self.sets_at:%H:%M}"
            )
        return (
            _("The sun does not set today")
            if self.is_up_at_noon
            else _("The sun does not rise today")
        )

    @property
    def dusk_at(self) -> datetime | None:
        """Return the sunset that ends the day; None where the sun sets after midnight or not at all."""
        is_night_short = self.rises_at and self.sets_at and self.sets_at < self.rises_at
        return None if is_night_short else self.sets_at

    @property
    def dusk(self) -> str:
        """Return when that is by the garden's clock, as pages write it; empty where there is none."""
        return f"{self.dusk_at:%H:%M}" if self.dusk_at else ""


def sun_day(latitude_deg: float, longitude_deg: float, on: date, time_zone: str) -> SunDay:
    """Return when the sun rises and sets.

    Parameters
    ----------
    latitude_deg, longitude_deg : float
        Of the garden, north and east positive. [°]
    on : date
        A day of the garden.
    time_zone : str
        Such as ``Europe/Dublin``.

    Returns
    -------
    SunDay
        Over a level horizon at sea level: hills and woods make the light shorter. By the library's
        equations, which near the polar circles are the less sure.
    """
    observer, zone = Observer(latitude_deg, longitude_deg), ZoneInfo(time_zone)
    noon = datetime.combine(on, time(12), zone)
    return SunDay(
        rises_at=_on_the_day(sunrise, observer, on, zone),
        sets_at=_on_the_day(sunset, observer, on, zone),
        is_up_at_noon=elevation(observer, noon, with_refraction=False) > HORIZON_DEG,
    )


def _on_the_day(
    event: Callable[..., datetime], observer: Observer, on: date, zone: ZoneInfo
) -> datetime | None:
    try:
        at = event(observer, on, tzinfo=zone)
    except ValueError:
        return None
    return at if at.date() == on else None
