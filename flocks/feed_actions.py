"""Writes to the feed store: each in one transaction, each can be undone by its author."""

from datetime import date

from django.contrib.auth.models import AbstractBaseUser

from flocks.models import FeedCount, FeedHabits, FeedProduct, FeedPurchase
from garden.undo import undoable
from garden.words import gettext as _


def feed_save(*, feed: FeedProduct, user: AbstractBaseUser) -> None:
    """Save a feed of the list, new or changed."""
    is_new = feed.pk is None
    with undoable(feed.garden, user, f"{feed.name} {'added' if is_new else 'changed'}") as step:
        if not is_new:
            step.changing(feed)
        feed.save()
        if is_new:
            step.made(feed)


def feed_retire(*, feed: FeedProduct, user: AbstractBaseUser, on: date) -> None:
    """Take a feed off the list; what is left of it stays in the store."""
    with undoable(feed.garden, user, _("{feed} taken off the list").format(feed=feed.name)) as step:
        step.changing(feed)
        feed.retired_on = on
        feed.save()


def store_line_log(*, line: FeedPurchase | FeedCount, user: AbstractBaseUser, said: str) -> None:
    """Save bags bought or feed counted."""
    line.logged_by = user
    with undoable(line.product.garden, user, said) as step:
        line.save()
        step.made(line)


def store_line_remove(*, line: FeedPurchase | FeedCount, user: AbstractBaseUser, said: str) -> None:
    """Delete a line of the store."""
    with undoable(line.product.garden, user, said) as step:
        step.removing(line)
        line.delete()


def habits_save(*, habits: FeedHabits, user: AbstractBaseUser) -> None:
    """Save how a garden shops."""
    is_new = habits.pk is None
    with undoable(habits.garden, user, _("Shopping days and prices changed")) as step:
        if not is_new:
            step.changing(habits)
        habits.save()
        if is_new:
            step.made(habits)
