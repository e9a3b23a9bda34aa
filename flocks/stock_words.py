"""The freezer in a few words."""

from flocks.models import Pack, PackOut
from garden.units import FEED_MASS, System
from garden.words import gettext as _
from garden.words import ngettext


def packs_in_words(count: int) -> str:
    """Write how many packs."""
    return ngettext("{n} pack", "{n} packs", count).format(n=count)


def pack_in_words(row: Pack, system: System) -> str:
    """Write what went in."""
    return _packs_of(row.count, row.get_cut_display(), row.mass_kg, system)


def out_in_words(row: PackOut, system: System) -> str:
    """Write what came out; reads the pack."""
    told = {
        "packs": _packs_of(row.count, row.pack.get_cut_display(), row.mass_kg, system),
        "why": row.get_why_display().lower(),
        "person": row.to_whom,
    }
    if row.to_whom:
        return _("{packs}: {why} to {person}").format(**told)
    return _("{packs}: {why}").format(**told)


def _packs_of(count: int, cut: str, mass_kg: float, system: System) -> str:
    told = ngettext("{n} pack of {cut}, {mass}", "{n} packs of {cut}, {mass}", count)
    return told.format(n=count, cut=cut.lower(), mass=FEED_MASS.show(mass_kg, system))
