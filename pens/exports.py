"""The cut list and the buying list as comma-separated tables.

PURE. A spreadsheet runs a cell that starts like a formula, and a bed or a design may be called anything; so
such a text gets an apostrophe in front, which a spreadsheet shows as plain text.
"""

import csv
from collections.abc import Iterable, Sequence
from fractions import Fraction
from io import StringIO

from garden.words import gettext as _
from garden.words import local_mark, mark
from pens.design.values import CutLine, Hole
from pens.drawings.shapes import inch_words

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""What a spreadsheet may take for the start of a formula, full-width forms included."""

CUT_HEADINGS = (
    "letter", "piece", "wood", "how many", "length mm", "length in", "ends off square deg", "holes",
)  # fmt: skip


def csv_text(headings: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """Write a table; texts that start like a formula are made harmless.

    Parameters
    ----------
    headings : sequence of str
        With units where a column has one.
    rows : iterable of sequence
        Numbers are written plainly, None as nothing.
    """
    out = StringIO()
    writer = csv.writer(out)
    writer.writerow(headings)
    for row in rows:
        writer.writerow([_cell(value) for value in row])
    return out.getvalue()


def cut_rows(lines: Iterable[CutLine], wood_words: dict[str, str]) -> list[tuple[object, ...]]:
    """Return the cut list's rows, under `CUT_HEADINGS`.

    Parameters
    ----------
    lines : iterable of CutLine
    wood_words : dict of str to str
        What each profile is called.
    """
    return [
        (
            line.letter,
            _(line.name),
            wood_words.get(line.profile, line.profile),
            line.count,
            line.length_mm,
            inch_words(line.length_mm).removesuffix("″"),
            _("{first} and {last}").format(first=line.cuts_deg[0], last=line.cuts_deg[1]),
            holes_words(line.holes),
        )
        for line in lines
    ]


def holes_words(holes: Iterable[Hole]) -> str:
    """Write the holes of a piece: where from its start, with which drill."""
    by_drill: dict[tuple[float, int, str], list[int]] = {}
    for hole in holes:
        by_drill.setdefault((hole.bit_mm, hole.screw_mm, hole.side), []).append(hole.at_mm)
    return "; ".join(
        _(_FROM[side]).format(
            bit=local_mark(f"{bit_mm:g}"),
            screw=screw_mm,
            places=", ".join(str(at) for at in sorted(set(at_mm))),
        )
        for (bit_mm, screw_mm, side), at_mm in sorted(by_drill.items())
    )


_FROM = {
    "across": mark("{bit} mm drill for screws of {screw} mm, from the side, at {places} mm"),
    "up": mark("{bit} mm drill for screws of {screw} mm, from the edge, at {places} mm"),
}


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, Fraction):
        return f"{float(value):.2f}"
    if isinstance(value, int | float):
        return f"{value:g}" if isinstance(value, float) else str(value)
    text = str(value)
    return f"'{text}" if text.lstrip(" ").startswith(FORMULA_STARTS) else text
