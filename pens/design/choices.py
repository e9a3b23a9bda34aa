"""What a grower chooses about a pen, and the beds it is for.

PURE. Whole millimetres.
"""

from dataclasses import dataclass
from typing import Literal

from pens.design.values import Face
from pens.fit import BedKind

Standing = Literal["inside", "over"]
DoorKind = Literal["lids", "sides"]
CoverKind = Literal["roof", "roof and one side", "none"]


@dataclass(frozen=True, slots=True)
class BedSize:
    """One bed as measured: inside the walls, and what its walls are. [mm]

    `wall_mm` is how thick the walls are; it matters only to a pen that stands over them.
    """

    name: str
    length_mm: float
    width_mm: float
    kind: BedKind = "raised"
    wall_mm: float = 38


@dataclass(frozen=True, slots=True)
class PenDesign:
    """Everything that is chosen about a pen before the first board is bought.

    Attributes
    ----------
    length_mm, width_mm, height_mm : int
        Outside of the frame, the longer side first; what lies on top of it is not counted. [mm]
    profile, strap : str
        Keys of `lumber.profiles()`: the frame's wood, and the strapping's and the doors'.
    species : str
        Key of `lumber.species()`.
    doors : {"lids", "sides"}
        Lids in the roof, or doors in the walls, which cannot open inside high bed walls.
    reach_mm : int
        How far a grower's hand goes in over the edge of the pen, on the plan: nothing should be beyond
        24 to 30 in of a door (from memory), so 600. [mm]
    door_gap_mm : int
        Between a door and the frame around it, on each side: 3 to 5. [mm]
    birds : int
        How many the pen is for; the roosts are sized by it.
    roost_mm_per_bird : int
        0 for no roost. [mm]
    mesh : str
        Key of `lumber.meshes()`.
    roll_widths_mm : tuple of int
        Of the wire that can be bought. [mm]
    overlap_mm : int
        Where two panels of wire meet. [mm]
    skirt_mm : int
        Width of a flat skirt round the pen against digging; 0 for none. [mm]
    cover : {"roof", "roof and one side", "none"}
    covered_side : Face
        The wall that the cover goes down over: the windy one.
    tarp : str
        Key of `lumber.tarp_cloths()`.
    skids : bool
        Whether strips are screwed under the long base rails to slide and wear.
    gust_m_s : float
        The gust the pen is to stand through. [m/s]
    """

    length_mm: int
    width_mm: int
    height_mm: int = 610
    profile: str = "2x2"
    strap: str = "1x2"
    species: str = "spruce-pine-fir"
    doors: DoorKind = "lids"
    reach_mm: int = 600
    door_gap_mm: int = 4
    birds: int = 0
    roost_mm_per_bird: int = 0
    mesh: str = "half-inch-19"
    roll_widths_mm: tuple[int, ...] = (610, 914, 1219)
    overlap_mm: int = 51
    skirt_mm: int = 0
    cover: CoverKind = "roof"
    covered_side: Face = "back"
    tarp: str = "light"
    skids: bool = False
    gust_m_s: float = 25.0


class DesignError(ValueError):
    """A pen that cannot be: `field` is the choice to change, the message one plain sentence."""

    def __init__(self, field: str, message: str) -> None:
        self.field = field
        super().__init__(message)
