"""What to take to the shop: boards by length, wire, tarp, screws, with what the shed already holds.

PURE. Boards are cut by `pens.cutting`, offcuts first; where a price is missing the least wood is
sought instead of the least money, and the list says what has no price.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from garden.words import gettext as _
from garden.words import mark
from pens.cutting.problem import TICKS_PER_MM, NotEnoughStockError, Plan, Problem, Stock
from pens.cutting.problem import Piece as CutPiece
from pens.cutting.search import cut_boards
from pens.design.assembly import Pen
from pens.design.choices import DesignError
from pens.design.lumber import meshes, profiles, species, tarp_cloths
from pens.design.materials import BuyingLine, RollLayout
from pens.design.shop import BoardOffer, Offcut, Shop

_HARDWARE_WORDS = {
    "screw": mark("Screws"),
    "staple": mark("Staples"),
    "washer": mark("Washers"),
    "hinge": mark("Hinges"),
    "latch": mark("Hooks and eyes"),
    "clip": mark("Spring clips"),
}


@dataclass(frozen=True, slots=True)
class Buying:
    """The list, how the boards are cut, what it weighs, and what it costs as far as prices go."""

    lines: tuple[BuyingLine, ...]
    problem: Problem
    plan: Plan

    @property
    def unpriced(self) -> tuple[BuyingLine, ...]:
        """What has to be bought at a price that is not known."""
        return tuple(line for line in self.lines if line.count and line.price is None)

    @property
    def cost(self) -> Fraction:
        """Of everything that has a price."""
        return sum((line.cost for line in self.lines if line.cost is not None), Fraction(0))

    @property
    def mass_kg(self) -> float:
        """To carry home. [kg]"""
        return sum(line.count * line.mass_g for line in self.lines) / 1000


def buying_list(
    pen: Pen,
    shop: Shop | None = None,
    shed: Sequence[Offcut] = (),
    seconds: float = 3.0,
    on_hand: Mapping[str, int] | None = None,
) -> Buying:
    """List what to buy for a pen.

    Parameters
    ----------
    pen : Pen
    shop : Shop or None
        The usual lengths without prices if None.
    shed : sequence of Offcut
        Wood that is there already; used before any is bought.
    seconds : float
        Time for the cutting plan. [s]
    on_hand : mapping of str to int or None
        What else is in the shed, by the key of its line.

    Returns
    -------
    Buying

    Raises
    ------
    DesignError
        If a piece is longer than any board, which it names.
    """
    shop, have = shop or Shop(), on_hand or {}
    problem = cutting_problem(pen, shop, shed)
    try:
        plan = cut_boards(problem, seconds)
    except NotEnoughStockError as error:
        told = _("The boards of {wood} do not suffice.").format(wood=error.profile)
        raise DesignError("boards", told) from None
    wanted = [*_wire(pen, shop), *_cover(pen), *_hardware(pen)]
    lines = [*_boards(pen, shop, plan, shed), *(_priced(line, shop, have) for line in wanted)]
    return Buying(tuple(lines), problem, plan)


def cutting_problem(pen: Pen, shop: Shop, shed: Sequence[Offcut] = ()) -> Problem:
    """Return what is to be cut for a pen; see `buying_list` for parameters and errors.

    A piece is named by its letter and name, such as ``A Base rail``.
    """
    stock: list[Stock] = []
    for profile in dict.fromkeys(line.profile for line in pen.cut_list):
        stock += [
            Stock(profile, _ticks(one.length_mm), Fraction(0), one.count)
            for one in shed
            if one.profile == profile and one.count
        ]
        stock += _stock(shop.offers(profile))
    trim = _ticks(shop.trim_mm)
    for line in pen.cut_list:
        longest = max(one.length_ticks for one in stock if one.profile == line.profile) - trim
        if _ticks(line.length_mm) > longest:
            left = max(0, longest) // TICKS_PER_MM
            told = _(
                "{piece} {letter} of {length} mm is longer than any board of {wood}: "
                "the longest gives {left} mm."
            ).format(
                piece=_(line.name),
                letter=line.letter,
                length=line.length_mm,
                wood=line.profile,
                left=left,
            )
            raise DesignError("boards", told)
    pieces = tuple(
        CutPiece(line.profile, _ticks(line.length_mm), line.count, f"{line.letter} {line.name}")
        for line in pen.cut_list
    )
    return Problem(_ticks(shop.kerf_mm), trim, tuple(stock), pieces)


def _stock(offers: Sequence[BoardOffer]) -> list[Stock]:
    """Return boards at their prices; where one is missing, at a price for each millimetre."""
    missing = any(offer.price is None for offer in offers)
    return [
        Stock(
            offer.profile,
            _ticks(offer.length_mm),
            Fraction(offer.length_mm) if missing else Fraction(offer.price or 0),
        )
        for offer in offers
    ]


def _ticks(length_mm: float) -> int:
    return round(Fraction(str(length_mm)) * TICKS_PER_MM)


def _boards(pen: Pen, shop: Shop, plan: Plan, shed: Sequence[Offcut]) -> Iterator[BuyingLine]:
    taken: Counter[tuple[str, int, bool]] = Counter()
    for board in plan.boards:
        from_shed = board.stock.available is not None
        taken[board.stock.profile, board.stock.length_ticks // TICKS_PER_MM, from_shed] += (
            board.count
        )
    dense = species()[pen.design.species]
    for (profile, length, from_shed), count in sorted(taken.items()):
        prices = {one.length_mm: one.price for one in shop.offers(profile)}
        section = profiles()[profile]
        yield BuyingLine(
            key=f"board-{profile}-{length}" + ("-shed" if from_shed else ""),
            kind="boards",
            what=dense.name,
            size=section.name,
            count=0 if from_shed else count,
            length_mm=length,
            on_hand=count if from_shed else 0,
            price=Fraction(0) if from_shed else prices[length],
            mass_g=section.section_mm2 * length / 1e9 * dense.kg_m3 * 1000,
        )


def _wire(pen: Pen, shop: Shop) -> Iterator[BuyingLine]:
    mesh = meshes()[pen.design.mesh]
    for roll in pen.rolls:
        for length, count in sorted(rolls_to_buy(roll, shop.rolls_mm).items()):
            yield BuyingLine(
                key=f"wire-{mesh.key}-{roll.width_mm}-{length}",
                kind="wire",
                what=mark("Hardware cloth"),
                size=mesh.name,
                count=count,
                length_mm=length,
                width_mm=roll.width_mm,
                mass_g=length * roll.width_mm / 1e6 * mesh.kg_m2 * 1000,
            )


def rolls_to_buy(layout: RollLayout, lengths_mm: Sequence[int]) -> Counter[int]:
    """Return how many rolls of each length to buy for a layout.

    Parameters
    ----------
    layout : RollLayout
    lengths_mm : sequence of int
        Of rolls on sale. [mm]

    Returns
    -------
    Counter of int
        The shortest one that holds all of it; where none does, the fewest metres of rolls that hold the
        stretches the layout can be parted into, proven by `pens.cutting`.

    Raises
    ------
    DesignError
        If a panel is longer than any roll.
    """
    one = [length for length in lengths_mm if length >= layout.length_mm]
    if one:
        return Counter([min(one)])
    longest = max(lengths_mm)
    panels = [p.panel.across_mm if p.turned else p.panel.along_mm for p in layout.panels]
    if max(panels) > longest:
        message = _("A panel of {length} mm is longer than any roll of wire.")
        raise DesignError("rolls_mm", message.format(length=max(panels)))
    # A stretch that no roll holds is cut panel by panel.
    blocks = layout.blocks_mm
    pieces = Counter(panels if max(blocks) > longest else blocks)
    problem = Problem(
        kerf_ticks=0,
        trim_ticks=0,
        stock=tuple(Stock("wire", length, Fraction(length)) for length in sorted(lengths_mm)),
        pieces=tuple(CutPiece("wire", length, n, "wire") for length, n in pieces.items()),
    )
    rolls: Counter[int] = Counter()
    for board in cut_boards(problem, _ROLL_SECONDS).boards:
        rolls[board.stock.length_ticks] += board.count
    return rolls


_ROLL_SECONDS = 0.5
"""Time for parting a layout among rolls [s]; a handful of stretches takes a hundredth. Our choice."""


def _cover(pen: Pen) -> Iterator[BuyingLine]:
    if pen.cover is None:
        return
    cover, cloth = pen.cover, tarp_cloths()[pen.design.tarp]
    size = (cover.tarp_length_mm, cover.tarp_width_mm)
    yield BuyingLine(
        key=f"tarp-{cloth.key}-{size[0]}-{size[1]}",
        kind="cover",
        what=mark("Tarp"),
        size=cloth.name,
        count=1,
        length_mm=size[0],
        width_mm=size[1],
        mass_g=size[0] * size[1] / 1e6 * cloth.kg_m2 * 1000,
    )


def _hardware(pen: Pen) -> Iterator[BuyingLine]:
    for line in pen.hardware:
        if line.buy:
            yield BuyingLine(
                key=f"screw-{line.length_mm}" if line.kind == "screw" else line.kind,
                kind="screws" if line.kind == "screw" else "hardware",
                what=_HARDWARE_WORDS[line.kind],
                size=line.what_for,
                count=line.buy,
                length_mm=line.length_mm,
                mass_g=line.each_g,
            )


def _priced(line: BuyingLine, shop: Shop, have: Mapping[str, int]) -> BuyingLine:
    """Take off what is in the shed, and put the price on."""
    used = min(line.count, max(0, have.get(line.key, 0)))
    return BuyingLine(
        line.key, line.kind, line.what, line.size, line.count - used, line.length_mm,
        line.width_mm, used, shop.prices.get(line.key), line.mass_g,
    )  # fmt: skip
