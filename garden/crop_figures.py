"""What is reckoned with for a crop: the garden's own figures, else the reference table's, and whose each is."""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from types import SimpleNamespace

from garden.crop_text import (
    content_words,
    load_words,
    loads_words,
    need_words,
    spacing_words,
    yield_words,
)
from garden.crops_reference import CropReference, crop_table
from garden.models import Crop
from garden.npk import Npk
from garden.provenance import Provenance
from garden.units import System
from garden.words import gettext as _
from garden.words import mark

OWN = mark("this garden’s own figure")
UNKNOWN = mark("not known: nothing is reckoned with")


@dataclass(frozen=True)
class CropFigures:
    """A crop's figures, each filled from the table where the garden has none."""

    nitrogen_kg_ha: float
    phosphorus_kg_ha: float
    potassium_kg_ha: float
    content: Npk
    """In a kilogram picked [g/kg]."""
    content_source: str
    yield_kg_m2: float
    fixed_kg_ha: float
    fixed_source: str
    spacing_mm: float | None

    @cached_property
    def removal_kg_ha(self) -> Npk:
        """What a usual harvest takes from a hectare [kg/ha, held in the fields of grams]."""
        return self.content * (self.yield_kg_m2 * 10)


def reference_of(crop: Crop) -> CropReference | None:
    """Return the row of the table that a crop began as, None for one of the garden's own."""
    return crop_table().get(crop.reference)


def figures_of(crop: Crop) -> CropFigures:
    """Return what to reckon with for a crop; a figure nobody has is 0, which takes and needs nothing."""
    return _figures(crop.reference, *(getattr(crop, name) for name in _OWN_FIGURES))


_OWN_FIGURES = (
    *("nitrogen_kg_ha", "phosphorus_kg_ha", "potassium_kg_ha"),
    *("nitrogen_g_kg", "phosphorus_g_kg", "potassium_g_kg"),
    *("yield_kg_m2", "fixed_kg_ha", "spacing_mm"),
)


@lru_cache(maxsize=1024)  # a page of many beds asks for each of its plantings
def _figures(reference: str, *own: float | None) -> CropFigures:
    crop = SimpleNamespace(**dict(zip(_OWN_FIGURES, own, strict=True)))
    row = crop_table().get(reference)
    known = row.content if row else Npk()
    content = Npk(
        *(
            _first(own, table)
            for own, table in (
                (crop.nitrogen_g_kg, known.nitrogen_g),
                (crop.phosphorus_g_kg, known.phosphorus_g),
                (crop.potassium_g_kg, known.potassium_g),
            )
        )
    )
    yield_kg_m2 = _first(crop.yield_kg_m2, row.yield_kg_m2 if row else 0.0)
    replaced = content * (yield_kg_m2 * 10)
    own_content = {crop.nitrogen_g_kg, crop.phosphorus_g_kg, crop.potassium_g_kg} != {None}
    return CropFigures(
        nitrogen_kg_ha=crop.nitrogen_kg_ha,
        phosphorus_kg_ha=_first(crop.phosphorus_kg_ha, replaced.phosphorus_g),
        potassium_kg_ha=_first(crop.potassium_kg_ha, replaced.potassium_g),
        content=content,
        content_source=OWN if own_content else _said(row.content_from if row else None),
        yield_kg_m2=yield_kg_m2,
        fixed_kg_ha=_first(crop.fixed_kg_ha, row.fixed_kg_ha if row else 0.0),
        fixed_source=OWN
        if crop.fixed_kg_ha is not None
        else _said(row.fixed_from if row else None),
        spacing_mm=crop.spacing_mm if crop.spacing_mm is not None else row and row.spacing_mm,
    )


def _first(own: float | None, table: float) -> float:
    return table if own is None else own


def _said(provenance: Provenance | None) -> str:
    return f"{provenance.source} ({provenance.mark})" if provenance else UNKNOWN


@dataclass(frozen=True)
class FigureGroup:
    """One line of a crop's page: what is reckoned with, whose it is, and what the table says."""

    label: str
    shown: str
    source: str
    mark: str
    is_own: bool
    table: str = ""
    """What the reference table says, where the garden has another figure."""


def figure_groups(crop: Crop, system: System) -> list[FigureGroup]:
    """Return every figure of a crop with its source and mark; the garden's own say so."""
    row, figures = reference_of(crop), figures_of(crop)
    ours, table = _written(crop, figures, system), _written_row(row, system) if row else {}
    sources = _sources(row) if row else {}
    own = _own(crop, row)
    return [
        FigureGroup(
            label=_(label),
            shown=shown,
            source=_(OWN if label in own or row is None else sources[label].source),
            mark="" if label in own or row is None else _(sources[label].mark),
            is_own=label in own or row is None,
            table=table.get(label, "") if label in own and table.get(label) != shown else "",
        )
        for label, shown in ours.items()
    ]


CONTACTS = {
    "touches": mark("touches soil or is splashed by it"),
    "clear": mark("held clear of the soil"),
    "cooked": mark("never eaten raw"),
}


def _texts(
    figures: CropFigures, contact: str, first_days: str, harvest_days: int, system: System
) -> dict[str, str]:
    others = (
        load_words(each, system) for each in (figures.phosphorus_kg_ha, figures.potassium_kg_ha)
    )
    return {
        mark("Nitrogen it needs"): need_words(figures.nitrogen_kg_ha, system),
        mark("Phosphorus and potassium it needs"): _("{phosphorus} and {potassium}").format(
            phosphorus=next(others), potassium=next(others)
        ),
        mark("In what is picked"): content_words(figures.content, system),
        mark("Usual harvest"): _("{harvest}, which takes {loads}").format(
            harvest=yield_words(figures.yield_kg_m2, system),
            loads=loads_words(figures.removal_kg_ha, system),
        ),
        mark("The part you eat"): _(CONTACTS[contact]),
        mark("Days to the first harvest"): first_days,
        mark("Days of picking"): f"{harvest_days}",
        mark("From plant to plant"): spacing_words(figures.spacing_mm, system),
        mark("Nitrogen it leaves from the air"): load_words(figures.fixed_kg_ha, system),
    }


def _written(crop: Crop, figures: CropFigures, system: System) -> dict[str, str]:
    return _texts(figures, crop.contact, f"{crop.days_to_harvest}", crop.harvest_days, system)


def _written_row(row: CropReference, system: System) -> dict[str, str]:
    figures = figures_of(Crop(nitrogen_kg_ha=row.nitrogen_kg_ha, reference=row.name))
    first_days = _("{least} to {most}").format(
        least=row.days_to_harvest_min, most=row.days_to_harvest_max
    )
    return _texts(figures, row.contact.value, first_days, row.harvest_days, system)


def _sources(row: CropReference) -> dict[str, Provenance]:
    return {
        "Nitrogen it needs": row.nitrogen_from,
        "Phosphorus and potassium it needs": row.replaced_from,
        "In what is picked": row.content_from,
        "Usual harvest": row.yield_from,
        "The part you eat": row.contact_from,
        "Days to the first harvest": row.days_from,
        "Days of picking": row.harvest_days_from,
        "From plant to plant": row.spacing_from,
        "Nitrogen it leaves from the air": row.fixed_from,
    }


def _own(crop: Crop, row: CropReference | None) -> set[str]:
    """Return the labels whose figure is the garden's own."""
    if row is None:
        return set()
    content = (crop.nitrogen_g_kg, crop.phosphorus_g_kg, crop.potassium_g_kg)
    changed = {
        "Nitrogen it needs": crop.nitrogen_kg_ha != row.nitrogen_kg_ha,
        "Phosphorus and potassium it needs": {crop.phosphorus_kg_ha, crop.potassium_kg_ha}
        != {None},
        "In what is picked": set(content) != {None},
        "Usual harvest": crop.yield_kg_m2 is not None,
        "The part you eat": crop.contact != row.contact.value,
        "Days to the first harvest": crop.days_to_harvest != row.days_to_harvest_min,
        "Days of picking": crop.harvest_days != row.harvest_days,
        "From plant to plant": crop.spacing_mm is not None,
        "Nitrogen it leaves from the air": crop.fixed_kg_ha is not None,
    }
    return {label for label, is_changed in changed.items() if is_changed}
