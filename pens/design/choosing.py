"""Choose for me: the one or two pen sizes that serve most bed area, at least cost or least weight.

PURE. A small exact search: every size that a kind of bed asks for, whole or divided, is designed; every
one and every pair of them is tried with every number of pens that holds the birds. A size whose floor
is not all within reach of its doors is left out.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import combinations
from math import ceil
from typing import Literal

from pens.design.assembly import Pen, design_pen
from pens.design.choices import BedSize, DesignError, PenDesign, Standing
from pens.design.lumber import meshes, profiles
from pens.design.shop import Shop
from pens.design.sizing import fit_rows, outside_for

MOST_ALONG = 4
"""Pens along a bed that are tried. Our choice."""

LONGEST_MM = 2440
"""Longest pen that is proposed [mm]: an 8 ft board, and about what two people carry level. Our choice."""

SHORTEST_MM = 600
"""Shortest. Our choice. [mm]"""

MOST_KINDS = 12
"""Kinds of bed that sizes are made for, at most: those with the most area. Our choice."""

WORTH_A_SIZE = 0.01
"""Share of the beds' area that a second size must add to be worth its trouble. Our choice."""


@dataclass(frozen=True, slots=True)
class Ask:
    """What is asked of the choice.

    Attributes
    ----------
    birds : int
        All of them together.
    limit_kg_m2, mass_g : float
        The density limit, and a bird's mean mass when it is heaviest. [kg/m², g]
    clearance_mm : float
        Gap on each side of a pen. [mm]
    by : {"cost", "weight"}
        Where a board or the wire has no price, weight decides.
    standing : {"inside", "over"}
    like : PenDesign
        Every choice but the size.
    shop : Shop
        For prices.
    """

    birds: int
    limit_kg_m2: float
    mass_g: float
    clearance_mm: float
    by: Literal["cost", "weight"] = "weight"
    standing: Standing = "inside"
    like: PenDesign = field(default_factory=lambda: PenDesign(2000, 1000))
    shop: Shop = field(default_factory=Shop)


@dataclass(frozen=True, slots=True)
class ChosenSize:
    """One size of the answer and how many of it; `places` is how many beds and halves it fits."""

    length_mm: int
    width_mm: int
    pens: int
    places: int
    floor_m2: float
    mass_kg: float


@dataclass(frozen=True, slots=True)
class Chosen:
    """The answer: sizes, the bed they serve of all there is [m²], and what decided between ties.

    `score` is the cost or the mass [kg] of all pens together, as `by` says. `enough` tells whether
    the pens hold all the birds.
    """

    sizes: tuple[ChosenSize, ...]
    served_m2: float
    beds_m2: float
    score: float
    by: Literal["cost", "weight"]
    enough: bool
    tried: int


@dataclass(frozen=True, slots=True)
class _Candidate:
    pen: Pen
    served: tuple[float, ...]
    places: int
    score: float


def choose_sizes(beds: Sequence[BedSize], ask: Ask) -> Chosen | None:
    """Choose pen sizes for a garden.

    Parameters
    ----------
    beds : sequence of BedSize
    ask : Ask

    Returns
    -------
    Chosen or None
        None where no pen can be built for any of the beds.
    """
    by: Literal["cost", "weight"] = "cost" if ask.by == "cost" and _has_prices(ask) else "weight"
    candidates = list(_candidates(beds, ask, by))
    if not candidates:
        return None
    need_m2 = ask.birds * ask.mass_g / 1000 / ask.limit_kg_m2
    groups = [*combinations(candidates, 1), *combinations(candidates, 2)]
    answers = [_answer(group, need_m2, beds, by) for group in groups]
    # Where nothing holds all the birds, what serves the beds best is told, and that it is not enough.
    answers = [answer for answer in answers if answer.enough] or answers
    most_m2 = max(answer.served_m2 for answer in answers)
    worth_m2 = WORTH_A_SIZE * answers[0].beds_m2
    near = [answer for answer in answers if answer.served_m2 >= most_m2 - worth_m2]
    best = min(near, key=lambda answer: (len(answer.sizes), answer.score))
    return replace(best, tried=len(groups))


def _candidates(
    beds: Sequence[BedSize], ask: Ask, by: Literal["cost", "weight"]
) -> Iterator[_Candidate]:
    thick = profiles()[ask.like.profile].thickness_mm
    for length, width in sorted(set(_sizes(beds, ask, thick))):
        try:
            pen = design_pen(replace(ask.like, length_mm=length, width_mm=width))
        except DesignError:
            continue
        if not pen.reach.covered:
            continue
        rows = fit_rows(pen.design, beds, ask.clearance_mm, ask.standing, thick)
        pairs = list(zip(rows[::2], rows[1::2], strict=True))
        served = tuple(max(one.covered_m2, other.covered_m2) for one, other in pairs)
        places = sum(max(one.places, other.places) for one, other in pairs)
        if places:
            yield _Candidate(pen, served, places, _score(pen, ask, by))


def _sizes(beds: Sequence[BedSize], ask: Ask, thick_mm: int) -> Iterator[tuple[int, int]]:
    counts = range(1, MOST_ALONG + 1) if ask.standing == "inside" else (1,)
    for bed in _main_kinds(beds):
        for along in counts:
            try:
                size = outside_for(bed, ask.clearance_mm, ask.standing, along, thick_mm)
            except DesignError:
                continue
            if SHORTEST_MM <= size[0] <= LONGEST_MM:
                yield size


def _main_kinds(beds: Sequence[BedSize]) -> list[BedSize]:
    """Return one bed of each size and kind, those first that make up most of the garden."""
    areas: dict[BedSize, float] = {}
    for bed in beds:
        kind = replace(bed, name="A bed")
        areas[kind] = areas.get(kind, 0.0) + bed.length_mm * bed.width_mm
    return sorted(areas, key=lambda kind: -areas[kind])[:MOST_KINDS]


def _answer(
    group: Sequence[_Candidate],
    need_m2: float,
    beds: Sequence[BedSize],
    by: Literal["cost", "weight"],
) -> Chosen:
    counts = _pens(group, need_m2)
    sizes = tuple(
        ChosenSize(
            one.pen.design.length_mm, one.pen.design.width_mm, pens, one.places,
            one.pen.floor_m2, one.pen.mass.total_kg,
        )
        for one, pens in zip(group, counts, strict=True)
    )  # fmt: skip
    floor = sum(pens * one.pen.floor_m2 for one, pens in zip(group, counts, strict=True))
    served = sum(max(areas) for areas in zip(*(one.served for one in group), strict=True))
    score = sum(pens * one.score for one, pens in zip(group, counts, strict=True))
    total = sum(bed.length_mm * bed.width_mm for bed in beds) / 1e6
    return Chosen(sizes, served, total, score, by, floor >= need_m2 - 1e-9, 1)


def _pens(group: Sequence[_Candidate], need_m2: float) -> tuple[int, ...]:
    """Return how many of each size, at least one, hold the birds for the least score.

    No more of a size than there are places for it; all of them where even those do not hold them.
    """
    if len(group) == 1:
        [only] = group
        return (min(only.places, max(1, ceil(need_m2 / only.pen.floor_m2 - 1e-9))),)
    one, other = group
    best: tuple[float, tuple[int, ...]] | None = None
    for first in range(1, one.places + 1):
        lacking = need_m2 - first * one.pen.floor_m2
        second = max(1, ceil(lacking / other.pen.floor_m2 - 1e-9))
        if second <= other.places:
            score = first * one.score + second * other.score
            if best is None or score < best[0]:
                best = score, (first, second)
    return best[1] if best else (one.places, other.places)


def _has_prices(ask: Ask) -> bool:
    mesh = f"wire-{meshes()[ask.like.mesh].key}-"
    boards = [
        offer.price
        for wood in (ask.like.profile, ask.like.strap)
        for offer in ask.shop.offers(wood)
    ]
    return None not in boards and any(key.startswith(mesh) for key in ask.shop.prices)


def _score(pen: Pen, ask: Ask, by: Literal["cost", "weight"]) -> float:
    """Return a pen's mass [kg], or what its wood and wire cost at the best price by the metre."""
    if by == "weight":
        return pen.mass.total_kg
    wood = sum(
        line.count * line.length_mm * _per_mm(ask.shop, line.profile) for line in pen.cut_list
    )
    wire = sum(roll.width_mm * roll.length_mm for roll in pen.rolls) * _per_mm2(ask)
    return float(wood) + wire


def _per_mm(shop: Shop, profile: str) -> Fraction:
    return min(Fraction(offer.price or 0) / offer.length_mm for offer in shop.offers(profile))


def _per_mm2(ask: Ask) -> float:
    """Return the best price of a square millimetre of wire among the rolls that have one."""
    mesh = f"wire-{meshes()[ask.like.mesh].key}-"
    rates = []
    for key, price in ask.shop.prices.items():
        if key.startswith(mesh):
            width, length = key[len(mesh) :].split("-")
            rates.append(float(price) / (int(width) * int(length)))
    return min(rates)
