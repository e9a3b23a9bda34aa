"""How hot broilers feel it: an index of heat and damp, and from where on it tells on them.

PURE. The index is the one fitted to market-size broilers [1]_, without its term for moving air, because
nobody knows the breeze at a bird's height behind a bed's wall: in still air it is worse than told, in a
draught better.

References
----------
.. [1] Tao, X. and Xin, H. (2003), Acute synergistic effects of air temperature, humidity, and velocity on
   homeostasis of market-size broilers, Transactions of the ASAE 46(2):
   THVI = (0.85 t_db + 0.15 t_wb) V^-0.058.
.. [2] Purswell, J. L. et al. (2012), Effect of temperature-humidity index on live performance in broiler
   chickens grown from 49 to 63 days of age, ASABE paper ILES12-0265: above about 21 °C of the index
   broilers of 49 to 63 days grew worse and their bodies warmed by up to 1.7 °C.
.. [3] Stull, R. (2011), Wet-bulb temperature from relative humidity and air temperature, Journal of Applied
   Meteorology and Climatology 50, 2267: for 5 to 99 % and -20 to 50 °C, within -1 to 0.65 °C.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import atan, sqrt

from garden.words import gettext as _
from garden.words import local_mark

DRY_SHARE, WET_SHARE = 0.85, 0.15
"""Published: [1]_."""

HEAVY_FROM_DAYS = 49
HEAVY_LIMIT_C = 21.0
"""Index above which heavy broilers grow worse. Published: [2]_."""

UPPER_AIR_C = ((0, 35.0), (8, 31.0), (15, 29.0), (22, 27.0), (29, 26.0), (36, 25.0))
"""First age [day] and the warmest air at 65 % that birds bear without strain [°C]. From memory, low."""
UPPER_HUMIDITY_PERCENT = 65.0

DANGER_C = 30.0
"""Index from which we speak of danger. Our choice, between the 21 of [2]_ and the 33 of the mildest air in
which [1]_ measured how bodies heat up within 90 minutes (35 °C, dew point 19.4 °C)."""

USUAL_AFTERNOON_PERCENT = 50.0
"""Humidity on a hot afternoon where nobody gave one. Our choice."""


class HeatLevel(StrEnum):
    """What an index means for birds of an age."""

    FINE = "fine"
    STRAIN = "strain"
    DANGER = "danger"


@dataclass(frozen=True, slots=True)
class Heat:
    """The index of a day for birds of an age, and the limit that it is held against. [°C]"""

    index_c: float
    limit_c: float
    wet_bulb_c: float
    level: HeatLevel
    source: str


def wet_bulb_c(air_c: float, humidity_percent: float) -> float:
    """Return the wet-bulb temperature at sea level. [°C]

    Parameters
    ----------
    air_c : float
        Air temperature, -20 to 50. [°C]
    humidity_percent : float
        Relative humidity; taken as 5 to 99, where the fit holds. [%]

    Notes
    -----
    Stull's fit [3]_.
    """
    humid = min(max(humidity_percent, 5.0), 99.0)
    return (
        air_c * atan(0.151977 * sqrt(humid + 8.313659))
        + atan(air_c + humid)
        - atan(humid - 1.676331)
        + 0.00391838 * humid**1.5 * atan(0.023101 * humid)
        - 4.686035
    )


def heat_index_c(air_c: float, humidity_percent: float) -> float:
    """Return the index of heat and damp, 0.85 of the air and 0.15 of the wet bulb [1]_. [°C]"""
    return DRY_SHARE * air_c + WET_SHARE * wet_bulb_c(air_c, humidity_percent)


def heat_on(air_c: float, humidity_percent: float, age_days: int) -> Heat:
    """Hold a day's warmest air against what birds of an age bear.

    Parameters
    ----------
    air_c, humidity_percent : float
        Of the warmest hour, in the shade. [°C], [%]
    age_days : int
        Of the birds, at least 0. [day]
    """
    index_c = heat_index_c(air_c, humidity_percent)
    limit_c, source = _limit(age_days)
    level = HeatLevel.STRAIN if index_c > limit_c else HeatLevel.FINE
    if index_c >= max(DANGER_C, limit_c):
        level = HeatLevel.DANGER
    return Heat(index_c, limit_c, wet_bulb_c(air_c, humidity_percent), level, source)


def _limit(age_days: int) -> tuple[float, str]:
    if age_days >= HEAVY_FROM_DAYS:
        return HEAVY_LIMIT_C, _("Purswell and others 2012, broilers of 49 to 63 days")
    upper_c = next(air_c for from_day, air_c in reversed(UPPER_AIR_C) if from_day <= age_days)
    limit_c = heat_index_c(upper_c, UPPER_HUMIDITY_PERCENT)
    told = _("from memory, low: at this age {degrees} °C of damp air is the most")
    return limit_c, told.format(degrees=local_mark(f"{upper_c:g}"))
