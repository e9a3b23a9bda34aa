"""Tells a full disk from other faults, whoever met it first: the system, SQLite or PostgreSQL."""

import errno
import sqlite3
from collections.abc import Iterator

NO_ROOM = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
"""No space on the disk, none left of a share of it, or a limit on the size of files."""
SQLITE_NO_ROOM = {sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR_WRITE, sqlite3.SQLITE_IOERR_SHMSIZE}
POSTGRESQL_NO_ROOM = "53100"
"""`disk_full` in PostgreSQL's list of error codes."""


def is_disk_full(fault: BaseException | None) -> bool:
    """Whether a fault, or one that it came from, is that nothing more can be written."""
    return any(
        (isinstance(one, OSError) and one.errno in NO_ROOM)
        or getattr(one, "sqlite_errorcode", None) in SQLITE_NO_ROOM
        or getattr(one, "sqlstate", None) == POSTGRESQL_NO_ROOM
        for one in _chain(fault)
    )


def _chain(fault: BaseException | None) -> Iterator[BaseException]:
    seen: set[int] = set()
    while fault is not None and id(fault) not in seen:
        seen.add(id(fault))
        yield fault
        fault = fault.__cause__ or fault.__context__
