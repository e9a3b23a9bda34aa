"""The Cut boards form: rows of pieces, rows of boards to be had, and the saw."""

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy

from garden.forms import GardenForm, NumberField, QuantityField
from garden.models import Garden
from garden.units import PEN_LENGTH
from garden.words import gettext as _
from pens.cutting.problem import TICKS_PER_MM, Piece, Problem, Stock

MOST_OF_ONE = 500
MOST_ROWS = 40
"""Pieces of one length, and rows of each table, that the page takes. Our choice: many times a pen."""


def _length(label: str, **limits: float) -> QuantityField:
    return QuantityField(PEN_LENGTH, label=label, **limits)


class _CutForm(GardenForm, forms.Form):
    """A row that may stay empty; the browser must not insist on it."""

    use_required_attribute = False


class PieceForm(_CutForm):
    """Pieces of one length."""

    name = forms.CharField(label=gettext_lazy("Piece"), max_length=40)
    profile = forms.CharField(label=gettext_lazy("Wood"), max_length=20)
    length_mm = _length(gettext_lazy("Length"), least=1, most=20_000)
    count = forms.IntegerField(label=gettext_lazy("How many"), min_value=1, max_value=MOST_OF_ONE)


class StockForm(_CutForm):
    """Boards of one length that can be had."""

    profile = forms.CharField(label=gettext_lazy("Wood"), max_length=20)
    length_mm = _length(gettext_lazy("Board length"), least=1, most=20_000)
    price = NumberField(
        label=gettext_lazy("Price of one"),
        min_value=0,
        max_value=100_000,
        error_messages={"required": gettext_lazy("Say what one costs, or empty the whole line.")},
    )
    available = forms.IntegerField(
        label=gettext_lazy("On hand"), required=False, min_value=0, max_value=10_000
    )


class SawForm(_CutForm):
    """What the saw takes."""

    kerf_mm = QuantityField(
        PEN_LENGTH,
        label=gettext_lazy("Saw cut"),
        least=0,
        most=20,
        help_text=gettext_lazy(
            "What the blade turns to dust. About 3 mm (1/8 in) is usual (from memory)."
        ),
    )
    trim_mm = QuantityField(
        PEN_LENGTH,
        label=gettext_lazy("Trimmed off each board first"),
        least=0,
        most=500,
        help_text=gettext_lazy("To square a rough end, the saw cut included. 0 for none."),
    )


class CutSheetForm:
    """The three parts as one: bound to a query, or unbound with what a row starts from."""

    def __init__(self, garden: Garden, pieces: list[Any], stock: list[Any], saw: SawForm) -> None:
        self.garden, self.pieces, self.stock, self.saw = garden, pieces, stock, saw
        self.fault = ""

    @classmethod
    def asked(cls, garden: Garden, query: QueryDict) -> "CutSheetForm":
        """Read a query that wants an answer."""
        pieces = [_row(PieceForm, garden, "piece", n, query) for n in _rows(query, "pieces", 1)]
        stock = [_row(StockForm, garden, "stock", n, query) for n in _rows(query, "stocks", 1)]
        return cls(garden, pieces, stock, SawForm(query, garden=garden))

    @classmethod
    def widened(cls, garden: Garden, query: QueryDict) -> "CutSheetForm":
        """Keep what was typed, unjudged, and add rows where the query asks for more."""
        more = query.get("more")
        piece_rows = _rows(query, "pieces", 1, more=4 if more == "pieces" else 0)
        stock_rows = _rows(query, "stocks", 1, more=2 if more == "stocks" else 0)
        pieces = [_typed(PieceForm, query, f"piece-{n}-") for n in piece_rows]
        stock = [_typed(StockForm, query, f"stock-{n}-") for n in stock_rows]
        return cls.started(garden, pieces, stock, _typed(SawForm, query, ""))

    @classmethod
    def started(
        cls,
        garden: Garden,
        pieces: Iterable[Mapping[str, Any]] = (),
        stock: Iterable[Mapping[str, Any]] = (),
        saw: Mapping[str, Any] | None = None,
    ) -> "CutSheetForm":
        """Start with some rows filled in, at least three of each in all."""
        piece_rows = [
            PieceForm(garden=garden, prefix=f"piece-{n}", initial=row)
            for n, row in enumerate(_padded(pieces, 3))
        ]
        stock_rows = [
            StockForm(garden=garden, prefix=f"stock-{n}", initial=row)
            for n, row in enumerate(_padded(stock, 3))
        ]
        return cls(garden, piece_rows, stock_rows, SawForm(garden=garden, initial=saw or {}))

    @property
    def parts(self) -> list[forms.Form]:
        """Every form of the page."""
        return [*self.pieces, *self.stock, self.saw]

    @property
    def faults(self) -> list[tuple[str, str]]:
        """Return every fault as the field's id and the sentence, for the summary."""
        piece, board = _("Piece {n}, {field}: {error}"), _("Board {n}, {field}: {error}")
        rows = [(piece, n, row) for n, row in enumerate(self.pieces, 1)]
        rows += [(board, n, row) for n, row in enumerate(self.stock, 1)]
        return [
            (bound.auto_id, told.format(n=n, field=bound.label, error=error))
            for told, n, part in [*rows, ("{field}: {error}", 0, self.saw)]
            for bound in part
            for error in bound.errors
        ]

    def is_valid(self) -> bool:
        """Whether every row is right, there is a piece to cut, and a board long enough for each."""
        # Every part is asked, so that every fault is told at once.
        if [part for part in self.parts if not part.is_valid()]:
            return False
        if not self._filled(self.pieces):
            self.pieces[0].add_error("length_mm", _("Give at least one piece to cut."))
        for row in self._filled(self.pieces):
            self._check_length(row)
        return not self.faults

    def problem(self) -> Problem:
        """Return what the rows ask."""
        return Problem(
            kerf_ticks=_ticks(self.saw.cleaned_data["kerf_mm"]),
            trim_ticks=_ticks(self.saw.cleaned_data["trim_mm"]),
            stock=tuple(_stock(row.cleaned_data) for row in self._filled(self.stock)),
            pieces=tuple(_piece(row.cleaned_data) for row in self._filled(self.pieces)),
        )

    def _filled(self, rows: list[Any]) -> list[Any]:
        return [row for row in rows if row.has_changed()]

    def _check_length(self, row: PieceForm) -> None:
        profile = _profile(row.cleaned_data)
        boards = [
            _ticks(board.cleaned_data["length_mm"])
            for board in self._filled(self.stock)
            if _profile(board.cleaned_data) == profile
        ]
        if not boards:
            told = _("There is no board of {profile} among those you can get.")
            row.add_error("profile", told.format(profile=profile))
            return
        longest_ticks = max(boards) - _ticks(self.saw.cleaned_data["trim_mm"])
        if _ticks(row.cleaned_data["length_mm"]) > longest_ticks:
            longest_mm = max(0, longest_ticks) / TICKS_PER_MM
            length = PEN_LENGTH.show(longest_mm, self.garden.unit_system)
            told = _("The longest board of {profile} gives {length}.")
            row.add_error("length_mm", told.format(profile=profile, length=length))


def _rows(query: QueryDict, name: str, least: int, more: int = 0) -> range:
    typed = query.get(name, "")
    rows = int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 4 else least
    return range(min(max(rows, least) + more, MOST_ROWS))


def _row(kind: type[_CutForm], garden: Garden, prefix: str, number: int, query: QueryDict) -> Any:
    return kind(query, garden=garden, prefix=f"{prefix}-{number}", empty_permitted=True)


def _typed(kind: type[_CutForm], query: QueryDict, prefix: str) -> dict[str, str]:
    return {name: query.get(f"{prefix}{name}", "") for name in kind.base_fields}


def _padded(rows: Iterable[Mapping[str, Any]], least: int) -> list[Mapping[str, Any]]:
    filled = list(rows)
    return filled + [{}] * (least - len(filled))


def _profile(cleaned: Mapping[str, Any]) -> str:
    """Write 2x3, 2 X 3 and 2×3 alike."""
    return "".join(cleaned["profile"].lower().replace("×", "x").split())


def _stock(cleaned: Mapping[str, Any]) -> Stock:
    price = Fraction(str(cleaned["price"]))
    return Stock(_profile(cleaned), _ticks(cleaned["length_mm"]), price, cleaned["available"])


def _piece(cleaned: Mapping[str, Any]) -> Piece:
    return Piece(_profile(cleaned), _ticks(cleaned["length_mm"]), cleaned["count"], cleaned["name"])


def _ticks(length_mm: float) -> int:
    """Round to the nearest tick, so that a piece as long as its board stays so in any unit."""
    return round(Fraction(str(length_mm)) * TICKS_PER_MM)
