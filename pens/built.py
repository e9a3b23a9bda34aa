"""Designs worked out once and kept: the same choices give the same pen, whoever asks.

PURE. A long pen takes a fifth of a second and its boards some hundredths, a page may ask for both twice.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from pens.design import BoardOffer, Buying, Offcut, Pen, PenDesign, Shop, buying_list, design_pen
from pens.design.shop import ROLLS_MM

CUT_SECONDS = 2.0
"""Time the boards' plan may take while somebody waits [s]; pens take a few hundredths. Our choice."""

_KEPT = 64


@dataclass(frozen=True, slots=True)
class Purse:
    """What can be bought and what lies in the shed, as a value that can be compared."""

    boards: tuple[BoardOffer, ...] = ()
    kerf_mm: float = 3.0
    trim_mm: float = 0.0
    rolls_mm: tuple[int, ...] = ROLLS_MM
    prices: tuple[tuple[str, Fraction], ...] = ()
    offcuts: tuple[Offcut, ...] = ()
    on_hand: tuple[tuple[str, int], ...] = ()


@lru_cache(maxsize=_KEPT)
def pen_of(choices: PenDesign) -> Pen:
    """Return a pen carried out on paper; see `pens.design.design_pen`."""
    return design_pen(choices)


@lru_cache(maxsize=_KEPT)
def buying_of(choices: PenDesign, purse: Purse) -> Buying:
    """Return what to buy for a pen; see `pens.design.buying_list`."""
    shop = Shop(
        boards=purse.boards,
        kerf_mm=purse.kerf_mm,
        trim_mm=purse.trim_mm,
        rolls_mm=purse.rolls_mm,
        prices=dict(purse.prices),
    )
    return buying_list(
        pen_of(choices), shop, purse.offcuts, CUT_SECONDS, on_hand=dict(purse.on_hand)
    )
