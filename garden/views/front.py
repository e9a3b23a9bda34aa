"""The first page, the screen mode, the language and the health check."""

from django.contrib.auth.decorators import login_not_required
from django.db import connection
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_GET, require_POST

from garden import languages
from garden.context import MODE_COOKIE, MODES
from garden.languages import ONE_YEAR_S
from garden.models import Garden


def next_address(request: HttpRequest, default: str) -> str:
    """Return the posted `next` where it is a path of this site, else `default`.

    Only a path will do: `redirect` takes a plain word for the name of a view, and fails where there is none.
    """
    wanted = request.POST.get("next", "")
    safe = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if wanted.startswith("/") and safe else default


@require_GET
def front(request: HttpRequest) -> HttpResponse:
    """Go to the only garden, or list them, or offer to make the first."""
    gardens = list(Garden.objects.open_to(request.user).order_by("name", "pk"))
    if len(gardens) == 1:
        return redirect("today", garden_id=gardens[0].pk)
    return render(request, "garden/front.html", {"gardens": gardens})


@require_GET
def garden_list(request: HttpRequest) -> HttpResponse:
    """List the user's gardens, also where there is only one."""
    gardens = Garden.objects.open_to(request.user).order_by("name", "pk")
    return render(request, "garden/front.html", {"gardens": list(gardens)})


@login_not_required
@require_POST
def mode(request: HttpRequest) -> HttpResponse:
    """Keep the chosen screen mode in a cookie; the same choice again returns to the system's own."""
    chosen = request.POST.get("mode", "")
    response = redirect(next_address(request, "/"))
    if chosen in MODES and chosen != request.COOKIES.get(MODE_COOKIE):
        # Not HttpOnly: the script that switches modes without a round trip reads and writes it.
        response.set_cookie(
            MODE_COOKIE, chosen, max_age=ONE_YEAR_S, samesite="Lax", secure=request.is_secure()
        )
    else:
        response.delete_cookie(MODE_COOKIE)
    return response


@login_not_required
@require_POST
def language(request: HttpRequest) -> HttpResponse:
    """Show pages, and from now on letters, in a chosen language."""
    chosen = request.POST.get("language", "")
    response = redirect(next_address(request, "/"))
    if chosen in languages.KNOWN:
        languages.put_in_cookie(request, response, chosen)
        if request.user.is_authenticated:
            languages.remember(request.user, chosen)
    return response


@login_not_required
@require_GET
def health(request: HttpRequest) -> JsonResponse:
    """Answer 200 when the database answers; an unreachable database is a 500 for the caller to see."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return JsonResponse({"status": "ok", "database": connection.vendor})
