"""What changes more than one row of the ground floor: each action is one transaction."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from garden.clock import now
from garden.crops_reference import CropReference, crop_table
from garden.giving_up import reasons_to_keep
from garden.layout import Plot, next_plot, turned_plot
from garden.models import Bed, Crop, Garden, Invitation, Membership, Role
from garden.models.roles import role_word
from garden.undo import noted, undoable
from garden.words import gettext as _
from garden.words import mark

US_FEED_BAG_KG = 22.68
"""A sack of 50 lb [kg]: 50 × 0.45359237. Derived; that 50 lb is the usual sack is from memory."""

LAST_OWNER = mark("A garden needs an owner. Make somebody else an owner first.")


@transaction.atomic
def garden_create(*, user: Any, name: str, time_zone: str, unit_system: str) -> Garden:
    """Make a garden that `user` owns, with every crop of the reference table for its own."""
    garden = Garden(name=name, time_zone=time_zone, unit_system=unit_system)
    if unit_system == Garden.UnitSystem.US:
        garden.feed_bag_kg = US_FEED_BAG_KG
    garden.full_clean()
    garden.save()
    Membership.objects.create(garden=garden, user=user, role=Role.OWNER)
    Crop.objects.bulk_create(_own_crop(garden, row) for row in crop_table().values())
    return garden


def _own_crop(garden: Garden, row: CropReference) -> Crop:
    """Copy a reference row; the earliest harvest, because birds must be gone in time for that one."""
    return Crop(
        garden=garden,
        name=_(row.name),
        family=row.family,
        nitrogen_kg_ha=row.nitrogen_kg_ha,
        contact=row.contact.value,
        days_to_harvest=row.days_to_harvest_min,
        harvest_days=row.harvest_days,
        source=f"{row.nitrogen_from.source} ({row.nitrogen_from.mark})",
        reference=row.name,
    )


def garden_change_rules(*, garden: Garden, user: Any) -> None:
    """Save a garden with changed settings."""
    with undoable(garden, user, _("Settings changed")) as step:
        step.changing(garden)
        garden.save()


@transaction.atomic
def invitation_accept(*, invitation: Invitation, user: Any) -> Membership | None:
    """Use a link, once, and let its user in; None where somebody else was quicker."""
    if Invitation.objects.unused().filter(pk=invitation.pk).update(used_at=now()) != 1:
        return None
    membership, _made = Membership.objects.get_or_create(
        garden=invitation.garden, user=user, defaults={"role": invitation.role}
    )
    noted(
        invitation.garden,
        user,
        _("{user} joined as {role}").format(user=user, role=membership.role_word),
    )
    return membership


def membership_change_role(*, membership: Membership, role: str, user: Any) -> None:
    """Give a member another role.

    Raises
    ------
    ValidationError
        `LAST_OWNER`, where nobody would own the garden any more.
    """
    with undoable(
        membership.garden,
        user,
        _("{member} is now {role}").format(member=membership.user, role=role_word(role)),
    ) as step:
        if role != Role.OWNER:
            _keep_an_owner(membership)
        step.changing(membership)
        membership.role = role
        membership.save()


def membership_remove(*, membership: Membership, user: Any) -> None:
    """Take a member out of the garden, or let one leave.

    Raises
    ------
    ValidationError
        `LAST_OWNER`, where nobody would own the garden any more.
    """
    with undoable(
        membership.garden,
        user,
        _("{member} removed from the garden").format(member=membership.user),
    ) as step:
        _keep_an_owner(membership)
        step.removing(membership)
        membership.delete()


def _keep_an_owner(leaving: Membership) -> None:
    """Refuse where no other owner is left; the lock makes two owners who leave at once take turns."""
    Garden.objects.select_for_update().get(pk=leaving.garden_id)
    others = Membership.objects.filter(garden=leaving.garden_id).exclude(pk=leaving.pk)
    if not others.owners().exists():
        raise ValidationError(_(LAST_OWNER))


def beds_create_alike(*, garden: Garden, user: Any, pattern: Bed, count: int) -> list[Bed]:
    """Add `count` beds like an unsaved `pattern`, side by side on the map.

    One bed takes the pattern's name; several take it with a number, leaving out numbers in use.
    They start at the pattern's place, or, where that is None, beside the newest bed.
    """
    plots = _plots(garden.beds.in_use(), pattern, count)
    names = [pattern.name] if count == 1 else _numbered(pattern.name, garden.beds.all(), count)
    beds = [_bed_like(pattern, garden, *pair) for pair in zip(names, plots, strict=True)]
    said = (
        _("{bed} added").format(bed=names[0])
        if count == 1
        else _("{first} to {last} added").format(first=names[0], last=names[-1])
    )
    with undoable(garden, user, said) as step:
        for bed in beds:
            bed.save()
        step.made(*beds)
    return beds


def _plots(standing: Iterable[Bed], pattern: Bed, count: int) -> list[Plot]:
    length_m, width_m = pattern.length_mm / 1000, pattern.width_mm / 1000
    east_m, south_m = (length_m, width_m) if pattern.lies_across else (width_m, length_m)
    taken = [plot_of(bed) for bed in standing]
    new: list[Plot] = []
    if pattern.x_m is not None and pattern.y_m is not None:
        new = [Plot(pattern.x_m, pattern.y_m, east_m, south_m)]
    while len(new) < count:
        new.append(next_plot(taken + new, east_m, south_m))
    return new


def plot_of(bed: Bed) -> Plot:
    """Return the ground of a bed on the map; of one that is turned, the rectangle round it."""
    length_m, width_m = bed.length_mm / 1000, bed.width_mm / 1000
    east_m, south_m = (length_m, width_m) if bed.lies_across else (width_m, length_m)
    return turned_plot(Plot(bed.x_m, bed.y_m, east_m, south_m), bed.turned_deg)


def _numbered(stem: str, beds: Iterable[Bed], count: int) -> list[str]:
    used = {bed.name.lower() for bed in beds}
    names: list[str] = []
    number = 1
    while len(names) < count:
        name = f"{stem} {number}"
        if name.lower() not in used:
            names.append(name)
        number += 1
    return names


def _bed_like(pattern: Bed, garden: Garden, name: str, plot: Plot) -> Bed:
    return Bed(
        garden=garden,
        name=name,
        kind=pattern.kind,
        length_mm=pattern.length_mm,
        width_mm=pattern.width_mm,
        height_mm=pattern.height_mm,
        x_m=plot.x_m,
        y_m=plot.y_m,
        lies_across=pattern.lies_across,
        turned_deg=pattern.turned_deg,
    )


def bed_retire(*, bed: Bed, user: Any, on: date) -> None:
    """Give a bed up; its past stays.

    Raises
    ------
    ValidationError
        With every reason to keep it.
    """
    if reasons := reasons_to_keep(bed, on):
        raise ValidationError(reasons)
    with undoable(bed.garden, user, _("{bed} given up").format(bed=bed)) as step:
        step.changing(bed)
        bed.retired_on = on
        bed.save()
