"""A design's buying list as a garden sees it: its prices, its shed, its ticks. Rows in, values out."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from garden.units import PEN_LENGTH, System
from garden.words import gettext as _
from garden.words import mark
from pens.built import Purse, buying_of, pen_of
from pens.design import BoardOffer, Buying, BuyingLine, Offcut, PenDesign, Shop
from pens.models import Design, Price, ShedItem

TITLES = {
    "boards": mark("Boards"),
    "wire": mark("Wire"),
    "cover": mark("Cover"),
    "screws": mark("Screws"),
    "hardware": mark("Hardware"),
}
BOARD = "board-"


@dataclass(frozen=True, slots=True)
class ShopLine:
    """A line for the shop: in words, what it costs, and whether it is in the trolley."""

    key: str
    words: str
    count: int
    on_hand: int
    price: float | None
    cost: float | None
    got: bool


@dataclass(frozen=True, slots=True)
class ShopGroup:
    """Lines of one kind, together in the shop."""

    title: str
    lines: tuple[ShopLine, ...]


@dataclass(frozen=True, slots=True)
class ShopList:
    """All there is to buy; `in_shed` is what lies there already."""

    groups: tuple[ShopGroup, ...]
    in_shed: tuple[ShopLine, ...]
    cost_known: float | None
    unpriced: int
    mass_kg: float
    left: int


def purse_of(design: Design, choices: PenDesign) -> Purse:
    """Read what a garden pays and has; two queries."""
    prices = {
        row.key: Fraction(row.amount) for row in Price.objects.filter(garden=design.garden_id)
    }
    shed = list(ShedItem.objects.filter(garden=design.garden_id))
    return Purse(
        boards=tuple(_offers(choices, prices)),
        kerf_mm=design.kerf_mm,
        trim_mm=design.trim_mm,
        rolls_mm=tuple(design.roll_lengths_mm),
        prices=tuple(sorted(prices.items())),
        offcuts=tuple(
            Offcut(row.key.removeprefix(BOARD), int(row.length_mm), row.count)
            for row in shed
            if row.key.startswith(BOARD)
        ),
        on_hand=tuple((row.key, row.count) for row in shed if not row.key.startswith(BOARD)),
    )


def _offers(choices: PenDesign, prices: Mapping[str, Fraction]) -> Iterable[BoardOffer]:
    """Return the boards that have a price, or the usual lengths where those are too short.

    A garden that has told some prices cannot get the other lengths; without any price all usual lengths are
    taken for had.
    """
    longest: dict[str, int] = {}
    for line in pen_of(choices).cut_list:
        longest[line.profile] = max(longest.get(line.profile, 0), line.length_mm)
    for profile, longest_mm in longest.items():
        priced = [
            BoardOffer(profile, int(key.rpartition("-")[2]), price)
            for key, price in sorted(prices.items())
            if key.startswith(f"{BOARD}{profile}-")
        ]
        if priced and max(offer.length_mm for offer in priced) >= longest_mm:
            yield from priced
        else:
            yield from _usual(profile, priced)


def _usual(profile: str, priced: list[BoardOffer]) -> Iterable[BoardOffer]:
    told = {offer.length_mm: offer for offer in priced}
    usual = {offer.length_mm: offer for offer in Shop().offers(profile)}
    yield from (usual | told).values()


def shop_list(buying: Buying, system: System, got: set[str]) -> ShopList:
    """Group the lines of a buying list.

    Parameters
    ----------
    buying : Buying
    system : {"metric", "us"}
        Units of the sizes.
    got : set of str
        Keys of the lines that are in the trolley.
    """
    lines = {
        line.key: _line(line, system, got) for line in buying.lines if line.count or line.on_hand
    }
    kinds = {line.key: line.kind for line in buying.lines}
    groups = []
    for kind, title in TITLES.items():
        wanted = tuple(one for key, one in lines.items() if kinds[key] == kind and one.count)
        if wanted:
            groups.append(ShopGroup(_(title), wanted))
    to_buy = [line for group in groups for line in group.lines]
    return ShopList(
        groups=tuple(groups),
        in_shed=tuple(line for line in lines.values() if not line.count),
        cost_known=float(buying.cost) if any(line.price is not None for line in to_buy) else None,
        unpriced=sum(line.price is None for line in to_buy),
        mass_kg=buying.mass_kg,
        left=sum(not line.got for line in to_buy),
    )


def _line(line: BuyingLine, system: System, got: set[str]) -> ShopLine:
    return ShopLine(
        key=line.key,
        words=line_words(line, system),
        count=line.count,
        on_hand=line.on_hand,
        price=None if line.price is None else float(line.price),
        cost=None if line.cost is None else float(line.cost),
        got=line.key in got,
    )


def line_words(line: BuyingLine, system: System) -> str:
    """Write what to ask for in the shop, in the garden's units."""
    what, kind = _(line.what), _(line.size)
    long, wide = (PEN_LENGTH.show(side, system) for side in (line.length_mm, line.width_mm))
    if line.kind == "boards":
        return _("{section}, {long} long, {wood}").format(section=kind, long=long, wood=what)
    if line.kind == "wire":
        told = _("{what}, {cloth}, roll {wide} wide, {long} long")
        return told.format(what=what, cloth=kind.lower(), wide=wide, long=long)
    size = long if line.length_mm else ""
    if line.length_mm and line.width_mm:
        size = _("{length} by {width}").format(length=long, width=wide)
    parts = [what, size, kind]
    return ", ".join(part for part in parts if part)


def buying_for(design: Design, choices: PenDesign) -> Buying:
    """Return a design's buying list at its garden's prices; two queries.

    Raises
    ------
    DesignError
        If a piece is longer than any board.
    """
    return buying_of(choices, purse_of(design, choices))
