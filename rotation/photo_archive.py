"""A garden's photos as one zip file, which goes with its archive, and putting them back from it.

The archive's rows name each picture by its checksum, so files in the zip may have names that people can read.
"""

import hashlib
import tempfile
from typing import IO
from zipfile import BadZipFile, ZipFile

from django.utils.text import slugify

from garden.models import Garden
from garden.words import gettext as _
from garden.words import mark
from rotation.models import Photo
from rotation.photo_files import photo_path, photo_write
from rotation.photo_form import MOST_BYTES_OF_GARDEN
from rotation.pictures import MOST_BYTES, picture_kept

MOST_FILES = 50_000
"""Files in a zip that is read. Our choice."""


class PhotosError(ValueError):
    """What was sent holds no photos that can be taken in; the text says why, for the reader."""


NOT_ONE = mark("This is no zip file of photos.")
TOO_MUCH = mark("These photos take more room than a garden may.")


def photos_zip(garden: Garden) -> IO[bytes]:
    """Write a garden's pictures to a temporary file, ready to be read; a picture that is lost is left out."""
    file = tempfile.TemporaryFile()  # noqa: SIM115 - the answer that sends it closes it
    # The pictures are compressed already.
    with ZipFile(file, "w") as zipped:
        for photo in garden.photos.order_by("on", "pk").iterator():
            path = photo_path(photo.name, "large")
            if path.exists():
                words = slugify(photo.words[:60], allow_unicode=True) or "photo"
                zipped.write(path, f"{photo.on} {photo.pk} {words}.jpg")
    file.seek(0)
    return file


def photos_bring_in(*, garden: Garden, file: IO[bytes]) -> int:
    """Put the pictures of a zip to the rows whose checksum they have; return how many rows got theirs.

    Raises
    ------
    PhotosError
        Where it is no zip, or holds more than a garden may.
    OSError
        Where the disk takes no more.
    """
    wanted: dict[str, list[str]] = {}
    for name, sha256 in Photo.objects.filter(garden=garden).values_list("name", "sha256"):
        wanted.setdefault(sha256, []).append(name)
    written = 0
    try:
        with ZipFile(file) as zipped:
            for entry in _entries(zipped):
                content = zipped.read(entry)
                names = wanted.pop(hashlib.sha256(content).hexdigest(), [])
                picture = picture_kept(content) if names else None
                for name in names if picture else []:
                    photo_write(picture, name)
                    written += 1
    except (BadZipFile, NotImplementedError, RuntimeError):
        raise PhotosError(_(NOT_ONE)) from None
    return written


def _entries(zipped: ZipFile) -> list[str]:
    """Return the names of what may be a picture, judged by what the zip says of its files."""
    entries = [entry for entry in zipped.infolist() if not entry.is_dir()]
    if len(entries) > MOST_FILES or sum(e.file_size for e in entries) > MOST_BYTES_OF_GARDEN:
        raise PhotosError(_(TOO_MUCH))
    return [entry.filename for entry in entries if entry.file_size <= MOST_BYTES]
