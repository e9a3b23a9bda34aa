"""A photo from a phone made into what is kept: judged by its content, small, and without its location.

PURE.
"""

import warnings
from dataclasses import dataclass
from io import BytesIO
from typing import BinaryIO

from PIL import Image, ImageOps

from garden.words import gettext as _
from garden.words import mark

FORMATS = ("JPEG", "PNG", "WEBP")
"""What is read. The content decides; what a file is called or claims to be is not looked at."""
MOST_BYTES = 15_000_000
"""The largest file that is looked at [byte]. Our choice: twice what a phone's camera writes."""
MOST_PIXELS = 50_000_000
"""The most points that are unpacked [1]. Our choice: 150 MB of memory for a moment."""
LARGE_PX, SMALL_PX = 1600, 320
"""The longer side of what is kept, to look at and to choose from [px]. Our choice."""
QUALITY = 82


class PictureError(ValueError):
    """The file is no photo that can be kept; the text says why, for the reader."""


NO_PHOTO = mark("This file is no photo. JPEG, PNG and WebP photos can be read.")

BROKEN = mark("This photo is damaged or was cut off on the way. Take it again, or choose another.")


def too_large() -> str:
    """Say that a file is larger than is read."""
    return _("This file is too large: {n} MB at most.").format(n=MOST_BYTES // 1_000_000)


def too_many_points() -> str:
    """Say that a photo has more points than are unpacked."""
    said = _("This photo is too large: {n} million points at most.")
    return said.format(n=MOST_PIXELS // 1_000_000)


@dataclass(frozen=True)
class Picture:
    """A photo as JPEG in two sizes, with the size of the larger one [px]."""

    large: bytes
    small: bytes
    width_px: int
    height_px: int


def picture_of(file: BinaryIO) -> Picture:
    """Read a photo and return what is kept of it.

    The points alone are written anew, so that nothing else that the file held, such as where and by whom it was
    taken, is kept.

    Raises
    ------
    PictureError
        Where the file is no photo, too large in bytes or points, or damaged.
    """
    content = file.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        raise PictureError(too_large())
    image = _opened(content)
    try:
        # A JPEG is unpacked no finer than is needed.
        image.draft("RGB", (LARGE_PX, LARGE_PX))
        upright = ImageOps.exif_transpose(image)
        large = _on_white(upright)
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError) as fault:
        raise PictureError(_(BROKEN)) from fault
    large.thumbnail((LARGE_PX, LARGE_PX), Image.Resampling.LANCZOS)
    small = large.copy()
    small.thumbnail((SMALL_PX, SMALL_PX), Image.Resampling.LANCZOS)
    return Picture(_written(large), _written(small), *large.size)


def picture_kept(content: bytes) -> Picture | None:
    """Return a large picture that was kept before, to the byte, with a small one; None where it is no such."""
    try:
        with Image.open(BytesIO(content), formats=("JPEG",)) as image:
            if max(image.size) > LARGE_PX or "exif" in image.info:
                return None
            small = image.convert("RGB")
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError):
        return None
    width_px, height_px = small.size
    small.thumbnail((SMALL_PX, SMALL_PX), Image.Resampling.LANCZOS)
    return Picture(content, _written(small), width_px, height_px)


def _opened(content: bytes) -> Image.Image:
    """Read the head of a file, and refuse it by what that says before anything is unpacked."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            image = Image.open(BytesIO(content), formats=FORMATS)
    except Image.DecompressionBombError:
        raise PictureError(too_many_points()) from None
    except (OSError, SyntaxError, ValueError) as fault:
        raise PictureError(_(NO_PHOTO)) from fault
    if image.width * image.height > MOST_PIXELS:
        raise PictureError(too_many_points())
    return image


def _on_white(image: Image.Image) -> Image.Image:
    """Return the points alone, on white where they can be seen through."""
    paper = Image.new("RGB", image.size, "white")
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        seen = image.convert("RGBA")
        paper.paste(seen, mask=seen.getchannel("A"))
    else:
        paper.paste(image.convert("RGB"))
    return paper


def _written(image: Image.Image) -> bytes:
    written = BytesIO()
    image.save(written, "JPEG", quality=QUALITY, optimize=True, progressive=True)
    return written.getvalue()
