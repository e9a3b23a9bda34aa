"""Where photos lie on disk: two files each under `settings.PHOTO_DIR`, by a name that nobody can guess."""

import os
import secrets
import time
from collections.abc import Iterable
from pathlib import Path
from typing import Literal

from django.conf import settings

from rotation.pictures import Picture

Size = Literal["large", "small"]

NAME_BYTES = 24
"""Chance in a name [byte]."""
SPARE_SECONDS = 3600
"""How long files that no row names any more are kept [s]: longer than a removal can be taken back."""


def photo_path(name: str, size: Size) -> Path:
    """Return where a photo of a size lies, in one of many folders."""
    return settings.PHOTO_DIR / name[:2] / f"{name}-{size}.jpg"


def new_name() -> str:
    """Return a name that nobody can guess."""
    return secrets.token_urlsafe(NAME_BYTES)


def photo_write(picture: Picture, name: str = "") -> str:
    """Write both sizes under a name, or a new one, and return it.

    Raises
    ------
    OSError
        Where the disk takes no more; nothing is left behind.
    """
    name = name or new_name()
    paths = {photo_path(name, "large"): picture.large, photo_path(name, "small"): picture.small}
    try:
        for path, content in paths.items():
            path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            with os.fdopen(
                os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb"
            ) as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())  # before the row, which a power cut must not leave alone
    except OSError:
        photo_forget(name)
        raise
    return name


def photo_forget(name: str) -> None:
    """Delete both files of a photo, where they are there."""
    for size in ("large", "small"):
        photo_path(name, size).unlink(missing_ok=True)


def photo_spare(name: str) -> None:
    """Count the time that files are kept without a row from now."""
    for size in ("large", "small"):
        path = photo_path(name, size)
        if path.exists():
            os.utime(path)


def names_without_row(named: Iterable[str]) -> set[str]:
    """Return the names of files that no row names and that are too old to be taken back."""
    known, oldest = set(named), time.time() - SPARE_SECONDS
    return {
        name
        for path in settings.PHOTO_DIR.glob("*/*-large.jpg")
        if (name := path.name.removesuffix("-large.jpg")) not in known
        and path.stat().st_mtime < oldest
    }
