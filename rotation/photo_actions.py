"""Keeping a photo, and removing one: each can be undone by its author."""

import hashlib

from django.contrib.auth.models import AbstractBaseUser

from garden.undo import undoable
from rotation.models import Photo
from rotation.photo_files import names_without_row, photo_forget, photo_spare, photo_write
from rotation.pictures import Picture


def photo_log(*, photo: Photo, picture: Picture, user: AbstractBaseUser) -> Photo:
    """Save a new photo with its files; files that belong to no photo any more go.

    Raises
    ------
    OSError
        Where the disk takes no more; nothing is saved.
    """
    photo.name = photo_write(picture)
    photo.sha256 = hashlib.sha256(picture.large).hexdigest()
    photo.logged_by = user
    photo.width_px, photo.height_px = picture.width_px, picture.height_px
    photo.size_bytes = len(picture.large) + len(picture.small)
    about = f", {photo.batch}" if photo.batch else ""
    try:
        with undoable(photo.garden, user, f"Photo kept{about}") as step:
            photo.save()
            step.made(photo)
    except BaseException:
        photo_forget(photo.name)
        raise
    photos_sweep()
    return photo


def photo_remove(*, photo: Photo, user: AbstractBaseUser) -> None:
    """Delete a photo; its files stay for as long as the removal can be taken back."""
    with undoable(photo.garden, user, f"Photo removed: {photo}") as step:
        step.removing(photo)
        photo.delete()
    photo_spare(photo.name)


def photos_sweep() -> None:
    """Delete the files of photos that were removed, or whose logging was taken back."""
    for name in names_without_row(Photo.objects.values_list("name", flat=True)):
        photo_forget(name)
