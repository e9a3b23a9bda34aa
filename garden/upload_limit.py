"""Holds every file that is sent to a size, before it fills a disk."""

from collections.abc import Callable
from typing import Any

from django.core.files.uploadhandler import FileUploadHandler, SkipFile

MOST_BYTES = 20_000_000
"""The largest file that is taken in [byte]; what reads a kind of file may want less. Our choice."""
TOO_LARGE = "upload_too_large"
"""The request attribute that says a file was left out for its size."""

LARGER = "most_upload_bytes"
"""The attribute of a view that takes larger files."""


def takes_files_of(most_bytes: int) -> Callable[[Any], Any]:
    """Let a view take files of up to a size [byte]; stands outermost among its decorators."""

    def mark(view: Any) -> Any:
        setattr(view, LARGER, most_bytes)
        return view

    return mark


class LimitedUpload(FileUploadHandler):
    """Leaves out a file as soon as it is larger than any may be. Stands first among the handlers."""

    def new_file(self, *args: object, **kwargs: object) -> None:
        """Count from nothing."""
        super().new_file(*args, **kwargs)
        self.taken = 0
        match = self.request and self.request.resolver_match
        self.most = getattr(match and match.func, LARGER, MOST_BYTES)

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        """Pass a piece on to the next handler."""
        self.taken += len(raw_data)
        if self.taken > self.most:
            setattr(self.request, TOO_LARGE, True)
            raise SkipFile
        return raw_data

    def file_complete(self, file_size: int) -> None:
        """Leave the file to the next handler."""
