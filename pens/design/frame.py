"""The frame of a pen: rails, posts, braces, roof bars, roosts and skids, each in its place.

PURE. Long rails run the full length, end rails stand between them; posts stand on the long base
rails and carry the top ones. So a screw goes through a long rail into the end of every end rail,
and through a rail into the end of every post.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from garden.words import figure, mark
from garden.words import gettext as _
from pens.design.choices import DesignError, PenDesign
from pens.design.layout import Layout
from pens.design.lumber import Profile
from pens.design.rails import Wood, X, Y, Z, evenly, hole, slanted
from pens.design.values import Hole, Piece, Point, Vector

BRACE_LEG_MM = 200
"""How far a brace goes along rail and post [mm]. Our choice."""

STRAP_SCREW_EVERY_MM = 300
"""Screws along a strap [mm]. Common practice, no source."""

ROOST_HEIGHT_MM = 150
"""Underside of a roost above the soil [mm]: heavy birds hurt their legs jumping down. From memory."""

ROOST_MM_PER_BIRD = 150
"""Roost for one bird, where there is one [mm]. From memory."""

NEGATIVE_X: Vector = (-1.0, 0.0, 0.0)
NEGATIVE_Y: Vector = (0.0, -1.0, 0.0)


@dataclass(frozen=True, slots=True)
class Framing:
    """A design with its wood looked up: the section's thin and wide side, and the strap's. [mm]"""

    design: PenDesign
    wood: Profile
    strap: Profile

    @property
    def thick(self) -> int:
        """Thin side of the framing, the walls' thickness. [mm]"""
        return self.wood.thickness_mm

    @property
    def wide(self) -> int:
        """Wide side of the framing, upright in rails. [mm]"""
        return self.wood.width_mm

    @property
    def top(self) -> int:
        """Underside of the top rails. [mm]"""
        return self.design.height_mm - self.wide


def frame_pieces(framing: Framing, layout: Layout) -> list[Piece]:
    """Return the bare frame, bottom to top, without letters."""
    design = framing.design
    roosts = roost_places(framing)
    return [
        *_long_rails(framing, layout, mark("Base rail"), "base", 0),
        *_end_rails(framing, layout, "base", 0),
        *_posts(framing, layout),
        *_long_rails(framing, layout, mark("Top rail"), "top", framing.top),
        *_end_rails(framing, layout, "top", framing.top),
        *_braces(framing, layout),
        *_bars(framing, layout),
        *_roosts(framing, roosts),
        *(_skids(framing) if design.skids else ()),
    ]


def _long_rails(framing: Framing, layout: Layout, name: str, part: str, z: int) -> Iterator[Piece]:
    design, wood = framing.design, Wood.on_edge(framing.wood)
    holes = [*_end_rail_holes(framing), *_post_holes(framing, design.length_mm, layout.posts_mm)]
    if part == "top":
        holes += [_into_end(framing, bar + framing.thick // 2) for bar in layout.bars_mm]
    for y in (0, design.width_mm - framing.thick):
        yield wood.lay(name, part, design.length_mm, (0, y, z), holes=holes)


def _end_rails(framing: Framing, layout: Layout, part: str, z: int) -> Iterator[Piece]:
    design, wood = framing.design, Wood.on_edge(framing.wood)
    length = design.width_mm - 2 * framing.thick
    through, into = framing.wide, design.height_mm - 2 * framing.wide
    holes = [
        hole(post + framing.wide // 2 - framing.thick, "up", through, into, end_grain=True)
        for post in layout.end_posts_mm
    ]
    for x in (0, design.length_mm - framing.thick):
        start = (x, framing.thick, z)
        yield wood.lay(mark("End rail"), part, length, start, along=Y, across=X, holes=holes)


def _end_rail_holes(framing: Framing) -> list[Hole]:
    """Return the holes at both ends of a long rail through which the end rails are held."""
    # Off the middle, so that the screw into the post above has its own wood.
    near = framing.thick // 3
    return [_into_end(framing, at) for at in (near, framing.design.length_mm - near)]


def _into_end(framing: Framing, at_mm: int) -> Hole:
    return hole(at_mm, "across", framing.thick, framing.design.width_mm, end_grain=True)


def _post_holes(framing: Framing, length_mm: int, posts_mm: Sequence[int]) -> list[Hole]:
    clear = framing.design.height_mm - 2 * framing.wide
    corner = framing.wide * 3 // 4
    places = [corner, *(post + framing.wide // 2 for post in posts_mm), length_mm - corner]
    return [hole(at, "up", framing.wide, clear, end_grain=True) for at in places]


def _posts(framing: Framing, layout: Layout) -> Iterator[Piece]:
    """Yield the posts; their wide side lies along the wall."""
    design = framing.design
    length = framing.top - framing.wide
    along_wall = Wood(framing.wood.key, framing.wide, framing.thick)
    far_x, far_y = design.length_mm - framing.wide, design.width_mm - framing.thick
    for y in (0, far_y):
        for x in (0, far_x):
            start = (x, y, framing.wide)
            yield along_wall.lay(mark("Corner post"), "post", length, start, Z, X, Y)
        for x in layout.posts_mm:
            yield along_wall.lay(mark("Post"), "post", length, (x, y, framing.wide), Z, X, Y)
    for x in (0, design.length_mm - framing.thick):
        for y in layout.end_posts_mm:
            yield along_wall.lay(mark("Post"), "post", length, (x, y, framing.wide), Z, Y, X)


def _bars(framing: Framing, layout: Layout) -> Iterator[Piece]:
    design, wood = framing.design, Wood.on_edge(framing.wood)
    length = design.width_mm - 2 * framing.thick
    for x in layout.bars_mm:
        start = (x, framing.thick, framing.top)
        yield wood.lay(mark("Roof bar"), "roof", length, start, along=Y, across=X)


def _braces(framing: Framing, layout: Layout) -> Iterator[Piece]:
    """Yield a brace under the top rail in both walls of every corner that has no door there."""
    design = framing.design
    leg = min(
        BRACE_LEG_MM, (framing.top - framing.wide) // 2, (design.width_mm - 2 * framing.thick) // 3
    )
    walls = {opening.face for opening, _ in layout.openings}
    for y, across in ((0, Y), (design.width_mm, NEGATIVE_Y)):
        if ("front" if y == 0 else "back") not in walls:
            for x, inward in ((framing.wide, X), (design.length_mm - framing.wide, NEGATIVE_X)):
                yield _brace(framing, leg, (x, y, framing.top), inward, across)
    for x, across in ((0, X), (design.length_mm, NEGATIVE_X)):
        if ("left" if x == 0 else "right") not in walls:
            for y, inward in (
                (framing.thick, Y),
                (design.width_mm - framing.thick, NEGATIVE_Y),
            ):
                yield _brace(framing, leg, (x, y, framing.top), inward, across)


def _brace(framing: Framing, leg: int, corner: Point, inward: Vector, across: Vector) -> Piece:
    """Return a brace from the post, `leg` below the corner, to the rail, `leg` inward of it."""
    strap = framing.strap
    length = round(leg * 2**0.5)
    outward = (-inward[0], -inward[1], -inward[2])
    start = (corner[0], corner[1], corner[2] - leg)
    holes = [
        hole(at, "up", strap.width_mm, framing.thick)
        for at in (strap.width_mm * 3 // 4, length - strap.width_mm * 3 // 4)
    ]
    return Wood(strap.key, strap.thickness_mm, strap.width_mm).lay(
        mark("Brace"), "brace", length, start,
        slanted(inward, Z), across, slanted(outward, Z), (45, 45), holes,
    )  # fmt: skip


def roost_places(framing: Framing) -> list[int]:
    """Return the near faces of the roosts that the birds need, evenly along the pen. [mm]

    Raises
    ------
    DesignError
        If the pen has no room for so many.
    """
    design = framing.design
    clear = design.width_mm - 2 * framing.thick
    count = -(-design.birds * design.roost_mm_per_bird // clear)
    apart = design.length_mm / (count + 1)
    if count and apart < 3 * framing.wide:
        message = _("The roosts for {birds} birds would lie only {apart} mm apart.")
        told = message.format(birds=design.birds, apart=figure(apart))
        raise DesignError("roost_mm_per_bird", told)
    return [round((number + 1) * apart - framing.thick / 2) for number in range(count)]


def _roosts(framing: Framing, places: Sequence[int]) -> Iterator[Piece]:
    """Yield roosts across the pen, each on two legs that are screwed to the base rails."""
    design, wood = framing.design, Wood.on_edge(framing.wood)
    clear = design.width_mm - 2 * framing.thick
    legs = (framing.thick, design.width_mm - framing.thick - framing.wide)
    ends = [
        hole(at, "up", framing.wide, ROOST_HEIGHT_MM, end_grain=True)
        for at in (framing.wide // 2, clear - framing.wide // 2)
    ]
    foot = hole(framing.wide // 2, "up", framing.wide, framing.thick)
    for x in places:
        start = (x, framing.thick, ROOST_HEIGHT_MM)
        yield wood.lay(mark("Roost"), "roost", clear, start, along=Y, across=X, holes=ends)
        for y in legs:
            yield wood.lay(
                mark("Roost leg"), "roost", ROOST_HEIGHT_MM, (x, y, 0), Z, X, Y, holes=[foot]
            )


def _skids(framing: Framing) -> Iterator[Piece]:
    design, strap = framing.design, framing.strap
    holes = [
        hole(at, "up", strap.thickness_mm, framing.wide)
        for at in evenly(design.length_mm, STRAP_SCREW_EVERY_MM)
    ]
    for y in (0, design.width_mm - strap.width_mm):
        start = (0, y, -strap.thickness_mm)
        yield Wood.flat(strap).lay(mark("Skid"), "skid", design.length_mm, start, holes=holes)
