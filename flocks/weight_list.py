"""Weights typed one after the other: 1340 1290 1405, or 3 lb 2 oz, 2 lb 15 oz.

PURE.
"""

import re

from garden.units import BIRD_MASS, System
from garden.words import gettext as _

MOST_WEIGHTS = 500
"""Birds whose weights one entry may list. A choice."""

_BETWEEN = re.compile(
    r"""[;\n]              # 1.34; 1.29
      | ,\s+               # 1.34, 1.29
      | (?<=\d{3}),(?=\d)  # 1340,1290 can be no decimal: nobody weighs a bird to a hundredth gram
    """,
    re.VERBOSE,
)
_PLAIN = re.compile(r"[\d.,]+(\s+[\d.,]+)+")


def weights_read(text: str, system: System) -> list[float]:
    """Read the weights of single birds.

    Parameters
    ----------
    text : str
        Plain numbers in the system's unit with spaces between them, or weights with units and
        commas, semicolons or new lines between them.
    system : {"metric", "us"}
        Says what a plain number means.

    Returns
    -------
    list of float
        In the order typed [g].

    Raises
    ------
    ValueError
        With one plain sentence, for a part that cannot be read or too many weights.
    """
    weights = [BIRD_MASS.read(part, system) for part in _parts(text)]
    if len(weights) > MOST_WEIGHTS:
        raise ValueError(_("Give at most {most} weights at once.").format(most=MOST_WEIGHTS))
    return weights


def _parts(text: str) -> list[str]:
    parts: list[str] = []
    for part in _BETWEEN.split(text.strip()):
        part = part.strip(" ,")
        parts += part.split() if _PLAIN.fullmatch(part) else [part]
    return [part for part in parts if part]


def weights_entry(weights_g: list[float], system: System) -> str:
    """Write weights [g] so that `weights_read` takes them back."""
    return ", ".join(BIRD_MASS.entry(weight, system) for weight in weights_g)
