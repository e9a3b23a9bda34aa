"""Where accounts and their second steps differ from the package that does them."""

from allauth.account.adapter import DefaultAccountAdapter
from allauth.mfa.adapter import DefaultMFAAdapter
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
        """Let a browser that somebody signs in on show their language."""
        response = super().post_login(request, user, **how)
        languages.put_in_cookie(request, response, languages.language_of(user))
        return response


class SecondSteps(DefaultMFAAdapter):
    """Codes from an app and passkeys."""

    def build_totp_svg(self, url: str) -> str:
        """Draw the code that an app reads; it holds a secret, so none is kept in memory."""
        return qr_svg.__wrapped__(url)
