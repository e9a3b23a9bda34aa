"""The freezer in a few words."""

from flocks.models import Pack, PackOut
from garden.units import FEED_MASS, System


def packs_in_words(count: int) -> str:
    """Write how many packs."""
    return "1 pack" if count == 1 else f"{count} packs"


def pack_in_words(row: Pack, system: System) -> str:
    """Write what went in."""
    mass = FEED_MASS.show(row.mass_kg, system)
    return f"{packs_in_words(row.count)} of {row.get_cut_display().lower()}, {mass}"


def out_in_words(row: PackOut, system: System) -> str:
    """Write what came out; reads the pack."""
    whom = f" to {row.to_whom}" if row.to_whom else ""
    what = f"{packs_in_words(row.count)} of {row.pack.get_cut_display().lower()}"
    return f"{what}, {FEED_MASS.show(row.mass_kg, system)}: {row.get_why_display().lower()}{whom}"
