"""A place on the globe as people write it: copied from a map, or with degrees and minutes.

PURE. Degrees, north and east positive.
"""

import re

from garden.words import figure, mark
from garden.words import gettext as _

DECIMALS = 2
"""Kept of each coordinate: about a kilometre, enough for the sun and too little to find a door. Our choice."""
NOT_A_PLACE = mark("Give the latitude and the longitude, such as 52.21, 0.12 or 52°13′N 0°7′W.")
NOT_ON_THE_GLOBE = mark(
    "A latitude goes from 90 south to 90 north, a longitude from 180 west to 180 east."
)

_ONE = re.compile(
    r"(?P<before>[nsew])?\s*(?P<sign>[-−+])?\s*(?P<degrees>\d{1,3}(?:\.\d+)?)\s*(?:°|º|deg)?"
    r"(?:\s*(?P<minutes>\d{1,2}(?:\.\d+)?)\s*['′’])?(?:\s*(?P<seconds>\d{1,2}(?:\.\d+)?)\s*(?:\"|″|”|''))?"
    r"\s*(?P<after>[nsew])?"
)


def read_place(text: str) -> tuple[float, float]:
    """Return latitude and longitude, rounded to `DECIMALS`.

    Parameters
    ----------
    text : str
        ``52.2053, 0.1218`` as a map gives it, ``52°12′N 0°7′W``, or ``N 52.2 E 0.12``. Latitude first,
        or either first where both say their direction.

    Raises
    ------
    ValueError
        `NOT_A_PLACE` or `NOT_ON_THE_GLOBE`.
    """
    first, between, rest = _split(text.strip().lower())
    if not between and not rest:
        raise ValueError(_(NOT_A_PLACE))
    pair = [_degrees(first), _degrees(rest)]
    if pair[0][1] in ("e", "w") or pair[1][1] in ("n", "s"):
        pair.reverse()
    (latitude, north), (longitude, east) = pair
    if north not in ("", "n", "s") or east not in ("", "e", "w"):
        raise ValueError(_(NOT_A_PLACE))
    if abs(latitude) > 90 or abs(longitude) > 180:
        raise ValueError(_(NOT_ON_THE_GLOBE))
    return round(latitude, DECIMALS) + 0.0, round(longitude, DECIMALS) + 0.0


def _split(text: str) -> tuple[str, str, str]:
    """Cut a pair in two: at a semicolon or comma, after the first direction, or at the only space."""
    for between in (";", ","):
        if text.count(between) == 1:
            return text.partition(between)
    if text.count(",") == 3:  # decimal commas: 52,21, 0,12
        parts = text.split(",")
        return f"{parts[0]}.{parts[1].strip()}", ",", f"{parts[2]}.{parts[3].strip()}"
    if found := re.match(r"([^nsew]*[nsew])\s*(.+)|([nsew][^nsew]+)([nsew].+)", text):
        one, other = (found[3], found[4]) if found[3] else (found[1], found[2])
        if one.strip() not in "nsew":
            return one, " ", other
        again = re.match(r"([nsew][^nsew]+)([nsew].+)", text)
        return (again[1], " ", again[2]) if again else (text, "", "")
    return text.partition(" ")


def _degrees(text: str) -> tuple[float, str]:
    """Return one coordinate and the letter of its direction, empty where it has none."""
    text = text.strip()
    if re.fullmatch(r"[-−+]?\d{1,3},\d+", text):
        text = text.replace(",", ".")
    found = _ONE.fullmatch(text)
    if found is None or (found["before"] and found["after"]):
        raise ValueError(_(NOT_A_PLACE))
    letter = found["before"] or found["after"] or ""
    if (found["sign"] and letter) or float(found["minutes"] or 0) >= 60:
        raise ValueError(_(NOT_A_PLACE))
    degrees = float(found["degrees"]) + float(found["minutes"] or 0) / 60
    degrees += float(found["seconds"] or 0) / 3600
    negative = found["sign"] in ("-", "−") or letter in ("s", "w")
    return (-degrees if negative else degrees), letter


def place_words(latitude_deg: float, longitude_deg: float) -> str:
    """Write a place as ``52.21 N, 0.12 W``; `read_place` reads it back."""
    north = "N" if latitude_deg >= 0 else "S"
    east = "E" if longitude_deg >= 0 else "W"
    latitude, longitude = figure(abs(latitude_deg), 2), figure(abs(longitude_deg), 2)
    return (
        f"{latitude} {north}; {longitude} {east}"
        if "," in latitude
        else f"{latitude} {north}, {longitude} {east}"
    )
