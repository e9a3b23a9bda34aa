"""Figures as growers write them: 44 1/4", 3' 8¼", 4 ft 2 in, 1,5 kg.

PURE. The grammar of numbers and how they are rounded for a reader; what the units mean is told by
`garden.unit_sizes`, and which of them a quantity takes by `garden.units`.
"""

import re
from collections.abc import Iterator
from fractions import Fraction
from math import floor

from garden.words import decimal_mark, figure, local_mark
from garden.words import gettext as _

_FRACTIONS = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_LOOKALIKES = str.maketrans(
    {"′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "²": "2", "−": "-", "º": "°"}
    | {character: f" {fraction} " for character, fraction in _FRACTIONS.items()}
)
_PART = re.compile(
    r"""\s*
    (?: (?: (?P<whole>\d{1,9}) [\s-]+ )? (?P<over>\d{1,3}) \s*/\s* (?P<under>\d{1,3})  # 44 1/4
      | (?P<decimal> \d{1,9} (?:[.,]\d{1,9})? | [.,]\d{1,9} ) )                        # 44.25
    \s* (?P<unit> WORD (?:\s+ WORD)* )? \s*
    """.replace("WORD", r"(?: [^\d\s.,+-]* [a-z] 2 (?![\da-z]) | [^\d\s.,+-]+ ) \.?"),
    re.VERBOSE,
)
_ON_A_THOUSAND = re.compile(
    r"\s*(?:/|per|on)\s*1[, ]?000\s*(?:sq\.? ?ft|ft2|sq\.? feet|square f(?:ee|oo)t)\.?(?![a-z])"
)
"""The one unit with a number in it: pounds on 1,000 sq ft."""
_THOUSANDS = {
    mark: re.compile(rf"(?<![\d.,])([1-9]\d{{0,2}})[{mark}](\d{{3}})(?![\d.,])") for mark in ".,"
}
"""What could be thousands, by the mark that stands in it."""


def figures(text: str) -> tuple[bool, list[tuple[Fraction, str | None]]]:
    """Split what was typed into its sign and its numbers, each with its unit as spelt.

    Parameters
    ----------
    text : str
        Such as ``4 ft 2 1/2 in``. A decimal comma is read as a point.

    Returns
    -------
    negative : bool
        Whether a minus stands in front of it all.
    numbers : list of (Fraction, str or None)
        At least one number, with its unit in lower case, or None where none was written.

    Raises
    ------
    ValueError
        If it is no such text (the message is empty: the caller knows what was asked for), or if the mark
        that is not the reader's decimal one could mean thousands as well (the message says so).
    """
    typed = _ON_A_THOUSAND.sub("/k sq ft", text.translate(_LOOKALIKES).strip().lower())
    own = decimal_mark()
    if found := _THOUSANDS["," if own == "." else "."].search(typed):
        whole, rest = found.groups()
        message = _(
            "{typed} could mean {as_thousands} or {as_parts}: write only the mark of the decimals."
        )
        raise ValueError(
            message.format(typed=found[0], as_thousands=whole + rest, as_parts=whole + own + rest)
        )
    negative = typed.startswith("-")
    numbers = list(_numbers(typed[negative:]))
    if not numbers:
        raise ValueError
    return negative, numbers


def _numbers(typed: str) -> Iterator[tuple[Fraction, str | None]]:
    position = 0
    while position < len(typed):
        found = _PART.match(typed, position)
        if found is None:
            raise ValueError
        yield _number(found), _spelling(found["unit"])
        position = found.end()


def _number(found: re.Match[str]) -> Fraction:
    if found["decimal"]:
        return Fraction(found["decimal"].replace(",", "."))
    if int(found["under"]) == 0:
        raise ValueError
    return int(found["whole"] or 0) + Fraction(int(found["over"]), int(found["under"]))


def _spelling(unit: str | None) -> str | None:
    return " ".join(unit.replace(".", " ").split()) if unit else None


def exactly(value: float) -> Fraction:
    """Return the decimal number a float stands for: 0.1 is one tenth, not its binary image."""
    return Fraction(str(float(value)))


def rounded(value: Fraction, step: Fraction) -> Fraction:
    """Round to a multiple of `step`, halves up, as a grower with a pencil does."""
    return floor(value / step + Fraction(1, 2)) * step


def decimals(value: Fraction, places: int) -> str:
    """Write a number with a fixed count of decimals, halves rounded up."""
    return figure(float(rounded(value, Fraction(1, 10**places))), places)


def mixed_fraction(value: Fraction) -> str:
    """Write a number that is not negative as on a tape measure: ``8``, ``1/4`` or ``8 1/4``."""
    whole, part = divmod(value, 1)
    if not part:
        return str(whole)
    return f"{whole} {part}" if whole else str(part)


def feet_and_inches(inches: Fraction, step_inch: Fraction) -> str:
    """Write a length in inches as ``3 ft 8 1/4 in``, to the nearest `step_inch`."""
    feet, rest = divmod(rounded(inches, step_inch), 12)
    if not feet:
        return f"{mixed_fraction(rest)} in"
    return f"{feet} ft {mixed_fraction(rest)} in" if rest else f"{feet} ft"


def grams_or_kilograms(grams: Fraction) -> str:
    """Write a chick to the gram, a bird to 10 g, and from 1 kg on in kilograms."""
    told = rounded(grams, Fraction(1 if grams < 100 else 10))
    return f"{told} g" if told < 1000 else f"{decimals(told / 1000, 2)} kg"


def pounds_and_ounces(pounds: Fraction) -> str:
    """Write a chick to 0.1 oz and a bird to half an ounce, with the full pounds in front."""
    ounces = rounded(pounds * 16, Fraction(1, 10) if pounds * 16 < 4 else Fraction(1, 2))
    full_pounds, rest = divmod(ounces, 16)
    if not full_pounds:
        return f"{local_mark(f'{float(rest):g}')} oz"
    return f"{full_pounds} lb {local_mark(f'{float(rest):g}')} oz" if rest else f"{full_pounds} lb"
