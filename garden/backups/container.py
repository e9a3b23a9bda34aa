"""One file that holds an installation: a tar of the database and the photos, with a checksum of each.

``backup.json`` comes last and lists all that went before it, so that writing and checking are one pass each,
whatever the size, and a file that ends too early is known by it.
"""

import hashlib
import io
import json
import os
import tarfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Any

FORMAT, VERSION = "tillfeather-backup", 1
LIST = "backup.json"
MOST_LIST_BYTES = 500_000_000
"""Longest list that is read: a file that claims more is none of ours. Some 3 million photos. Our choice."""
CHUNK_BYTES = 1 << 20


class BackupError(Exception):
    """What is wrong with a backup, in words for whoever runs the command."""


@dataclass(frozen=True)
class Contents:
    """What a backup says of itself."""

    made_at: str
    engine: str
    migrations: tuple[str, ...]
    """Those that had been applied, as ``garden.0001_initial``."""
    rows: dict[str, int]
    """How many rows each table had."""
    files: dict[str, dict[str, Any]] = field(default_factory=dict)
    """By name: ``{"bytes", "sha256"}``."""

    @property
    def photos(self) -> list[str]:
        """Return the names of the files of photos."""
        return [name for name in self.files if name.startswith("photos/")]


class _Hashed(io.RawIOBase):
    """Reads through to another file and keeps the checksum of what was read."""

    def __init__(self, file: IO[bytes]) -> None:
        self._file = file
        self.sha256 = hashlib.sha256()
        self.count = 0

    def read(self, size: int = -1) -> bytes:
        """Read and count."""
        piece = self._file.read(size)
        self.sha256.update(piece)
        self.count += len(piece)
        return piece


class Writer:
    """Adds files to a backup one after the other."""

    def __init__(self, tar: tarfile.TarFile) -> None:
        self._tar = tar
        self._files: dict[str, dict[str, Any]] = {}

    def add(self, name: str, path: Path) -> None:
        """Add a file as it is now."""
        with path.open("rb") as file:
            told = tarfile.TarInfo(name)
            told.size = os.fstat(file.fileno()).st_size
            hashed = _Hashed(file)
            self._tar.addfile(told, hashed)
        self._files[name] = {"bytes": hashed.count, "sha256": hashed.sha256.hexdigest()}

    def finish(self, contents: Contents) -> Contents:
        """Add the list of everything."""
        document = {
            "format": f"{FORMAT}/{VERSION}",
            "made_at": contents.made_at,
            "engine": contents.engine,
            "migrations": contents.migrations,
            "rows": contents.rows,
            "files": self._files,
        }
        text = json.dumps(document | {"sha256": _checksum(document)}).encode()
        told = tarfile.TarInfo(LIST)
        told.size = len(text)
        self._tar.addfile(told, io.BytesIO(text))
        return _contents(document)


@contextmanager
def backup_written(path: Path) -> Iterator[Writer]:
    """Write a backup under a temporary name; it gets its own once it is whole and on the disk."""
    part = path.with_name(f"{path.name}.part")
    try:
        with os.fdopen(os.open(part, os.O_RDWR | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as file:
            with tarfile.open(fileobj=file, mode="w", format=tarfile.PAX_FORMAT) as tar:
                yield Writer(tar)
            file.flush()
            os.fsync(file.fileno())
        part.rename(path)
        _flush_folder(path.parent)
    finally:
        part.unlink(missing_ok=True)


def backup_checked(path: Path) -> Contents:
    """Read a backup from end to end and return what it holds.

    Raises
    ------
    BackupError
        Where it is none, is damaged, or was written in a newer form.
    """
    try:
        found, document = _read_through(path)
    except OSError as fault:
        raise BackupError(f"{path} cannot be read: {fault.strerror or fault}.") from None
    except tarfile.TarError:
        raise BackupError(f"{path} is damaged, or no backup of Tillfeather.") from None
    if document is None:
        raise BackupError(f"{path} is damaged or no backup: it ends without its list of contents.")
    contents = _contents(document)
    for name in sorted(contents.files.keys() | found.keys()):
        if contents.files.get(name) != found.get(name):
            raise BackupError(f"{path} is damaged: {name} is not as it was written.")
    return contents


def backup_files(path: Path) -> Iterator[tuple[str, IO[bytes]]]:
    """Yield the files of a backup that was checked, each to be read before the next."""
    return ((name, file) for name, file, _ in _members(path) if name != LIST)


def _read_through(path: Path) -> tuple[dict[str, dict[str, Any]], dict[str, Any] | None]:
    """Return each file's size and checksum as found, and the list of what should be there."""
    found, document = {}, None
    for name, file, size in _members(path):
        if name == LIST:
            document = _document(file.read(min(size, MOST_LIST_BYTES)))
        else:
            hashed = _Hashed(file)
            while hashed.read(CHUNK_BYTES):
                pass
            found[name] = {"bytes": hashed.count, "sha256": hashed.sha256.hexdigest()}
    return found, document


def _members(path: Path) -> Iterator[tuple[str, IO[bytes], int]]:
    with tarfile.open(path, mode="r:") as tar:
        for told in tar:
            file = tar.extractfile(told)
            if file is not None:
                yield told.name, file, told.size


def _document(text: bytes) -> dict[str, Any]:
    try:
        document = json.loads(text)
        form, _, version = document["format"].partition("/")
        if form != FORMAT:
            raise BackupError("This is no backup of Tillfeather.")
        if int(version) > VERSION:
            raise BackupError(
                f"This backup was made by a newer Tillfeather (form {version}; this one reads up to "
                f"{VERSION}). Update Tillfeather first."
            )
        if document.pop("sha256") != _checksum(document):
            raise BackupError("This backup is damaged: its list of contents was changed.")
    except (ValueError, KeyError, TypeError, AttributeError):
        raise BackupError("This backup is damaged: its list of contents cannot be read.") from None
    return document


def _contents(document: dict[str, Any]) -> Contents:
    told = {name: value for name, value in document.items() if name != "format"}
    return Contents(**told | {"migrations": tuple(told["migrations"])})


def _checksum(document: dict[str, Any]) -> str:
    text = json.dumps(document, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def _flush_folder(folder: Path) -> None:
    """Make the new name itself survive a power cut."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
