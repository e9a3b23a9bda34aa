"""Deleting a garden or an account for good: rows, files and sessions. None of it can be taken back."""

from collections.abc import Iterator
from typing import Any

from allauth.usersessions.models import UserSession
from django.conf import settings
from django.contrib.auth.models import AbstractBaseUser
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Count, Exists, OuterRef, Q, QuerySet
from django.utils.translation import override
from django_tasks_db.models import DBTaskResult

from garden.models import Garden, Membership, Role, UndoStep
from garden.models.roles import role_word
from garden.words import gettext as _
from garden.words import mark
from rotation.archive_models import carried_models
from rotation.kept_forecasts import forget
from rotation.models import Export, Photo, PlanRun, Sizing
from rotation.photo_files import photo_forget

PHOTO = "rotation.photo"
OTHERS_NEED_AN_OWNER = mark("Others work in {names}. Make one of them an owner there first.")
SOMEBODY = mark("Somebody")


def garden_delete(*, garden: Garden) -> None:
    """Delete a garden with everything in it; its photos go from the disk once the rows are gone."""
    with transaction.atomic():
        Garden.objects.select_for_update().get(pk=garden.pk)
        photos = _photo_names(garden)
        forget(garden.batches.all())
        _tasks_of(garden).delete()
        # What rests on a row goes before it: the list has each model after those that it names.
        for carried in reversed(carried_models()):
            carried.model._base_manager.filter(**{carried.to_garden: garden}).delete()
        garden.delete()
        transaction.on_commit(lambda: [photo_forget(name) for name in photos])


def _photo_names(garden: Garden) -> set[str]:
    """Return the files of a garden: those of photos, and of photos that were removed a moment ago."""
    names = set(Photo.objects.filter(garden=garden).values_list("name", flat=True))
    for step in UndoStep.objects.filter(garden=garden, rows__icontains=PHOTO):
        for row in step.rows:
            told: dict[str, Any] = row["before"] or row["after"] or {}
            if row["model"] == PHOTO and told.get("name"):
                names.add(told["name"])
    return names


def _tasks_of(garden: Garden) -> QuerySet:
    """Return what the queue carries for a garden."""
    ids: set[str] = set()
    for model in (PlanRun, Sizing, Export):
        ids |= set(model._base_manager.filter(garden=garden).values_list("task_id", flat=True))
    return DBTaskResult.objects.filter(pk__in={each for each in ids if each})


def gardens_alone(user: AbstractBaseUser) -> QuerySet[Garden]:
    """Return the gardens to which nobody else belongs: they go with the account."""
    people = Garden.objects.annotate(people=Count("memberships"))
    return people.filter(people=1, memberships__user=user)


def gardens_left_ownerless(user: AbstractBaseUser) -> QuerySet[Garden]:
    """Return the gardens in which others work and nobody else is an owner."""
    others = Membership.objects.filter(garden=OuterRef("pk")).exclude(user=user)
    return Garden.objects.filter(
        Q(memberships__user=user, memberships__role=Role.OWNER),
        Exists(others),
        ~Exists(others.filter(role=Role.OWNER)),
    )


def account_delete(*, user: AbstractBaseUser) -> None:
    """Delete an account, its gardens without anybody else, and every session.

    In gardens with other people what was logged stays, signed by nobody, and lists of changes name nobody.

    Raises
    ------
    ValidationError
        Where a garden with other people in it would be left without an owner.
    """
    with transaction.atomic():
        # The locks let two owners who leave at once take turns.
        mine = Garden.objects.select_for_update().filter(pk__in=user.memberships.values("garden"))
        list(mine)
        if names := [garden.name for garden in gardens_left_ownerless(user)]:
            raise ValidationError(_(OTHERS_NEED_AN_OWNER).format(names=", ".join(names)))
        for garden in gardens_alone(user):
            garden_delete(garden=garden)
        _unname(user)
        for session in UserSession.objects.filter(user=user):
            session.end()
        user.delete()


def _unname(user: AbstractBaseUser) -> None:
    """Take a name out of the lists of changes of other people's gardens, and the rows that tell its id."""
    for code, _language in settings.LANGUAGES:
        # Each step speaks the language of whoever took it.
        with override(code):
            pairs = zip(_said_of(user.get_username()), _said_of(_(SOMEBODY)), strict=True)
            for named, unnamed in pairs:
                UndoStep.objects.filter(said=named).update(said=unnamed, rows=[])


def _said_of(name: str) -> Iterator[str]:
    """Yield what lists of changes say of a person, in the language that is spoken."""
    for role in map(role_word, Role.values):
        yield _("{member} is now {role}").format(member=name, role=role)
        yield _("{user} joined as {role}").format(user=name, role=role)
    yield _("{member} removed from the garden").format(member=name)
