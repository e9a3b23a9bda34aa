"""Making a garden out of an archive: all of it or nothing."""

from typing import Any

from django.contrib.auth.models import AbstractBaseUser
from django.db import IntegrityError, models, transaction

from flocks.withdrawal_guard import as_archived
from garden.models import Garden, Membership, Role
from garden.words import gettext as _
from rotation.archive import signature
from rotation.archive_ids import renumbered
from rotation.archive_models import Carried, carried_models, is_person
from rotation.archive_reading import ArchiveError, ReadArchive
from rotation.models import BroughtIn

GONE = 10**18 - 1
"""Stands for a row that was gone when the archive was made: no row has such an id, yet a key may hold it."""


def garden_bring_in(*, archive: ReadArchive, user: AbstractBaseUser) -> Garden:
    """Make a garden that `user` owns out of an archive.

    Raises
    ------
    ArchiveError
        Where two of its rows cannot both be.
    """
    try:
        with transaction.atomic(), as_archived():
            garden = Garden(**archive.garden)
            garden.save_base(raw=True, force_insert=True)
            Membership.objects.create(garden=garden, user=user, role=Role.OWNER)
            maker = _Maker(garden, user)
            for carried in carried_models():
                maker.make(carried, archive.rows.get(carried.label, []))
            BroughtIn.objects.create(
                garden=garden, archive_made_at=archive.made_at, signed=maker.signed
            )
    except IntegrityError:
        raise ArchiveError(_("Two rows of the archive cannot both be.")) from None
    return garden


class _Maker:
    """Makes rows and remembers what id each number has become."""

    def __init__(self, garden: Garden, user: AbstractBaseUser) -> None:
        self._garden, self._user = garden, user
        self._ids: dict[str, list[int]] = {}
        self.signed: dict[str, str] = {}

    def make(self, carried: Carried, rows: list[dict[str, Any]]) -> None:
        """Save all rows of one model, with the moments that they were logged at."""
        ids = self._ids[carried.label] = []
        for values in rows:
            row = carried.model(**self._attributes(carried, values))
            # Raw, because otherwise every row would be logged at this moment.
            row.save_base(raw=True, force_insert=True)
            ids.append(row.pk)
            self._sign(carried, row, values)
            self._set_lists(carried, row, values)

    def _attributes(self, carried: Carried, values: dict[str, Any]) -> dict[str, Any]:
        told: dict[str, Any] = {}
        for field in carried.fields:
            if field.many_to_many or field.name not in values:
                continue
            value = values[field.name]
            if is_person(field):
                # Whoever brings the garden stands in where a row cannot be without a person.
                stands_in = self._is_user(value) or not field.null
                told[field.attname] = self._user.pk if stands_in else None
            elif field.is_relation:
                told[field.attname] = value and self._id(field, value)
            else:
                told[field.name] = renumbered(carried.label, field.name, value, self._hidden_id)
        if not carried.to_garden.count("__"):
            told[carried.to_garden] = self._garden
        return told

    def _is_user(self, name: str | None) -> bool:
        return name == self._user.get_username()

    def _id(self, field: models.Field, number: int) -> int:
        return self._ids[field.related_model._meta.label_lower][number - 1]

    def _hidden_id(self, label: str, number: int) -> int:
        known = self._ids.get(label, [])
        return known[number - 1] if 1 <= number <= len(known) else GONE

    def _sign(self, carried: Carried, row: models.Model, values: dict[str, Any]) -> None:
        """Keep the names of people whom this installation does not know."""
        for field in carried.fields:
            name = values.get(field.name)
            if is_person(field) and name and not self._is_user(name):
                self.signed[signature(carried.label, row.pk, field.name)] = name

    def _set_lists(self, carried: Carried, row: models.Model, values: dict[str, Any]) -> None:
        for field in carried.fields:
            if field.many_to_many and values.get(field.name):
                getattr(row, field.name).set(self._id(field, n) for n in values[field.name])
