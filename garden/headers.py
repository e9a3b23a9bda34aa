"""Headers that every answer carries, whatever made it: a page, a file, a redirect or a fault."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

ALLOWED_TO_US = ("publickey-credentials-create", "publickey-credentials-get")
"""What a browser offers and our pages use: passkeys."""
ALLOWED_TO_NOBODY = (
    "accelerometer", "ambient-light-sensor", "autoplay", "bluetooth", "browsing-topics", "camera",
    "display-capture", "encrypted-media", "gamepad", "geolocation", "gyroscope", "hid", "idle-detection",
    "magnetometer", "microphone", "midi", "payment", "picture-in-picture", "screen-wake-lock", "serial",
    "usb", "xr-spatial-tracking",
)  # fmt: skip
"""What no page of ours uses. A photo is a file to the browser, and a place is typed."""
PERMISSIONS = ", ".join(
    [f"{name}=(self)" for name in ALLOWED_TO_US] + [f"{name}=()" for name in ALLOWED_TO_NOBODY]
)
HEADERS = {
    "Permissions-Policy": PERMISSIONS,
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Frame-Options": "DENY",
    "X-Permitted-Cross-Domain-Policies": "none",
}


class SafeHeaders:
    """Add what Django has no setting for. Stands first in the settings' list, so that no answer misses it."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer, with the headers."""
        response = self.get_response(request)
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        return response
