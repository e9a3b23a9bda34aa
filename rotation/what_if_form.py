"""The form of a what-if: things as they are, to be changed where somebody thinks of it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from flocks.models import Batch
from garden.forms import DayField, GardenForm, NumberField, RowsField, quantity
from garden.models import Bed, Garden, Planting
from garden.units import BED_LENGTH
from garden.words import gettext as _
from garden.words import mark
from pens.models import Pen
from rotation.change_kinds import (
    MOST_BIRDS,
    MOST_DAYS_SHIFTED,
    Birds,
    Change,
    ChangeError,
    Cleared,
    MoreBed,
    PartProcessed,
    Pens,
    Processed,
    Rule,
    Shift,
)
from rotation.changes_tried import apply
from rotation.facts import GardenFacts
from rotation.what_if_actions import LONGEST_NAME

RULES = {
    "rest_days": mark("Rest of a place between two visits (days)"),
    "min_stay_days": mark("Shortest stay (days)"),
    "max_stay_days": mark("Longest stay (days)"),
    "annual_limit_kg_ha": mark("Most nitrogen in any 365 days (kg/ha)"),
}
NEW_BED = mark("New bed")
Told = tuple[str, Change]
"""A change with the name of the field that asks for it."""


@dataclass(frozen=True)
class Group:
    """Fields under a heading, unfolded or not."""

    heading: str
    fields: list[forms.BoundField]
    is_open: bool


class _PlantingField(forms.ModelChoiceField):
    def label_from_instance(self, planting: Planting) -> str:
        said = _("{crop} in {bed} from {day}")
        return said.format(crop=planting.crop, bed=planting.bed, day=planting.starts_on)


class WhatIfForm(GardenForm, forms.Form):
    """Every field shows what is; whatever is typed otherwise is a change to be tried."""

    name = forms.CharField(
        label=gettext_lazy("Name"),
        required=False,
        max_length=LONGEST_NAME,
        help_text=gettext_lazy("Left blank: the changes."),
    )
    bed_kind = forms.ChoiceField(
        label=gettext_lazy("Kind of bed"),
        choices=Bed.Kind.choices,
        initial=Bed.Kind.RAISED,
        required=False,
    )
    bed_name = forms.CharField(
        label=gettext_lazy("Its name"), max_length=40, initial=NEW_BED, required=False
    )
    bed_length = quantity(
        Bed._meta.get_field("length_mm"),
        BED_LENGTH,
        required=False,
        help_text=gettext_lazy("The longer side."),
    )
    bed_width = quantity(
        Bed._meta.get_field("width_mm"),
        BED_LENGTH,
        required=False,
        help_text=gettext_lazy("The shorter side."),
    )
    planting = _PlantingField(Planting.objects.none(), label=gettext_lazy("Crop"), required=False)
    clear_on = DayField(label=gettext_lazy("Bed is clear on"), required=False)

    def __init__(self, *args: Any, facts: GardenFacts, **kwargs: Any) -> None:
        self.facts, self.changes = facts, ()
        super().__init__(*args, garden=facts.garden, **kwargs)
        self.batches = {run.batch.pk: run.batch for run in facts.runs}
        pens = list(facts.garden.pens.in_use()) if self.batches else []
        for batch in self.batches.values():
            self._add_batch(batch, pens)
        for name, label in RULES.items():
            self.fields[name] = _rule_field(name, _(label), facts.garden)
        self.fields["bed_name"].initial = _(NEW_BED)
        self.fields["planting"].queryset = (
            Planting.objects.of(facts.garden)
            .filter(bed__in=[pk for pk in facts.beds if pk > 0], ends_on__gt=facts.on)
            .select_related("crop", "bed")
        )

    def _add_batch(self, batch: Batch, pens: Sequence[Pen]) -> None:
        runs = [run for run in self.facts.runs if run.batch.pk == batch.pk]
        birds = sum(run.birds for run in runs)
        hatched = batch.hatch_on <= self.facts.on
        whole = {"required": False, "min_value": 1, "max_value": MOST_BIRDS}
        self._add(batch, "birds", forms.IntegerField(label=_("Birds"), initial=birds, **whole))
        if not hatched:
            self._add(
                batch,
                "shift",
                forms.IntegerField(
                    label=_("Days later"),
                    required=False,
                    min_value=-MOST_DAYS_SHIFTED,
                    max_value=MOST_DAYS_SHIFTED,
                    help_text=_("With a minus: earlier. Hatching and all days after it."),
                ),
            )
        processing = DayField(label=_("Processed on"), required=False, initial=batch.processing_on)
        self._add(batch, "process", processing)
        self._add(
            batch, "part_birds", forms.IntegerField(label=_("Of them processed before"), **whole)
        )
        self._add(batch, "part_on", DayField(label=_("Those processed on"), required=False))
        choices = {pen.pk: pen for pen in (*pens, *(run.pen for run in runs))}
        self._add(
            batch,
            "pens",
            RowsField(
                Pen.objects.filter(pk__in=choices),
                label=_("Pens"),
                widget=forms.CheckboxSelectMultiple,
                initial=[run.pen.pk for run in runs],
                required=False,
            ),
        )

    def _add(self, batch: Batch, name: str, field: forms.Field) -> None:
        self.fields[f"{name}_{batch.pk}"] = field

    def groups(self) -> list[Group]:
        """Return the fields under their headings."""
        named = [
            (batch.name, [name for name in self.fields if name.endswith(f"_{pk}")])
            for pk, batch in self.batches.items()
        ]
        named += [
            (_("Rules"), list(RULES)),
            (_("One more bed"), ["bed_kind", "bed_name", "bed_length", "bed_width"]),
        ]
        if self.fields["planting"].queryset.exists():
            named.append((_("A crop cleared sooner"), ["planting", "clear_on"]))
        only = len(self.batches) == 1
        return [
            Group(
                heading=heading,
                fields=[self[name] for name in names],
                is_open=(only and place == 0) or self._is_touched(names),
            )
            for place, (heading, names) in enumerate(named)
        ]

    def _is_touched(self, names: Iterable[str]) -> bool:
        return self.is_bound and any(name in self.changed_data for name in names)

    def clean(self) -> dict[str, Any]:
        """Gather the changes and see that they can be."""
        values = super().clean()
        if self.errors:
            return values
        told = list(self._told(values))
        if self.errors:
            return values
        self.changes = tuple(change for _field, change in told)
        if not told:
            self.add_error(None, _("Change something, and it is tried."))
        try:
            apply(self.facts, self.changes)
        except ChangeError as error:
            self.add_error(self._asking(told), str(error))
        return values

    def _asking(self, told: Iterable[Told]) -> str | None:
        """Return the field whose change cannot be by itself; None where only all together cannot."""
        for name, change in told:
            try:
                apply(self.facts, [change])
            except ChangeError:
                return name
        return None

    def _told(self, values: dict[str, Any]) -> Iterator[Told]:
        for pk in self.batches:
            yield from self._of_batch(pk, {name: values.get(f"{name}_{pk}") for name in BATCH})
        for name in RULES:
            if values[name] is not None and values[name] != getattr(self.garden, name):
                yield name, Rule(name=name, value=float(values[name]))
        yield from self._of_bed(values)
        if self._both(values, "planting", "clear_on"):
            cleared = Cleared(planting=values["planting"].pk, on=values["clear_on"])
            yield "clear_on", cleared

    def _of_batch(self, pk: int, values: dict[str, Any]) -> Iterator[Told]:
        was = {name: self.fields[f"{name}_{pk}"].initial for name in ("birds", "process", "pens")}
        if values["birds"] and values["birds"] != was["birds"]:
            yield f"birds_{pk}", Birds(batch=pk, birds=values["birds"])
        if values["shift"]:
            yield f"shift_{pk}", Shift(batch=pk, days=values["shift"])
        if values["process"] and values["process"] != was["process"]:
            yield f"process_{pk}", Processed(batch=pk, on=values["process"])
        pens = [pen.pk for pen in values["pens"] or ()]
        if pens and set(pens) != set(was["pens"]):
            yield f"pens_{pk}", Pens(batch=pk, pens=pens)
        if self._both(values, "part_birds", "part_on", suffix=f"_{pk}"):
            part = PartProcessed(batch=pk, on=values["part_on"], birds=values["part_birds"])
            yield f"part_birds_{pk}", part

    def _of_bed(self, values: dict[str, Any]) -> Iterator[Told]:
        if self._both(values, "bed_length", "bed_width"):
            yield (
                "bed_length",
                MoreBed(
                    kind_of_bed=values["bed_kind"] or Bed.Kind.RAISED.value,
                    length_mm=float(values["bed_length"]),
                    width_mm=float(values["bed_width"]),
                    name=values["bed_name"] or _(NEW_BED),
                ),
            )

    def _both(self, values: dict[str, Any], one: str, other: str, *, suffix: str = "") -> bool:
        """Whether two fields that go together are filled in; a single one is a fault of the other."""
        missing = [name for name in (one, other) if values.get(name) is None]
        if len(missing) == 1:
            self.add_error(missing[0] + suffix, _("Give both, or neither."))
        return not missing


BATCH = ("birds", "shift", "process", "part_birds", "part_on", "pens")
"""Fields of one batch, each followed by its id."""


def _rule_field(name: str, label: str, garden: Garden) -> forms.Field:
    value = getattr(garden, name)
    kind = forms.IntegerField if name.endswith("_days") else NumberField
    return kind(label=label, required=False, initial=value, min_value=0)
