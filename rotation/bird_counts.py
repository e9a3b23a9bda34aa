"""Birds and chicks by number, in words.

PURE.
"""

from garden.words import ngettext


def birds(count: int) -> str:
    """Write a count: ``1 bird``, ``12 birds``."""
    return ngettext("{n} bird", "{n} birds", count).format(n=count)


def chicks(count: int) -> str:
    """Write a count: ``1 chick``, ``12 chicks``."""
    return ngettext("{n} chick", "{n} chicks", count).format(n=count)
