"""Panels of wire laid out on rolls, to the least wire.

PURE. Panels that are alike stay on one width of roll; every way of sharing the kinds out among the
widths is tried. On a roll the panels are laid one after the other in many orders, and where that
does not meet a bound, a small integer programme settles it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice, permutations, product

import highspy

from garden.quiet_highs import quiet_highs
from pens.design.materials import PlacedPanel, RollLayout, WirePanel

_MOST_SHARINGS = 243
_MOST_ORDERS = 100
_MOST_EXACT = 7
"""Ways of sharing kinds out, orders on a roll, and panels put to the integer programme, at most."""

_MOST_NODES = 60
"""Nodes of the integer programme for one roll: work and not the clock ends it, so that a layout is the
same every time. Our choice."""

_FEW_ORDERS = 3
"""Orders tried while the kinds are being shared out. Our choice."""

Size = tuple[int, int]
"""Across and along. [mm]"""

Spot = tuple[int, int, int, bool]
"""Number of a panel, where it lies along and across, and whether it is turned. [mm]"""


@dataclass(frozen=True, slots=True)
class _Packed:
    length: int
    spots: tuple[Spot, ...]
    bound: int


@lru_cache(maxsize=256)
def roll_layouts(
    panels: tuple[WirePanel, ...], widths_mm: tuple[int, ...]
) -> tuple[RollLayout, ...]:
    """Lay panels out on rolls so that the least area of wire is used; remembered.

    Parameters
    ----------
    panels : tuple of WirePanel
        Those cut out of an opening are left aside. Each fits the widest roll one way round.
    widths_mm : tuple of int
        Of the rolls that can be bought. [mm]

    Returns
    -------
    tuple of RollLayout
        One for each width that is used, the narrow first, with what these panels need at least of it.
    """
    cut = [panel for panel in panels if not panel.from_door]
    kinds = sorted({_size(panel) for panel in cut}, reverse=True)
    choices = [[w for w in sorted(set(widths_mm)) if min(kind) <= w] for kind in kinds]
    sharings = islice(product(*choices), _MOST_SHARINGS)
    sizes = [_size(panel) for panel in cut]
    best = min(sharings, key=lambda widths: _area(sizes, dict(zip(kinds, widths, strict=True))))
    width_of = dict(zip(kinds, best, strict=True))
    layouts = []
    for width in sorted(set(best)):
        mine = [panel for panel in cut if width_of[_size(panel)] == width]
        packed = _settled(tuple(_size(panel) for panel in mine), width)
        placed = tuple(
            PlacedPanel(mine[number], along, across, turned)
            for number, along, across, turned in packed.spots
        )
        layouts.append(RollLayout(width, packed.length, placed, min(packed.length, packed.bound)))
    return tuple(layouts)


def _size(panel: WirePanel) -> Size:
    return panel.across_mm, panel.along_mm


def _area(sizes: Sequence[Size], width_of: dict[Size, int]) -> int:
    total = 0
    for width in set(width_of.values()):
        mine = tuple(size for size in sizes if width_of[size] == width)
        total += width * _quick(mine, width, _FEW_ORDERS).length
    return total


def _turns(size: Size, width: int) -> list[tuple[int, int, bool]]:
    """Return the ways a panel fits a roll: across, along, turned."""
    across, along = size
    ways = [(across, along, False)] if across <= width else []
    if along <= width and along != across:
        ways.append((along, across, True))
    return ways


def _least_length(sizes: Sequence[Size], width: int) -> int:
    """Return a length that no layout goes below: by area, and by what lies beside nothing."""
    area = -(-sum(across * along for across, along in sizes) // width)
    shortest = [min(along for _, along, _ in _turns(size, width)) for size in sizes]
    alone = sum(
        short
        for size, short in zip(sizes, shortest, strict=True)
        if all(2 * across > width for across, _, _ in _turns(size, width))
    )
    return max(area, alone, *shortest)


@lru_cache(maxsize=4096)
def _quick(sizes: tuple[Size, ...], width: int, orders: int = _MOST_ORDERS) -> _Packed:
    """Lay panels in many orders, each as near the roll's start as it goes; keep the shortest."""
    bound = _least_length(sizes, width)
    best: _Packed | None = None
    for order in islice(_orders(sizes), orders):
        for prefer_turned in (False, True):
            spots, length = _laid(sizes, width, order, prefer_turned)
            if best is None or length < best.length:
                best = _Packed(length, spots, bound)
            if length <= bound:
                return best
    assert best is not None, "there is at least one order"
    return best


def _orders(sizes: Sequence[Size]) -> Iterator[Sequence[int]]:
    numbers = range(len(sizes))
    yield sorted(numbers, key=lambda n: (-max(sizes[n]), -min(sizes[n])))
    yield sorted(numbers, key=lambda n: (-min(sizes[n]), -max(sizes[n])))
    yield sorted(numbers, key=lambda n: -sizes[n][0] * sizes[n][1])
    seen = set()
    for order in islice(permutations(numbers), 20 * _MOST_ORDERS):
        alike = tuple(sizes[n] for n in order)
        if alike not in seen:
            seen.add(alike)
            yield order


def _laid(
    sizes: Sequence[Size], width: int, order: Sequence[int], prefer_turned: bool
) -> tuple[tuple[Spot, ...], int]:
    """Lay panels one by one where they end soonest, on the outline of those laid before."""
    outline = [(0, width, 0)]  # from, to across the roll; how far along it is taken
    spots: list[Spot] = []
    for number in order:
        best = None
        for across, along, turned in _turns(sizes[number], width):
            for left in {start for start, _, _ in outline} | {
                end - across for _, end, _ in outline
            }:
                if left < 0 or left + across > width:
                    continue
                at = max(far for s, e, far in outline if s < left + across and e > left)
                rank = (at + along, turned != prefer_turned, left)
                if best is None or rank < best[0]:
                    best = (rank, at, left, across, along, turned)
        assert best is not None, "every panel fits the roll"
        _, at, left, across, along, turned = best
        spots.append((number, at, left, turned))
        outline = _raised(outline, left, left + across, at + along)
    return tuple(spots), max(far for _, _, far in outline)


def _raised(
    outline: Sequence[tuple[int, int, int]], left: int, right: int, far: int
) -> list[tuple[int, int, int]]:
    parts = []
    for start, end, was in outline:
        if start < left:
            parts.append((start, min(end, left), was))
        if end > right:
            parts.append((max(start, right), end, was))
    return sorted([*parts, (left, right, far)])


def _settled(sizes: tuple[Size, ...], width: int) -> _Packed:
    """Return the shortest layout, proven where the integer programme comes to its end."""
    quick = _quick(sizes, width)
    if quick.length <= quick.bound or len(sizes) > _MOST_EXACT:
        return quick
    return _Programme(sizes, width, quick).solved()


class _Programme:
    """Which panel lies beside or before which, as an integer programme."""

    def __init__(self, sizes: tuple[Size, ...], width: int, quick: _Packed) -> None:
        self._sizes, self._width, self._quick = sizes, width, quick
        self._model = quiet_highs()
        most = quick.length
        self._length = self._model.addVariable(quick.bound, most, 1.0)
        self._along, self._across, self._turned = [], [], []
        for size in sizes:
            ways = _turns(size, width)
            low, high = (0, 1) if len(ways) == 2 else (int(ways[0][2]),) * 2
            self._along.append(self._model.addVariable(0, most, 0.0))
            self._across.append(self._model.addVariable(0, width, 0.0))
            self._turned.append(self._binary(low, high))

    def _binary(self, low: int = 0, high: int = 1) -> "highspy.highs.highs_var":
        return self._model.addVariable(low, high, 0.0, highspy.HighsVarType.kInteger)

    def solved(self) -> _Packed:
        """Solve, and fall back on the quick layout where nothing shorter is found."""
        for number, _ in enumerate(self._sizes):
            self._model.addConstr(self._far(number) <= self._length)
            self._model.addConstr(self._right(number) <= self._width)
        for one in range(len(self._sizes)):
            for other in range(one):
                self._apart(one, other)
        self._model.setOptionValue("mip_max_nodes", _MOST_NODES)
        self._model.run()
        proven = self._model.getModelStatus() == highspy.HighsModelStatus.kOptimal
        info, quick = self._model.getInfo(), self._quick
        feasible = highspy.SolutionStatus.kSolutionStatusFeasible
        if info.primal_solution_status != feasible:
            return quick
        length = round(info.objective_function_value)
        bound = length if proven else quick.bound
        if length >= quick.length:
            return _Packed(quick.length, quick.spots, quick.length if proven else quick.bound)
        return _Packed(length, self._spots(), bound)

    def _far(self, number: int) -> "highspy.highs.highs_linear_expression":
        across, along = self._sizes[number]
        return self._along[number] + along + (across - along) * self._turned[number]

    def _right(self, number: int) -> "highspy.highs.highs_linear_expression":
        across, along = self._sizes[number]
        return self._across[number] + across + (along - across) * self._turned[number]

    def _apart(self, one: int, other: int) -> None:
        """One of the two lies before, behind, left or right of the other."""
        most, width = self._quick.length, self._width
        ways = [self._binary() for _ in range(4)]
        self._model.addConstr(ways[0] + ways[1] + ways[2] + ways[3] >= 1)
        for way, (first, second) in zip(ways[:2], ((one, other), (other, one)), strict=True):
            self._model.addConstr(self._far(first) <= self._along[second] + 2 * most * (1 - way))
        for way, (first, second) in zip(ways[2:], ((one, other), (other, one)), strict=True):
            self._model.addConstr(
                self._right(first) <= self._across[second] + 2 * width * (1 - way)
            )

    def _spots(self) -> tuple[Spot, ...]:
        value = self._model.getSolution().col_value
        return tuple(
            (
                number,
                round(value[self._along[number].index]),
                round(value[self._across[number].index]),
                value[self._turned[number].index] > 0.5,
            )
            for number in range(len(self._sizes))
        )
