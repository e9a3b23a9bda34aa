"""A web address as a QR code, for paper.

PURE.
"""

from functools import lru_cache

import segno

KEPT = 1000
"""Codes kept in memory, some 2 kB each: drawing one takes longer than all else of a label. Our choice."""


@lru_cache(maxsize=KEPT)
def qr_svg(text: str) -> str:
    """Return an SVG drawing of a QR code, without a size of its own.

    Parameters
    ----------
    text : str
        What a phone reads from it, up to some 2000 characters.

    Returns
    -------
    str
        An ``svg`` element of the class ``qr``. A quarter of the drawing's damage is mended at reading
        (level Q), which a label beside wet soil needs; the quiet zone of four modules is part of it.

    Raises
    ------
    ValueError
        For a text too long for any code.
    """
    code = segno.make(text, micro=False, error="q", boost_error=False)
    return code.svg_inline(omitsize=True, svgclass="qr", lineclass=None, border=4)
