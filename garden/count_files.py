"""Where the processes of one web server count their requests, each in a file of its own."""

import os
from pathlib import Path

FOLDER = "PROMETHEUS_MULTIPROC_DIR"
"""The variable by which the metrics' library is told, before it is loaded."""


def count_in_files(folder: Path) -> None:
    """Let all processes count in a folder, unless the environment names another."""
    folder.mkdir(parents=True, exist_ok=True)
    os.environ.setdefault(FOLDER, str(folder))


def forget_counts() -> None:
    """Begin at nought: what processes counted before the last start is told by nobody any more."""
    if folder := os.environ.get(FOLDER):
        for path in Path(folder).glob("*.db"):
            path.unlink(missing_ok=True)
