"""What makes the product installable and lets it work without signal."""

import hashlib
import json

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.utils.safestring import mark_safe
from django.utils.translation import get_language, override
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from garden import languages
from garden.icons import ICON_SIZES_PX
from garden.script_words import worker_words
from garden.words import gettext as _

PAGE_FILES = ("app.css", "app.js", "outbox_store.js", "outbox.js", "icon.svg")
"""Files that every page needs."""
PAGE_COLOUR, INK = "#e8ecee", "#14191c"


@login_not_required
@never_cache
@require_GET
def worker(request: HttpRequest) -> HttpResponse:
    """Return the service worker, which names the files of this version.

    A page in another language asks for it by another address: then the browser fetches it anew at once.
    """
    with _asked_language(request):
        return _worker(request)


def _worker(request: HttpRequest) -> HttpResponse:
    files = [static(name) for name in PAGE_FILES]
    context = {
        "files": files,
        "static_url": settings.STATIC_URL,
        "language": get_language(),
        "words": mark_safe(json.dumps(worker_words())),  # noqa: S308 our own words, as JSON
    }
    draft = render_to_string("offline/worker.js", context, request)
    version = hashlib.sha256(draft.encode()).hexdigest()[:12]
    return render(
        request,
        "offline/worker.js",
        context | {"version": version},
        content_type="text/javascript",
    )


@login_not_required
@require_GET
def manifest(request: HttpRequest) -> JsonResponse:
    """Return what a phone needs to know to install the product."""
    icons = [{"src": static("icon.svg"), "sizes": "any", "type": "image/svg+xml"}]
    icons += [
        {
            "src": static(f"icon-{size}.png"),
            "sizes": f"{size}x{size}",
            "type": "image/png",
            "purpose": purpose,
        }
        for size in ICON_SIZES_PX
        for purpose in ("any", "maskable")
    ]
    told = {
        "id": "/",
        "name": "Tillfeather",
        "short_name": "Tillfeather",
        "description": _(
            "Which bed each pen stands on, what the birds weigh and eat, and when a bed is "
            "safe to harvest."
        ),
        "start_url": "/",
        "scope": "/",
        "display": "standalone",
        "background_color": PAGE_COLOUR,
        "theme_color": INK,
        "icons": icons,
    }
    return JsonResponse(told, content_type="application/manifest+json")


@login_not_required
@require_GET
def offline(request: HttpRequest) -> HttpResponse:
    """Return the page that stands in for one that this phone has not kept.

    The worker fetches it without cookies, so it asks for a language by name.
    """
    with _asked_language(request):
        response = render(request, "offline/offline.html")
        response["Content-Language"] = get_language()
    return response


@login_not_required
@never_cache
@require_GET
def outbox_token(request: HttpRequest) -> JsonResponse:
    """Tell a page who is signed in now, with a token that its posts may use; nobody is null.

    Nobody gets no token: making one sets a cookie, which would overtake that of a sign-in form being filled in.
    """
    if not request.user.is_authenticated:
        return JsonResponse({"user": None, "token": None})
    return JsonResponse({"user": request.user.pk, "token": get_token(request)})


def _asked_language(request: HttpRequest) -> override:
    """Return a context in the language that an address names, else in the reader's."""
    asked = request.GET.get("language")
    return override(asked if asked in languages.KNOWN else get_language())
