"""A cutting problem and its plan as plain values.

PURE. Lengths are whole ticks, so that sums are exact and 74 boards are 74; prices are fractions, so
that 3 boards at 4.10 cost 12.30.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

TICKS_PER_MM = 100
"""A tick is 0.01 mm: finer than any saw, coarse enough for 44 1/4 in (1123.95 mm). Our choice."""


@dataclass(frozen=True, slots=True)
class Stock:
    """Boards of one length that can be had; `available` is None where there is no end of them."""

    profile: str
    length_ticks: int
    price: Fraction
    available: int | None = None


@dataclass(frozen=True, slots=True)
class Piece:
    """A length to be cut, `count` times."""

    profile: str
    length_ticks: int
    count: int
    name: str


@dataclass(frozen=True, slots=True)
class Problem:
    """What is to be cut, and from what.

    `kerf_ticks` is the saw's width. `trim_ticks` is what every board loses at one end before the
    first cut, the sawdust of that squaring cut included: trimming costs no further kerf.
    """

    kerf_ticks: int
    trim_ticks: int
    stock: tuple[Stock, ...]
    pieces: tuple[Piece, ...]

    def profiles(self) -> tuple[str, ...]:
        """Return the profiles that have pieces to cut, in their order of appearance."""
        return tuple(dict.fromkeys(piece.profile for piece in self.pieces))

    def usable_ticks(self, stock: Stock) -> int:
        """Return what the trim leaves of a board."""
        return stock.length_ticks - self.trim_ticks


@dataclass(frozen=True, slots=True)
class Cut:
    """One piece sawn from a board."""

    name: str
    length_ticks: int


@dataclass(frozen=True, slots=True)
class Board:
    """`count` boards of one stock, cut alike."""

    stock: Stock
    count: int
    cuts: tuple[Cut, ...]
    offcut_ticks: int


@dataclass(frozen=True, slots=True)
class Plan:
    """How to cut everything, what it costs, and a cost that no plan can go below."""

    boards: tuple[Board, ...]
    cost: Fraction
    lower_bound: Fraction

    @property
    def gap(self) -> float:
        """(cost − lower bound) / max(cost, 1), the share of the cost that might be saved."""
        return float((self.cost - self.lower_bound) / max(self.cost, Fraction(1)))

    @property
    def status(self) -> str:
        """``optimal`` when the cost meets the bound exactly, else ``feasible``."""
        return "optimal" if self.cost == self.lower_bound else "feasible"


class NotEnoughStockError(ValueError):
    """The boards that are available cannot give the pieces of a profile, or no way was found."""

    def __init__(self, profile: str, *, proven: bool) -> None:
        self.profile = profile
        self.proven = proven
        super().__init__(profile)


def leftover_ticks(usable_ticks: int, kerf_ticks: int, cut_ticks: Sequence[int]) -> int:
    """Return what lies between the last piece and the board's end, before that piece is freed.

    Parameters
    ----------
    usable_ticks : int
        Length of the board without its trim.
    kerf_ticks : int
        Width of the saw, spent between pieces.
    cut_ticks : sequence of int
        Lengths of the pieces; at least one.

    Returns
    -------
    int
        Negative when the pieces do not fit.
    """
    return usable_ticks - sum(cut_ticks) - kerf_ticks * (len(cut_ticks) - 1)


def offcut_ticks(leftover: int, kerf_ticks: int) -> int:
    """Return what is left to keep once the last piece is sawn free.

    Where the leftover is no longer than the saw is wide it turns to dust and the board is used to
    its end: a piece of 2437 mm does come out of a board of 2438 mm with a saw of 3 mm.
    """
    return max(0, leftover - kerf_ticks)


def is_sliver(leftover: int, kerf_ticks: int) -> bool:
    """Tell whether the last cut must shave off less than the saw's width, an untidy cut to make."""
    return 0 < leftover < kerf_ticks
