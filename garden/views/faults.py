"""What is answered where a view has failed."""

import sys

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template import loader
from django.utils.translation import gettext_lazy
from django.views import defaults

from garden.disk_full import is_disk_full
from garden.taken_once import is_entry

NO_ROOM_STATUS = 507
"""“Insufficient Storage”: a phone's outbox keeps what got it, and sends it again."""
NO_ROOM = [
    gettext_lazy("The server’s disk is full. This is kept on the phone and sent again later.")
]


def server_error(request: HttpRequest) -> HttpResponse:
    """Say that the disk is full where that was it, and otherwise that something broke.

    Whatever failed was one transaction, so nothing of it is saved. The page reads no row and writes none.
    """
    if not is_disk_full(sys.exc_info()[1]):
        return defaults.server_error(request)
    if is_entry(request):
        return JsonResponse({"wrong": NO_ROOM}, status=NO_ROOM_STATUS)
    page = loader.get_template("507.html").render()
    return HttpResponse(page, status=NO_ROOM_STATUS)
