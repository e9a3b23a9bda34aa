"""Where accounts and their second steps differ from the package that does them."""

import base64
import hashlib

from allauth.account.adapter import DefaultAccountAdapter
from allauth.mfa.adapter import DefaultMFAAdapter
from cryptography.fernet import Fernet, InvalidToken
from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils.translation import get_language

from garden import languages
from garden.qr import qr_svg


class Accounts(DefaultAccountAdapter):
    """Sign-up and sign-in, which know the language that somebody reads."""

    def save_user(
        self, request: HttpRequest, user: object, form: object, commit: bool = True
    ) -> object:
        """Make an account whose letters come in the language it was made in."""
        made = super().save_user(request, user, form, commit)
        if commit:
            languages.remember(made, get_language())
        return made

    def post_login(self, request: HttpRequest, user: object, **how: object) -> HttpResponse:
        """Let a browser that somebody signs in on show their language; who has none takes on the browser's."""
        response = super().post_login(request, user, **how)
        code = languages.chosen_by(user)
        if code is None:
            code = get_language()
            languages.remember(user, code)
        languages.put_in_cookie(request, response, code)
        return response


SEALED = "sealed:"
"""What stands before a secret that is encrypted; one without it was kept before secrets were."""


def _sealer() -> Fernet:
    """Return what encrypts by the installation's own key, which no backup and no table holds."""
    key = hashlib.sha256(b"second steps:" + settings.SECRET_KEY.encode()).digest()
    return Fernet(base64.urlsafe_b64encode(key))


class SecondSteps(DefaultMFAAdapter):
    """Codes from an app and passkeys; what codes are made from is encrypted where it is kept."""

    def encrypt(self, text: str) -> str:
        """Return a secret as it is kept."""
        return SEALED + _sealer().encrypt(text.encode()).decode()

    def decrypt(self, encrypted_text: str) -> str:
        """Return a kept secret; nothing, which no code fits, where the installation's key is another by now."""
        if not encrypted_text.startswith(SEALED):
            return encrypted_text
        try:
            return _sealer().decrypt(encrypted_text.removeprefix(SEALED)).decode()
        except InvalidToken:
            return ""

    def build_totp_svg(self, url: str) -> str:
        """Draw the code that an app reads; it holds a secret, so none is kept in memory."""
        return qr_svg.__wrapped__(url)
