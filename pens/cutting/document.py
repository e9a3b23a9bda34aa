"""The documents ``cutting-problem/1`` and ``cutting-solution/1``.

PURE. Lengths are millimetres with at most two decimals; finer ones are a fault, not rounded, since
a sum of rounded lengths may not fit its board. Prices, in the garden's currency, are taken to the
ten-thousandth.
"""

import json
import time
from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field

from garden.documents import Document, DocumentError, read_document
from pens.cutting.problem import (
    TICKS_PER_MM,
    Board,
    NotEnoughStockError,
    Piece,
    Plan,
    Problem,
    Stock,
)
from pens.cutting.search import cut_boards

LONGEST_MM = 100_000
MOST_LENGTHS = 500
MOST_PIECES = 20_000
DEAREST = 1_000_000
"""What a document may hold at most: far beyond any garden, and still answered. Our choice."""


def _in_ticks(length_mm: float) -> float:
    if (Fraction(str(length_mm)) * TICKS_PER_MM).denominator != 1:
        raise ValueError("expected millimetres with at most two decimals")
    return length_mm


PRICE_STEPS = 10_000
"""Steps in one unit of currency: finer is the noise of somebody's floating point. Our choice."""


Millimetres = Annotated[float, Field(ge=0, le=LONGEST_MM), AfterValidator(_in_ticks)]
LengthMillimetres = Annotated[float, Field(gt=0, le=LONGEST_MM), AfterValidator(_in_ticks)]
Text = Annotated[str, Field(min_length=1, max_length=200)]


class StockEntry(Document):
    """One row of ``stock``."""

    profile: Text
    length_mm: LengthMillimetres
    price: Annotated[float, Field(ge=0, le=DEAREST)]
    available: Annotated[int, Field(ge=0)] | None = None


class PieceEntry(Document):
    """One row of ``pieces``."""

    profile: Text
    length_mm: LengthMillimetres
    count: Annotated[int, Field(ge=1, le=MOST_PIECES)]
    name: Text


class CuttingDocument(Document):
    """The whole of ``cutting-problem/1``."""

    format: Literal["cutting-problem/1"]
    kerf_mm: Millimetres
    trim_mm: Millimetres
    stock: Annotated[list[StockEntry], Field(max_length=MOST_LENGTHS)]
    pieces: Annotated[list[PieceEntry], Field(max_length=MOST_LENGTHS)]


def answer(raw: bytes | str, seconds: float) -> dict[str, Any]:
    """Answer a problem document with a solution document.

    Parameters
    ----------
    raw : bytes or str
        A ``cutting-problem/1`` in JSON.
    seconds : float
        Time allowed, greater than 0. [s]

    Returns
    -------
    dict
        A ``cutting-solution/1``.

    Raises
    ------
    DocumentError
        If the document is malformed, a piece is longer than any stock, or the boards that are
        available do not give all pieces.
    """
    started = time.monotonic()
    problem = read_problem(raw)
    try:
        plan = cut_boards(problem, seconds)
    except NotEnoughStockError as error:
        raise DocumentError([_stock_fault(error, seconds)]) from None
    return solution_document(plan, time.monotonic() - started)


def read_problem(raw: bytes | str) -> Problem:
    """Read a ``cutting-problem/1``; see `answer` for the faults."""
    document = read_document(raw, CuttingDocument)
    problem = Problem(
        kerf_ticks=_ticks(document.kerf_mm),
        trim_ticks=_ticks(document.trim_mm),
        stock=tuple(
            Stock(one.profile, _ticks(one.length_mm), _price(one.price), one.available)
            for one in document.stock
        ),
        pieces=tuple(
            Piece(one.profile, _ticks(one.length_mm), one.count, one.name)
            for one in document.pieces
        ),
    )
    faults = _piece_faults(problem)
    if faults:
        raise DocumentError(faults)
    return problem


def _piece_faults(problem: Problem) -> list[str]:
    faults = []
    if sum(piece.count for piece in problem.pieces) > MOST_PIECES:
        faults.append(f"pieces: expected at most {MOST_PIECES} pieces in all")
    for number, piece in enumerate(problem.pieces):
        usable = [problem.usable_ticks(s) for s in problem.stock if s.profile == piece.profile]
        where = f"pieces[{number}] {_quoted(piece.name)}"
        if not usable:
            faults.append(f"{where}: no stock of profile {_quoted(piece.profile)}")
        elif piece.length_ticks > max(usable):
            left = f"{_mm(max(0, max(usable)))} mm can be cut from the longest"
            faults.append(f"{where}: longer than any stock of its profile, {left}")
    return faults


def _stock_fault(error: NotEnoughStockError, seconds: float) -> str:
    boards = f"boards of profile {_quoted(error.profile)}"
    if error.proven:
        return f"stock: not enough {boards} are available for the pieces"
    return f"stock: no way found in {seconds:g} s to cut the pieces from the {boards} available"


def solution_document(plan: Plan, seconds: float) -> dict[str, Any]:
    """Write a plan as a ``cutting-solution/1``; `seconds` is the time it took."""
    return {
        "format": "cutting-solution/1",
        "status": plan.status,
        "cost": float(plan.cost),
        "lower_bound": float(plan.lower_bound),
        "gap": plan.gap,
        "seconds": round(seconds, 3),
        "boards": [_board_document(board) for board in plan.boards],
    }


def _board_document(board: Board) -> dict[str, Any]:
    return {
        "profile": board.stock.profile,
        "length_mm": _mm(board.stock.length_ticks),
        "count": board.count,
        "offcut_mm": _mm(board.offcut_ticks),
        "cuts": [{"name": cut.name, "length_mm": _mm(cut.length_ticks)} for cut in board.cuts],
    }


def _ticks(length_mm: float) -> int:
    return int(Fraction(str(length_mm)) * TICKS_PER_MM)


def _price(price: float) -> Fraction:
    return Fraction(round(Fraction(str(price)) * PRICE_STEPS), PRICE_STEPS)


def _mm(ticks: int) -> int | float:
    """Return millimetres, as a whole number where they are whole."""
    return ticks / TICKS_PER_MM if ticks % TICKS_PER_MM else ticks // TICKS_PER_MM


def _quoted(name: str) -> str:
    """Quote a name for a fault, kept to its line."""
    return json.dumps(name[:80], ensure_ascii=False)
