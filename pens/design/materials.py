"""What is bought for a pen by the roll, the sheet and the piece: wire, cover, lines of a list.

PURE. Whole millimetres.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from garden.words import gettext as _
from pens.design.values import Opening


@dataclass(frozen=True, slots=True)
class WirePanel:
    """One piece of wire as it is cut.

    Attributes
    ----------
    name : str
        Marked; `words` says it.
    across_mm, along_mm : int
        Across and along the roll, folds and overlaps counted in. [mm]
    covers : tuple of Opening
        What it lies on once it is folded; several where it goes round a corner.
    folds : tuple of (str, int)
        What is folded or lapped where, in words, and how wide. [mm]
    from_door : int
        Number of the door whose opening it is cut out of; 0 for a piece cut off a roll.
    number : int
        Of the door that it belongs to, or of its course in a wall of several; else 0.
    strip : int
        Its number among the strips that make up what no roll is wide enough for; else 0.
    """

    name: str
    across_mm: int
    along_mm: int
    covers: tuple[Opening, ...]
    folds: tuple[tuple[str, int], ...] = ()
    from_door: int = 0
    number: int = 0
    strip: int = 0

    @property
    def words(self) -> str:
        """What it is called, in the reader's language."""
        said = _(self.name).format(number=self.number)
        return (
            _("{panel}, strip {number}").format(panel=said, number=self.strip)
            if self.strip
            else said
        )


@dataclass(frozen=True, slots=True)
class PlacedPanel:
    """A panel on a roll: its low corner, and whether it is turned by a quarter. [mm]"""

    panel: WirePanel
    along_mm: int
    across_mm: int
    turned: bool = False


@dataclass(frozen=True, slots=True)
class RollLayout:
    """What is cut from rolls of one width: the length found, and what no layout goes below. [mm]"""

    width_mm: int
    length_mm: int
    panels: tuple[PlacedPanel, ...]
    at_least_mm: int

    @property
    def proven(self) -> bool:
        """Whether these panels need no less of a roll of this width."""
        return self.length_mm <= self.at_least_mm

    @property
    def blocks_mm(self) -> tuple[int, ...]:
        """Lengths of the stretches between which no panel lies across: where the roll may be parted. [mm]"""
        ends: list[list[int]] = []
        for placed in sorted(self.panels, key=lambda one: one.along_mm):
            size = placed.panel.across_mm if placed.turned else placed.panel.along_mm
            far = placed.along_mm + size
            if ends and placed.along_mm < ends[-1][1]:
                ends[-1][1] = max(ends[-1][1], far)
            else:
                ends.append([placed.along_mm, far])
        return tuple(far - near for near, far in ends)


@dataclass(frozen=True, slots=True)
class Cover:
    """The tarp over a pen.

    Attributes
    ----------
    tarp_length_mm, tarp_width_mm : int
        As sold. [mm]
    needed_length_mm, needed_width_mm : int
        What must be covered, drip edges counted in. [mm]
    end_overlap_mm, side_overlap_mm : int
        What hangs over each end, and each side that is not covered, to fold under. [mm]
    offcut_mm : tuple of int
        Length and width of a strip that may be cut off and kept; zeros for none. [mm]
    covers : tuple of Opening
        Faces that it lies on.
    mass_g : int
    """

    tarp_length_mm: int
    tarp_width_mm: int
    needed_length_mm: int
    needed_width_mm: int
    end_overlap_mm: int
    side_overlap_mm: int
    offcut_mm: tuple[int, int]
    covers: tuple[Opening, ...]
    mass_g: int


@dataclass(frozen=True, slots=True)
class BuyingLine:
    """One line to take to the shop.

    Attributes
    ----------
    key : str
        The same whenever the same thing is meant: a tick is kept by it.
    kind : {"boards", "wire", "cover", "screws", "hardware"}
    what, size : str
        In words; `size` is the trade's name of a size: a profile, a screw's use.
    length_mm, width_mm : int
        As sold; 0 where it has none. [mm]
    count : int
        How many to buy.
    on_hand : int
        How many of those needed lie in the shed already.
    price : Fraction or None
        Of one; None where it is not known.
    mass_g : float
        Of one. [g]
    """

    key: str
    kind: Literal["boards", "wire", "cover", "screws", "hardware"]
    what: str
    size: str
    count: int
    length_mm: int = 0
    width_mm: int = 0
    on_hand: int = 0
    price: Fraction | None = None
    mass_g: float = 0.0

    @property
    def cost(self) -> Fraction | None:
        """Of all that is bought; None where the price is not known."""
        return None if self.price is None else self.price * self.count
