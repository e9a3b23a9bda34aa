"""Everything that somebody entered about one bed's nutrients, read by one query."""

from datetime import date
from typing import Any, NamedTuple

from django.db.models import BigIntegerField, F, FloatField, QuerySet, Value
from django.db.models.functions import Cast

from garden.models import Bed, HarvestWeight, HeapInput, SoilTest, Spread


class BedLine(NamedTuple):
    """One line of any kind; what a column means depends on the kind.

    `first`, `second` and `third` are nitrogen, phosphorus and potassium: grams, or mg/kg of a soil test.
    `amount` is the mass [kg], or the depth of a soil test [mm]. `name` is a crop, a heap, what was spread or
    how phosphorus was tested; `sort` the kind of what was spread or the material of a heap. `of` is the id of
    the crop or of the heap, `planting` that of the planting.
    """

    kind: str
    pk: int
    on: date
    name: str
    sort: str
    first: float | None
    second: float | None
    third: float | None
    amount: float
    of: int | None
    planting: int | None


def bed_lines(bed: Bed, until: date) -> list[BedLine]:
    """Return what was tested, spread, picked and lifted on a bed up to a day, oldest first; one query."""
    first, *others = (_columns(bed, until, *source) for source in _sources())
    rows = first.union(*others, all=True)
    return sorted(map(BedLine._make, rows), key=lambda line: (line.on, line.kind, line.pk))


def _sources() -> list[tuple[type, dict[str, Any]]]:
    none = Cast(Value(None), FloatField())
    no_id = Cast(Value(None), BigIntegerField())
    grams = {"first": F("nitrogen_g"), "second": F("phosphorus_g"), "third": F("potassium_g")}
    found = {name: F(f"{name}_mg_kg") for name in ("nitrogen", "phosphorus", "potassium")}
    tested = dict(zip(grams, found.values(), strict=True))
    nothing = dict.fromkeys(grams, none)
    mass = {"amount": F("mass_kg")}
    crop = {"name": F("crop__name"), "sort": Value(""), "of": F("crop_id")}
    heap = {"name": F("heap__name"), "sort": F("material"), "of": F("heap_id")}
    spread = {"name": F("what"), "sort": F("kind"), "of": F("heap_id")}
    soil = {"name": F("phosphorus_by"), "sort": F("unit"), "of": no_id, "amount": F("depth_mm")}
    return [
        (HarvestWeight, crop | nothing | mass | {"planting": F("planting_id")}),
        (Spread, spread | grams | mass | {"planting": no_id}),
        (HeapInput, heap | grams | mass | {"planting": no_id}),
        (SoilTest, soil | tested | {"planting": no_id}),
    ]


def _columns(bed: Bed, until: date, model: type, columns: dict[str, Any]) -> QuerySet[Any]:
    ordered = [columns[name] for name in BedLine._fields[3:]]
    rows = model.objects.filter(bed=bed, on__lte=until).order_by()
    return rows.values_list(Value(model._meta.model_name), "pk", "on", *ordered)
