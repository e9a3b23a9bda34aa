"""What every view is spared: ids that no row can have, and forms that lost a race to the database."""

from collections.abc import Callable
from typing import Any

from allauth.core.exceptions import ImmediateHttpResponse, ReauthenticationRequired
from django.db import IntegrityError
from django.http import Http404, HttpRequest, HttpResponse

View = Callable[..., HttpResponse]


LARGEST_ID = 2**63 - 1
"""The largest number that the databases keep in an id."""


class NoSuchId:
    """Answer 404 to an address with an id beyond any row's, which a database would refuse to look for."""

    def __init__(self, get_response: View) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Pass the request on; the work is done in `process_view`."""
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: View, args: list[Any], kwargs: dict[str, Any]
    ) -> None:
        """Look at the ids of the address."""
        if any(isinstance(value, int) and value > LARGEST_ID for value in kwargs.values()):
            raise Http404("No row has such an id")


class OnceMore:
    """Ask a view a second time where somebody else saved the same name in the same moment.

    A form sees that a name is taken only when it is read. Of two that come at once, each finds the name free
    and the database refuses the later one, which has then saved nothing. Read again, its form finds the
    other's row and says so beside the field, as it does for a name that was taken long ago.

    Stands last in the settings' list, so that nothing but the view is asked twice.
    """

    def __init__(self, get_response: View) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Pass the request on; the work is done in `process_view`."""
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: View, args: list[Any], kwargs: dict[str, Any]
    ) -> HttpResponse | None:
        """Answer a post; other requests go their way."""
        if request.method != "POST":
            return None
        try:
            return view(request, *args, **kwargs)
        except IntegrityError:
            return view(request, *args, **kwargs)
        except ImmediateHttpResponse as answer:
            return answer.response
        except ReauthenticationRequired:
            # Nothing was done yet. Django asks again, and lets the accounts' package send to the password.
            return None
