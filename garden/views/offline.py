"""What makes the product installable and lets it work without signal."""

import hashlib

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from garden.icons import ICON_SIZES_PX

PAGE_FILES = ("app.css", "app.js", "outbox_store.js", "outbox.js", "icon.svg")
"""Files that every page needs."""
PAGE_COLOUR, INK = "#e8ecee", "#14191c"


@login_not_required
@never_cache
@require_GET
def worker(request: HttpRequest) -> HttpResponse:
    """Return the service worker, which names the files of this version."""
    files = [static(name) for name in PAGE_FILES]
    context = {"files": files, "static_url": settings.STATIC_URL}
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
        "description": "Which bed each pen stands on, what the birds weigh and eat, and when a bed is "
        "safe to harvest.",
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
    """Return the page that stands in for one that this phone has not kept."""
    return render(request, "offline/offline.html")


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
