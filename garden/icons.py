"""The product's mark: a pen over the measuring tape, written once and drawn as SVG and as PNG.

PURE. Everything is in units of a picture 64 wide.
"""

from io import BytesIO
from pathlib import Path

from PIL import Image, ImageDraw

SIDE = 64
INK, TAPE = "#14191c", "#ffc629"
CORNER = 10
TAPE_BOX = (6, 40, 58, 54)
TICKS = ((14, 8), (22, 5), (30, 8), (38, 5), (46, 8))
"""Where along the tape a tick stands, and how long it is."""
TICK_WIDTH = 3
PEN = ((14, 36), (14, 22), (32, 11), (50, 22), (50, 36))
PEN_WIDTH = 5
ICON_SIZES_PX = (192, 512)
"""The sizes that phones ask for [px]."""
TOUCH_ICON_PX = 180
SAFE_SHARE = 0.8
"""The share of a PNG's side that the mark takes, so that a phone may cut it to a circle [1]. The safe zone of
maskable icons is a circle of that width: W3C, Web Application Manifest, "Icon masks and safe zone"."""
FINER = 4
"""How much larger a PNG is drawn before it is made small, for smooth edges [1]."""


def icon_svg() -> str:
    """Return the mark as an SVG picture."""
    left, top, right, bottom = TAPE_BOX
    ticks = "".join(f"M{x} {top}v{length}" for x, length in TICKS)
    (x, y), *rest = PEN
    pen = f"M{x} {y}" + "".join(f"L{x} {y}" for x, y in rest)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {SIDE} {SIDE}">'
        f'<rect width="{SIDE}" height="{SIDE}" rx="{CORNER}" fill="{INK}"/>'
        f'<path d="M{left} {top}H{right}V{bottom}H{left}z" fill="{TAPE}"/>'
        f'<path d="{ticks}" stroke="{INK}" stroke-width="{TICK_WIDTH}"/>'
        f'<path d="{pen}" fill="none" stroke="{TAPE}" stroke-width="{PEN_WIDTH}"/></svg>\n'
    )


def icon_png(side_px: int) -> bytes:
    """Return the mark as a square PNG picture that a phone may cut to any shape."""
    fine_px = side_px * FINER
    scale = fine_px * SAFE_SHARE / SIDE
    margin = fine_px * (1 - SAFE_SHARE) / 2

    def at(x: float, y: float) -> tuple[float, float]:
        return margin + x * scale, margin + y * scale

    picture = Image.new("RGB", (fine_px, fine_px), INK)
    pencil = ImageDraw.Draw(picture)
    left, top, right, bottom = TAPE_BOX
    pencil.rectangle((at(left, top), at(right, bottom)), fill=TAPE)
    for x, length in TICKS:
        half = TICK_WIDTH / 2
        pencil.rectangle((at(x - half, top), at(x + half, top + length)), fill=INK)
    pencil.line([at(*point) for point in PEN], TAPE, round(PEN_WIDTH * scale), joint="curve")
    written = BytesIO()
    picture.resize((side_px, side_px), Image.Resampling.LANCZOS).save(written, "PNG", optimize=True)
    return written.getvalue()


def write_icons(folder: Path) -> list[Path]:
    """Write every icon into a folder and return their paths."""
    drawn = {"icon.svg": icon_svg().encode()}
    drawn |= {f"icon-{side}.png": icon_png(side) for side in (TOUCH_ICON_PX, *ICON_SIZES_PX)}
    for name, content in drawn.items():
        (folder / name).write_bytes(content)
    return [folder / name for name in drawn]
