"""Keeping a photo, and removing one: each can be undone by its author."""

import hashlib

from django.contrib.auth.models import AbstractBaseUser

from garden.undo import undoable
from garden.words import gettext as _
from rotation.models import Photo
from rotation.photo_files import names_without_row, photo_forget, photo_spare, photo_write
from rotation.pictures import Picture


def photo_log(*, photo: Photo, picture: Picture, user: AbstractBaseUser) -> Photo:
    """Save a new photo with its files.

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
    said = _("Photo kept, {batch}").format(batch=photo.batch) if photo.batch else _("Photo kept")
    try:
        with undoable(photo.garden, user, said) as step:
            photo.save()
            step.made(photo)
    except BaseException:
        photo_forget(photo.name)
        raise
    return photo


def photo_remove(*, photo: Photo, user: AbstractBaseUser) -> None:
    """Delete a photo; its files stay for as long as the removal can be taken back."""
    with undoable(photo.garden, user, _("Photo removed: {photo}").format(photo=photo)) as step:
        step.removing(photo)
        photo.delete()
    photo_spare(photo.name)


def photos_sweep() -> int:
    """Delete the files of photos that were removed, or whose logging was taken back; return how many photos.

    It looks at every file there is, so a worker does it once a day.
    """
    spare = names_without_row(Photo.objects.values_list("name", flat=True))
    for name in spare:
        photo_forget(name)
    return len(spare)
