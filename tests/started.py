"""Processes for stories that kill them: copies of one that has loaded the product, so they start at once."""

import os
import sys
from collections.abc import Callable
from multiprocessing import forkserver, get_context
from multiprocessing.context import ForkServerProcess
from pathlib import Path
from unittest.mock import patch

LOADED = get_context("forkserver")


def loaded(**variables: str) -> None:
    """Load the product, with these variables alone, into the process that others are copied from."""
    variables |= {"PATH": os.environ["PATH"], "DJANGO_SETTINGS_MODULE": "garden.settings"}
    LOADED.set_forkserver_preload(["tests.loaded"])
    with patch.dict(os.environ, variables, clear=True):
        forkserver.ensure_running()


def started(folder: Path, work: Callable[..., None], *words: str) -> ForkServerProcess:
    """Start some work on the database of a folder; what it says is in the folder's file `said`."""
    process = LOADED.Process(target=_begin, args=(folder, work, words))
    process.start()
    return process


def _begin(folder: Path, work: Callable[..., None], words: tuple[str, ...]) -> None:
    from django.conf import settings
    from django.db import connection

    said = os.open(folder / "said", os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    for stream in (sys.stdout, sys.stderr):
        os.dup2(said, stream.fileno())
    settings.VAR_DIR = folder
    connection.settings_dict["NAME"] = folder / "garden.sqlite3"
    work(*words)
    connection.close()
