"""The order in which a pen is put together, each step with its pieces, screws, checks and drawing.

PURE.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from garden.units import PEN_LENGTH, System
from garden.words import gettext as _
from pens.design.assembly import Pen
from pens.design.values import Hole, Piece
from pens.drawings.aslant import Extra, flat_faces, square_check, step_sheet
from pens.drawings.bowed import bowed_sheet
from pens.drawings.shapes import Sheet
from pens.step_words import WORDS, StepWords

Wanted = Callable[[Piece], bool]
Holes = Callable[[Piece, Hole], bool]


@dataclass(frozen=True, slots=True)
class Screws:
    """Screws of one length for a step, and the drill for their holes. [mm]"""

    count: int
    screw_mm: int
    bit_mm: float


@dataclass(frozen=True, slots=True)
class PartLine:
    """Pieces of one letter that a step takes."""

    letter: str
    name: str
    count: int
    length_mm: int


@dataclass(frozen=True, slots=True)
class Step:
    """One step; `sheet` is None where there is nothing to draw."""

    number: int
    key: str
    title: str
    does: tuple[str, ...]
    checks: tuple[str, ...]
    mistakes: tuple[str, ...]
    hazard: str
    caution: str
    pieces: tuple[PartLine, ...]
    screws: tuple[Screws, ...]
    sheet: Sheet | None


@dataclass(frozen=True, slots=True)
class _Stage:
    """What a step adds, and which holes its screws go into."""

    key: str
    adds: Wanted
    holes: Holes


def building_steps(pen: Pen, system: System) -> list[Step]:
    """Return the steps of a pen, those that it has nothing for left out.

    Parameters
    ----------
    pen : Pen
        As `pens.design.design_pen` returns it.
    system : {"metric", "us"}
        Units of the figures in the texts; lengths that matter are told in both.

    Returns
    -------
    list of Step
        Numbered from 1.
    """
    figures = _figures(pen, system)
    steps: list[Step] = []
    done: list[Piece] = []
    for stage in _stages(pen):
        new = [piece for piece in pen.pieces if stage.adds(piece) and piece not in done]
        if not new and stage.key not in _ALWAYS and not _is_on(stage.key, pen):
            continue
        words = _filled(WORDS[stage.key], figures)
        steps.append(
            Step(
                number=len(steps) + 1,
                key=stage.key,
                title=words.title,
                does=words.does,
                checks=words.checks,
                mistakes=words.mistakes,
                hazard=words.hazard,
                caution=words.caution,
                pieces=_part_lines(new),
                screws=_screws(pen.pieces, stage.holes),
                sheet=_sheet(stage.key, words.title, pen, new, done),
            )
        )
        done += new
    return steps


_ALWAYS = {"sight", "cut", "wire", "hold"}


def _is_on(key: str, pen: Pen) -> bool:
    return key == "cover" and pen.cover is not None


def _part(*names: str) -> Wanted:
    return lambda piece: piece.part in names


def _own(*names: str) -> Holes:
    return lambda piece, hole: piece.part in names


def _nothing(piece: Piece, hole: Hole | None = None) -> bool:
    return False


def _stages(pen: Pen) -> Iterable[_Stage]:
    wide = max(piece.across_mm for piece in pen.pieces if piece.part == "base") * 3
    design = pen.design

    def long(piece: Piece) -> bool:
        return piece.part in ("base", "top") and abs(piece.along[0]) > 0.5

    def at_end(hole: Hole) -> bool:
        return hole.at_mm < wide or hole.at_mm > design.length_mm - wide

    yield _Stage("sight", _nothing, _nothing)
    yield _Stage("cut", _nothing, _nothing)
    yield _Stage(
        "walls",
        lambda piece: long(piece) or (piece.part == "post" and abs(piece.across[0]) > 0.5),
        lambda piece, hole: long(piece) and hole.side == "up",
    )
    yield _Stage(
        "ends",
        lambda piece: piece.part in ("base", "top", "post"),
        lambda piece, hole: (
            (long(piece) and hole.side == "across" and at_end(hole))
            or (piece.part in ("base", "top") and not long(piece))
        ),
    )
    yield _Stage("braces", _part("brace"), _own("brace"))
    yield _Stage(
        "roof",
        _part("roof"),
        lambda piece, hole: long(piece) and hole.side == "across" and not at_end(hole),
    )
    yield _Stage("skids", _part("skid"), _own("skid"))
    yield _Stage("roosts", _part("roost"), _own("roost"))
    yield _Stage("wire", _nothing, _nothing)
    yield _Stage("straps", _part("strap", "stop"), _own("strap", "stop"))
    yield _Stage(
        "doors",
        lambda piece: piece.part.startswith("door"),
        lambda piece, hole: piece.part.startswith("door"),
    )
    yield _Stage("cover", _nothing, _nothing)
    yield _Stage("hold", _nothing, _nothing)


def _figures(pen: Pen, system: System) -> dict[str, str]:
    design = pen.design
    wall = (design.length_mm**2 + design.height_mm**2) ** 0.5
    return {
        "diagonal": both_ways(pen.square_mm, system),
        "wall_diagonal": both_ways(wall, system),
        "width": both_ways(design.width_mm, system),
        "gap": both_ways(design.door_gap_mm, system),
    }


def both_ways(length_mm: float, system: System) -> str:
    """Write a length in the garden's units and, in brackets, in the other ones."""
    own, other = ("metric", "us") if system == "metric" else ("us", "metric")
    return f"{PEN_LENGTH.show(length_mm, own)} ({PEN_LENGTH.show(length_mm, other)})"


def _filled(words: StepWords, figures: dict[str, str]) -> StepWords:
    def put(texts: Sequence[str]) -> tuple[str, ...]:
        return tuple(_(text).format(**figures) for text in texts)

    return StepWords(
        _(words.title),
        put(words.does),
        put(words.checks),
        put(words.mistakes),
        _(words.hazard),
        _(words.caution),
    )


def _part_lines(pieces: Sequence[Piece]) -> tuple[PartLine, ...]:
    counts = Counter((p.letter, p.name, p.length_mm) for p in pieces)
    return tuple(
        PartLine(letter, name, count, length_mm)
        for (letter, name, length_mm), count in counts.items()
    )


def _screws(pieces: Sequence[Piece], wanted: Holes) -> tuple[Screws, ...]:
    counts = Counter(
        (hole.screw_mm, hole.bit_mm)
        for piece in pieces
        for hole in piece.holes
        if wanted(piece, hole)
    )
    return tuple(Screws(count, *sizes) for sizes, count in sorted(counts.items()))


def _sheet(
    key: str, title: str, pen: Pen, new: Sequence[Piece], done: Sequence[Piece]
) -> Sheet | None:
    if key == "sight":
        return bowed_sheet()
    if key == "cut":
        return None
    return step_sheet(title, new, done, _extra(key, pen))


def _extra(key: str, pen: Pen) -> Extra | None:
    design = pen.design
    length, width, height = design.length_mm, design.width_mm, design.height_mm
    if key == "ends":
        return square_check(length, width, height)
    if key == "wire":
        walls = [
            ((0, 0, 0), (length, 0, 0), (length, 0, height), (0, 0, height)),
            ((0, 0, 0), (0, width, 0), (0, width, height), (0, 0, height)),
        ]
        return flat_faces(walls, "wired")
    if key == "cover":
        roof = ((0, 0, height), (length, 0, height), (length, width, height), (0, width, height))
        return flat_faces([roof], "sheeting")
    return None
