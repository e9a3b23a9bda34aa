"""Holds every file that is sent to one size, before it fills a disk."""

from django.core.files.uploadhandler import FileUploadHandler, SkipFile

MOST_BYTES = 20_000_000
"""The largest file that is taken in [byte]; what reads a kind of file may want less. Our choice."""
TOO_LARGE = "upload_too_large"
"""The request attribute that says a file was left out for its size."""


class LimitedUpload(FileUploadHandler):
    """Leaves out a file as soon as it is larger than any may be. Stands first among the handlers."""

    def new_file(self, *args: object, **kwargs: object) -> None:
        """Count from nothing."""
        super().new_file(*args, **kwargs)
        self.taken = 0

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        """Pass a piece on to the next handler."""
        self.taken += len(raw_data)
        if self.taken > MOST_BYTES:
            setattr(self.request, TOO_LARGE, True)
            raise SkipFile
        return raw_data

    def file_complete(self, file_size: int) -> None:
        """Leave the file to the next handler."""
