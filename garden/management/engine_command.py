"""The headless form of an engine: one JSON document in, one JSON document out."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any, ClassVar

from django.core.management.base import BaseCommand, CommandParser

from garden.documents import MAX_BYTES, DocumentError

EXIT_MALFORMED = 2


class EngineCommand(BaseCommand):
    """Read a document from a path or ``-``, answer with another on standard output.

    A subclass sets `document_help` and implements `answer`, which may raise `DocumentError`: its faults
    are printed one a line on standard error and the exit status is 2.
    """

    document_help: ClassVar[str] = "path of the JSON document, or - for standard input"
    requires_system_checks: ClassVar[list[str]] = []

    def add_arguments(self, parser: CommandParser) -> None:
        """Add the document's path; a subclass adds its own options after calling this."""
        parser.add_argument("document", help=self.document_help)

    def answer(self, raw: bytes, options: dict[str, Any]) -> dict[str, Any]:
        """Return the answering document for the raw bytes of the asking one."""
        raise NotImplementedError

    def handle(self, *_: Any, **options: Any) -> None:
        """Print the answer, or the faults with exit status 2."""
        try:
            answer = self.answer(self._read(options["document"]), options)
        except DocumentError as error:
            self.stderr.write("\n".join(error.told()))
            sys.exit(EXIT_MALFORMED)
        self.stdout.write(json.dumps(answer, ensure_ascii=False, allow_nan=False))

    def _read(self, path: str) -> bytes:
        if path == "-":
            return sys.stdin.buffer.read(MAX_BYTES + 1)
        try:
            # A byte more than is taken, so that a larger one is refused without being read.
            with Path(path).open("rb") as file:
                return file.read(MAX_BYTES + 1)
        except OSError as error:
            raise DocumentError([f"document: cannot read {path}: {error.strerror}"]) from None
