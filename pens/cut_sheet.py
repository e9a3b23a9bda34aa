"""A cutting plan as a sheet for the saw: what to buy, and each board drawn to scale.

PURE.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from string import ascii_uppercase

from pens.cutting.problem import TICKS_PER_MM, Board, Plan, Problem
from pens.drawing import MARGIN, WIDTH, Box

BAR_HEIGHT = 40
LEAST_FOR_WORD = 16

Letters = dict[tuple[str, str, int], str]
"""Letter of a piece by its profile, name and length in ticks."""


@dataclass(frozen=True, slots=True)
class Part:
    """Pieces of one name and length with the letter that stands for them on the bars."""

    letter: str
    name: str
    profile: str
    length_mm: float
    count: int


@dataclass(frozen=True, slots=True)
class Purchase:
    """Boards of one stock to take."""

    profile: str
    length_mm: float
    count: int
    price: Fraction

    @property
    def cost(self) -> float:
        """What they cost together."""
        return float(self.count * self.price)


@dataclass(frozen=True, slots=True)
class Bar:
    """Boards cut alike: the cuts in words, and as boxes in the picture; the last may be left over."""

    profile: str
    length_mm: float
    count: int
    offcut_mm: float
    words: str
    cuts: tuple[Box, ...]
    offcut: Box | None


@dataclass(frozen=True, slots=True)
class CutSheet:
    """Everything to print and take to the shed."""

    cost: float
    boards: int
    proven: bool
    gap: float
    parts: tuple[Part, ...]
    purchases: tuple[Purchase, ...]
    bars: tuple[Bar, ...]
    width: int = WIDTH
    bar_height: int = BAR_HEIGHT

    @property
    def gap_percent(self) -> float:
        """What might still be saved, in percent and never rounded down."""
        return ceil(self.gap * 1000) / 10


def cut_sheet(problem: Problem, plan: Plan) -> CutSheet:
    """Lay a plan out; every bar is drawn in the scale of the longest board."""
    parts = _parts(problem)
    letters = {
        (part.profile, part.name, round(part.length_mm * TICKS_PER_MM)): part.letter
        for part in parts
    }
    longest = max((board.stock.length_ticks for board in plan.boards), default=1)
    scale = (WIDTH - 2 * MARGIN) / longest
    bars = tuple(_bar(problem, board, letters, scale) for board in plan.boards)
    return CutSheet(
        cost=float(plan.cost),
        boards=sum(board.count for board in plan.boards),
        proven=plan.status == "optimal",
        gap=plan.gap,
        parts=parts,
        purchases=_purchases(plan),
        bars=bars,
    )


def _parts(problem: Problem) -> tuple[Part, ...]:
    counts: Counter[tuple[str, str, int]] = Counter()
    for piece in problem.pieces:
        counts[piece.name, piece.profile, piece.length_ticks] += piece.count
    return tuple(
        Part(letter, name, profile, ticks / TICKS_PER_MM, count)
        for letter, ((name, profile, ticks), count) in zip(_letters(), counts.items(), strict=False)
    )


def _letters() -> Iterator[str]:
    """Yield A to Z, then A2 to Z2 and on."""
    yield from ascii_uppercase
    for round_number in range(2, 1000):
        yield from (f"{letter}{round_number}" for letter in ascii_uppercase)


def _purchases(plan: Plan) -> tuple[Purchase, ...]:
    counts: Counter[tuple[str, int, Fraction]] = Counter()
    for board in plan.boards:
        counts[board.stock.profile, board.stock.length_ticks, board.stock.price] += board.count
    return tuple(
        Purchase(profile, ticks / TICKS_PER_MM, count, price)
        for (profile, ticks, price), count in sorted(counts.items())
    )


def _bar(problem: Problem, board: Board, letters: Letters, scale: float) -> Bar:
    boxes = []
    used: Counter[str] = Counter()
    at = problem.trim_ticks
    for cut in board.cuts:
        letter = letters[board.stock.profile, cut.name, cut.length_ticks]
        used[letter] += 1
        boxes.append(_box(at, cut.length_ticks, scale, letter))
        at += cut.length_ticks + problem.kerf_ticks
    left = board.offcut_ticks
    return Bar(
        profile=board.stock.profile,
        length_mm=board.stock.length_ticks / TICKS_PER_MM,
        count=board.count,
        offcut_mm=left / TICKS_PER_MM,
        words=", ".join(f"{count} × {letter}" for letter, count in used.items()),
        cuts=tuple(boxes),
        offcut=_box(board.stock.length_ticks - left, left, scale, "") if left else None,
    )


def _box(at_ticks: int, length_ticks: int, scale: float, letter: str) -> Box:
    width = round(length_ticks * scale, 1)
    word = letter if width >= LEAST_FOR_WORD else ""
    return Box(round(MARGIN + at_ticks * scale, 1), 2.0, width, BAR_HEIGHT - 4.0, word)
