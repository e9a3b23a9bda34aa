"""Making the batches that a sizing proposes, as one step that can be taken back."""

from datetime import date, timedelta

from django.contrib.auth.models import AbstractBaseUser
from django.db import transaction

from flocks.models import Batch, BatchPen
from flocks.sharing import shared_out
from garden.day_words import day_words
from garden.models import Garden
from garden.undo import undoable
from garden.words import gettext as _
from garden.words import ngettext
from pens.models import Pen
from rotation.season_limits import Wish
from rotation.sizing import Bird, Offer


class CannotMakeError(Exception):
    """The garden has changed since the season was sized; the text says how."""


def sizing_make(
    *, garden: Garden, user: AbstractBaseUser, offer: Offer, bird: Bird, wish: Wish, sized_on: date
) -> list[Batch]:
    """Save the batches of a proposal, their chicks shared out by the floor of the pens.

    Raises
    ------
    CannotMakeError
        Where a day has passed, or a pen is given up or has been promised to other birds.
    """
    with transaction.atomic():
        # Two taps arrive within the same moment; the second then finds the pens taken.
        Garden.objects.select_for_update().get(pk=garden.pk)
        pens = {pen.pk: pen for pen in garden.pens.in_use()}
        batches = _batches(garden, offer, bird, wish, sized_on)
        for batch, proposed in zip(batches, offer.batches, strict=True):
            _check(batch, proposed.pens, pens, garden)
        said = ngettext(
            "{n} batch added, {chicks} chicks", "{n} batches added, {chicks} chicks", len(batches)
        ).format(n=len(batches), chicks=offer.chicks)
        with undoable(garden, user, said) as step:
            for batch, proposed in zip(batches, offer.batches, strict=True):
                batch.save()
                step.made(batch)
                own = [pens[pk] for pk in proposed.pens]
                shares = shared_out(batch.chicks, [pen.floor_m2 for pen in own])
                for pen, birds in zip(own, shares, strict=True):
                    step.made(BatchPen.objects.create(batch=batch, pen=pen, birds=birds))
    return batches


def _batches(garden: Garden, offer: Offer, bird: Bird, wish: Wish, sized_on: date) -> list[Batch]:
    names = _free_names(garden, len(offer.batches))
    made = []
    for name, proposed in zip(names, offer.batches, strict=True):
        hatch_on = sized_on + timedelta(days=proposed.hatch_day)
        made.append(
            Batch(
                garden=garden,
                name=name,
                hatch_on=hatch_on,
                chicks=proposed.chicks,
                strain=wish.strain,
                target_g=wish.target_g,
                leaves_brooder_on=hatch_on + timedelta(days=bird.out_age),
                processing_on=hatch_on + timedelta(days=bird.end_age),
            )
        )
    return made


def _free_names(garden: Garden, count: int) -> list[str]:
    taken = set(garden.batches.values_list("name", flat=True))
    numbers = range(len(taken) + 1, 2 * len(taken) + count + 2)
    names = (_("Batch {count}").format(count=n) for n in numbers)
    return [name for name in names if name not in taken][:count]


def _check(batch: Batch, pks: tuple[int, ...], pens: dict[int, Pen], garden: Garden) -> None:
    today = garden.today()
    if batch.hatch_on < today:
        raise CannotMakeError(
            _("The first chicks were to hatch on {day}. Size the season again.").format(
                day=day_words(batch.hatch_on)
            )
        )
    if any(pk not in pens for pk in pks):
        raise CannotMakeError(_("A pen was given up since. Size the season again."))
    span = batch.leaves_brooder_on, batch.processing_on
    own = [pens[pk] for pk in pks]
    for other in garden.batches.unfinished().in_pens(own):
        if other.needs_pens_during(*span, today=today):
            raise CannotMakeError(
                _(
                    "{other} has one of the pens then. Size the season again, with it in view."
                ).format(other=other.name)
            )
