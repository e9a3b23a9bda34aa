"""What can be bought, what lies in the shed, and the saw that the boards are cut with.

PURE. Whole millimetres.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from pens.design.lumber import profiles

US_BOARDS_MM = (1829, 2438, 3048, 3658, 4877)
METRIC_BOARDS_MM = (1800, 2400, 3000, 3600, 4200, 4800)
"""Lengths of boards on sale [mm]: 6, 8, 10, 12 and 16 ft, and the usual metric ones. From memory."""

ROLLS_MM = (1524, 3048, 7620, 15240, 30480)
"""Lengths of rolls of wire on sale [mm]: 5, 10, 25, 50 and 100 ft. From memory."""


@dataclass(frozen=True, slots=True)
class BoardOffer:
    """Boards of one length [mm] in the shop; `price` of one is None where it is not known."""

    profile: str
    length_mm: int
    price: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Offcut:
    """Boards and offcuts of one length [mm] in the shed."""

    profile: str
    length_mm: int
    count: int = 1


@dataclass(frozen=True, slots=True)
class Shop:
    """What can be bought, and the saw it is cut with.

    Attributes
    ----------
    boards : tuple of BoardOffer
        Empty for the usual lengths without prices.
    kerf_mm, trim_mm : float
        The saw's width, and the warped or rough end cut off every board. [mm]
    rolls_mm : tuple of int
        Lengths of the rolls of wire. [mm]
    prices : mapping of str to Fraction
        Of everything but boards, by the key of the buying line, such as ``screw-76``; a screw's,
        staple's or washer's is that of one.
    """

    boards: tuple[BoardOffer, ...] = ()
    kerf_mm: float = 3.0
    trim_mm: float = 0.0
    rolls_mm: tuple[int, ...] = ROLLS_MM
    prices: Mapping[str, Fraction] = field(default_factory=dict)

    def offers(self, profile: str) -> tuple[BoardOffer, ...]:
        """Return the boards of a profile; the usual lengths where none is named."""
        named = tuple(offer for offer in self.boards if offer.profile == profile)
        if named:
            return named
        metric = profiles()[profile].system == "metric"
        lengths = METRIC_BOARDS_MM if metric else US_BOARDS_MM
        return tuple(BoardOffer(profile, length) for length in lengths)
