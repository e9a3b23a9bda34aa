"""A sheet written as SVG: inside a page, where the style sheet colours it, or as a file of its own.

PURE.
"""

from html import escape

from pens.drawings.shapes import Disc, Outline, Shape, Sheet, Words

FILE_STYLE = """
text{font-family:sans-serif;font-weight:600;fill:#000}
.letter{fill:#fff}.halo{fill:none;stroke:#fff;stroke-width:5;stroke-linejoin:round}
.timber{fill:#fff;stroke:#000;stroke-width:1}.new{fill:#ffc629;stroke:#000;stroke-width:1.2}
.before{fill:#f2f2f2;stroke:#999;stroke-width:.7}.mesh{fill:none;stroke:#666;stroke-width:.7}
.wired{fill:#ddd;fill-opacity:.6;stroke:#000;stroke-width:1;stroke-dasharray:3 3}
.leaf{fill:none;stroke:#084590;stroke-width:2}.sheeting{fill:#dde3e6;stroke:#000;stroke-width:1}
.dim-line{fill:none;stroke:#000;stroke-width:1}.witness{fill:none;stroke:#777;stroke-width:.6}
.leader{fill:none;stroke:#000;stroke-width:1}.leader-end,.spot{fill:#000}
.ruler{fill:#ffc629;stroke:#000;stroke-width:1}.ruler-tick{fill:none;stroke:#000;stroke-width:1}
.bed-wall{fill:none;stroke:#777;stroke-width:2;stroke-dasharray:6 4}
.diagonal{fill:none;stroke:#000;stroke-width:1.2;stroke-dasharray:7 4}
.thing{fill:#fff;stroke:#000;stroke-width:1.2}.worst{fill:#d55e00;stroke:#000;stroke-width:1}
"""
"""Of a file on its own, for paper; a page has the same classes in its style sheet, in its own colours."""


def svg_for_page(sheet: Sheet) -> str:
    """Return a sheet for a page: as wide as there is room, and true to scale on paper."""
    # On paper the style sheet takes width and height from here; on a screen it overrides them.
    return (
        f'<svg class="sheet-drawing" {_box(sheet)} {_size(sheet)} role="img"'
        f' aria-label="{escape(f"{sheet.title}. {sheet.told}")}">{_body(sheet)}</svg>'
    )


def svg_file(sheet: Sheet) -> str:
    """Return a sheet as a file, `Sheet.one_to` its own size on paper."""
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" {_box(sheet)} {_size(sheet)}>\n'
        f"<title>{escape(sheet.title)}, 1:{sheet.one_to}</title>\n"
        f"<desc>{escape(sheet.told)}</desc>\n"
        f"<style>{FILE_STYLE}</style>\n{_body(sheet)}\n</svg>\n"
    )


def _box(sheet: Sheet) -> str:
    corner = f"{_number(sheet.frame.left)} {_number(sheet.frame.top)}"
    return f'viewBox="{corner} {_number(sheet.width)} {_number(sheet.height)}"'


def _size(sheet: Sheet) -> str:
    return f'width="{sheet.printed_width_mm}mm" height="{sheet.printed_height_mm}mm"'


def _body(sheet: Sheet) -> str:
    return "".join(_drawn(shape) for shape in sheet.shapes)


def _drawn(shape: Shape) -> str:
    if isinstance(shape, Outline):
        return _outline(shape)
    if isinstance(shape, Disc):
        at = f'cx="{_number(shape.x)}" cy="{_number(shape.y)}" r="{_number(shape.radius)}"'
        return f'<circle class="{shape.kind}" {at}/>'
    return _words(shape)


def _outline(shape: Outline) -> str:
    [(x, y), *rest] = [(round(x, 1), round(y, 1)) for x, y in shape.points]
    path = [f"M{_number(x)} {_number(y)}"]
    for next_x, next_y in rest:
        # Steps rather than places: they are shorter, and alike from piece to piece.
        path.append(f"l{_number(next_x - x)} {_number(next_y - y)}")
        x, y = next_x, next_y
    return f'<path class="{shape.kind}" d="{"".join(path)}{"" if shape.is_open else "z"}"/>'


def _words(words: Words) -> str:
    x, y = _number(words.x), _number(words.y)
    turn = f' transform="rotate(-90 {x} {y})"' if words.upright else ""
    return (
        f'<text class="{words.kind}" x="{x}" y="{y}" font-size="{_number(words.size)}"'
        f' text-anchor="middle"{turn}>{escape(words.text)}</text>'
    )


def _number(value: float) -> str:
    """Write a number to a tenth, without idle digits."""
    return f"{round(value, 1) + 0.0:g}"
