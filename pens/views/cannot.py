"""What a page of a design does when the design cannot be built."""

from collections.abc import Callable
from functools import wraps

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from garden.words import gettext as _
from pens.design import DesignError

View = Callable[..., HttpResponse]


def or_tell_why(view: View) -> View:
    """Send the reader back to the Build page with the reason.

    The form saves only what can be built; but a later version may know of a fault that this one did not.
    """

    @wraps(view)
    def guarded(
        request: HttpRequest, garden_id: int, *args: object, **kwargs: object
    ) -> HttpResponse:
        try:
            return view(request, garden_id, *args, **kwargs)
        except DesignError as error:
            told = _("This design cannot be built: {reason} Change it first.")
            messages.error(request, told.format(reason=error))
            return redirect("build", garden_id=garden_id)

    return guarded
