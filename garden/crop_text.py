"""A crop's figures as a grower reads them, in the garden's units.

PURE. Rows hold kg/ha, kg/m² and g/kg; a garden in the United States reads pounds on 1,000 sq ft, on a
square foot and in a hundred pounds.
"""

from garden.crop_units import LOADS_KG_HA
from garden.npk import Npk
from garden.unit_sizes import POUND_PER_SQUARE_FOOT_KG_M2, SQUARE_FOOT_M2
from garden.units import PEN_LENGTH, System
from garden.words import figure, local_mark
from garden.words import gettext as _

KG_HA_PER_LB_1000_FT2 = float(LOADS_KG_HA[-1].size)
KG_M2_PER_LB_FT2 = float(POUND_PER_SQUARE_FOOT_KG_M2)


def load_words(kg_ha: float, system: System) -> str:
    """Write a load: ``155 kg/ha`` or ``3.2 lb/1,000 sq ft``."""
    if system == "us":
        return f"{figure(kg_ha / KG_HA_PER_LB_1000_FT2, 1)} lb/1,000 sq ft"
    return f"{kg_ha:.0f} kg/ha"


def need_words(kg_ha: float, system: System) -> str:
    """Write a crop's need, with the same for the square of a bed."""
    grams = kg_ha / 10
    if system == "us":
        return f"{load_words(kg_ha, system)}, {figure(grams * SQUARE_FOOT_M2, 1)} g/sq ft"
    return f"{local_mark(f'{kg_ha:g}')} kg/ha, {local_mark(f'{grams:g}')} g/m²"


def yield_words(kg_m2: float, system: System) -> str:
    """Write a harvest: ``4.48 kg/m²`` or ``0.92 lb/sq ft``."""
    if system == "us":
        return f"{figure(kg_m2 / KG_M2_PER_LB_FT2, 2)} lb/sq ft"
    return local_mark(f"{kg_m2:g} kg/m²")


def content_words(content: Npk, system: System) -> str:
    """Write what a harvest holds: grams in a kilogram, or pounds in a hundred pounds."""
    share, unit = (0.1, _("lb in 100 lb")) if system == "us" else (1.0, _("g in 1 kg"))
    n, p, k = (
        share * each for each in (content.nitrogen_g, content.phosphorus_g, content.potassium_g)
    )
    places = 3 if system == "us" else 2
    return f"N {figure(n, places)}, P {figure(p, places)}, K {figure(k, places)} {unit}"


def loads_words(loads_kg_ha: Npk, system: System) -> str:
    """Write nitrogen, phosphorus and potassium as loads."""
    n, p, k = (
        load_words(each, system).split(" ", 1)
        for each in (loads_kg_ha.nitrogen_g, loads_kg_ha.phosphorus_g, loads_kg_ha.potassium_g)
    )
    return f"N {n[0]}, P {p[0]}, K {k[0]} {k[1]}"


def spacing_words(spacing_mm: float | None, system: System) -> str:
    """Write the distance from plant to plant."""
    if not spacing_mm:
        return _("not known")
    if system == "us":
        return _("{length} each way").format(length=PEN_LENGTH.show(spacing_mm, system))
    return _("{length} each way").format(length=f"{spacing_mm / 10:.0f} cm")
