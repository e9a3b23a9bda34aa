"""Which rows belong to a garden, and so go into its archive and its tables: found from the models themselves.

A row belongs to the garden that it names, or to that of a row which it cannot be without. A model that is added
later is carried without a word here, unless it says `stays_behind`.
"""

from collections import deque
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from graphlib import TopologicalSorter

from django.apps import apps
from django.conf import settings
from django.db import models

from garden.models import Garden
from rotation.archive_ids import HOLDERS, NEEDED

FLOORS = ("garden", "pens", "flocks", "rotation")
LEFT_BEHIND = {
    "garden.garden": "is the archive itself",
    "garden.membership": "its people are of one installation",
    "garden.invitation": "a link lets somebody into one installation",
    "garden.undostep": "what was done minutes ago is taken back where it was done",
    "garden.takenentry": "an entry comes again to where it was taken, and nowhere else",
    "rotation.planworker": "a process of one installation",
}
"""Models that no archive carries, and why; `stays_behind` on a model says the same."""
WORKED_OUT = {
    "rotation.plan": ("ground",),
    "rotation.whatif": ("result",),
    "rotation.photo": ("name",),
}
"""Fields that follow from the rest and tell one installation's rows by their ids."""


@dataclass(frozen=True)
class Carried:
    """A model with the lookup that leads from it to its garden."""

    model: type[models.Model]
    to_garden: str

    @property
    def label(self) -> str:
        """Return its name in an archive."""
        return self.model._meta.label_lower

    @property
    def fields(self) -> list[models.Field]:
        """Return what is told of a row; its garden, and what leads there, is not."""
        left_out = WORKED_OUT.get(self.label, ())
        meta = self.model._meta
        return [
            field
            for field in (*meta.concrete_fields, *meta.local_many_to_many)
            if not field.primary_key and field.name not in left_out and not _leads_out(field)
        ]

    def rows_of(self, garden: Garden) -> list[models.Model]:
        """Return a garden's rows in the order in which they were made. One query, and one for each list."""
        rows = self.model._base_manager.filter(**{self.to_garden: garden}).order_by("pk")
        lists = [field.name for field in self.fields if field.many_to_many]
        people = [field.name for field in self.fields if is_person(field)]
        return list(rows.select_related(*people).prefetch_related(*lists))


def is_person(field: models.Field) -> bool:
    """Whether a field names somebody who signs in."""
    return bool(field.is_relation) and field.related_model._meta.label == settings.AUTH_USER_MODEL


def _leads_out(field: models.Field) -> bool:
    """Whether a field names the garden, a row that stays behind, or a list that has a model of its own."""
    if not field.is_relation or is_person(field):
        return False
    if field.many_to_many and not field.remote_field.through._meta.auto_created:
        return True
    return field.related_model._meta.label_lower not in {row.label for row in carried_models()}


@cache
def carried_models() -> tuple[Carried, ...]:
    """Return every model that belongs to a garden, each after those that its rows name."""
    return _in_order(_found())


def one_by_one(
    models_carried: Sequence[Carried], tell: Callable[[float], None]
) -> Iterator[Carried]:
    """Go through models and tell after each which share is done."""
    for number, carried in enumerate(models_carried, 1):
        yield carried
        tell(number / len(models_carried))


def stays_behind(model: type[models.Model]) -> bool:
    """Whether no archive carries a model."""
    under_way = any(field.name == "claimed_by" for field in model._meta.concrete_fields)
    return (
        model._meta.label_lower in LEFT_BEHIND
        or getattr(model, "stays_behind", False)
        or under_way  # work that a process of this installation has taken on
    )


def _found() -> dict[str, Carried]:
    mine = [model for floor in FLOORS for model in apps.get_app_config(floor).get_models()]
    waiting, found = deque(model for model in mine if not stays_behind(model)), {}
    tries = len(waiting) ** 2
    while waiting and (tries := tries - 1) >= 0:
        model = waiting.popleft()
        path = _path(model, found)
        if path is None:
            waiting.append(model)
        else:
            found[model._meta.label_lower] = Carried(model, path)
    return found


def _path(model: type[models.Model], found: dict[str, Carried]) -> str | None:
    links = [
        field for field in model._meta.concrete_fields if field.many_to_one or field.one_to_one
    ]
    for field in links:
        if field.related_model is Garden:
            return field.name
    for field in links:
        there = found.get(field.related_model._meta.label_lower)
        if there and not field.null:
            return f"{field.name}__{there.to_garden}"
    return None


def _in_order(found: dict[str, Carried]) -> tuple[Carried, ...]:
    order = TopologicalSorter()
    for label, carried in found.items():
        meta = carried.model._meta
        links = [field for field in meta.get_fields() if field.concrete and field.is_relation]
        names = {field.related_model._meta.label_lower for field in links}
        names |= set(NEEDED) if label in HOLDERS else set()
        order.add(label, *sorted(names & found.keys() - {label}))
    return tuple(found[label] for label in order.static_order())
