"""The forms about an account in our own words; what they do is allauth's."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from allauth.account.forms import (
    ChangePasswordForm,
    LoginForm,
    ReauthenticateForm,
    ResetPasswordForm,
    ResetPasswordKeyForm,
    SignupForm,
)
from allauth.mfa.adapter import get_adapter
from allauth.mfa.base.forms import AuthenticateForm
from allauth.mfa.base.forms import ReauthenticateForm as ReauthenticateByCodeForm
from allauth.mfa.models import Authenticator
from allauth.mfa.totp.forms import ActivateTOTPForm
from allauth.mfa.webauthn.forms import (
    AddWebAuthnForm,
    AuthenticateWebAuthnForm,
    LoginWebAuthnForm,
    ReauthenticateWebAuthnForm,
)
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from garden.words import gettext as _

LABELS = {
    "login": gettext_lazy("Username or e-mail"),
    "username": gettext_lazy("Username"),
    "email": gettext_lazy("E-mail"),
    "oldpassword": gettext_lazy("Password now"),
    "password": gettext_lazy("Password"),
    "password1": gettext_lazy("Password"),
    "password2": gettext_lazy("Password again"),
    "remember": gettext_lazy("Stay signed in on this device"),
    "code": gettext_lazy("Code"),
    "name": gettext_lazy("What you call it"),
    "passwordless": gettext_lazy("Sign in with it alone, without a password"),
}
WHAT_IT_TAKES = gettext_lazy(
    "At least 8 characters; no common word, not your name, not only numbers."
)


class _InOurWords(forms.Form):
    """Name the fields, say briefly what a password takes, drop placeholders that repeat a label."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.label = LABELS.get(name, field.label)
            field.widget.attrs.pop("placeholder", None)
            # A forgotten password has its link below the form.
            field.help_text = WHAT_IT_TAKES if name == "password1" else ""


class SignInForm(_InOurWords, LoginForm):
    """One field for the name or the address, one for the password."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["login"].widget.attrs["autocomplete"] = "username"


class SignUpForm(_InOurWords, SignupForm):
    """A new account."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["email"].help_text = _(
            "Only to send a new password, should you forget this one."
        )


class NewPasswordForm(_InOurWords, ChangePasswordForm):
    """Another password for somebody who knows the old one."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["password1"].label = _("New password")
        self.fields["password2"].label = _("New password again")


class ForgottenPasswordForm(_InOurWords, ResetPasswordForm):
    """Where to send the link."""


class LinkedPasswordForm(_InOurWords, ResetPasswordKeyForm):
    """A new password for somebody who has the link."""


class PasswordAgainForm(_InOurWords, ReauthenticateForm):
    """The password once more, before something that matters."""


class CodeForm(_InOurWords, AuthenticateForm):
    """The code of the second step: from the app, or one of those kept for a lost phone."""


class CodeAgainForm(_InOurWords, ReauthenticateByCodeForm):
    """The code once more, before something that matters."""


class FirstCodeForm(_InOurWords, ActivateTOTPForm):
    """The first code, which shows that the app has read the secret."""


@contextmanager
def _no_such_key() -> Iterator[None]:
    """Refuse what is no answer of a key at all; the package lets some of it fail in its decoding."""
    try:
        yield
    except ValidationError:
        raise
    except (ValueError, TypeError, KeyError, AttributeError):
        raise get_adapter().validation_error("incorrect_code") from None


class NewKeyForm(_InOurWords, AddWebAuthnForm):
    """A passkey or a security key, with a name to know it by."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"].max_length = 80
        self.fields["name"].help_text = _("Such as “my phone”.")
        self.fields["passwordless"].help_text = _(
            "The device then asks for your finger, face or PIN."
        )

    def clean(self) -> dict[str, Any]:
        """Check what the key answered."""
        with _no_such_key():
            return super().clean()


class _KeyChecked(forms.Form):
    def clean_credential(self) -> Authenticator:
        """Check what the key answered."""
        with _no_such_key():
            return super().clean_credential()


class KeyForm(_KeyChecked, AuthenticateWebAuthnForm):
    """A key as the second step."""


class KeyAgainForm(_KeyChecked, ReauthenticateWebAuthnForm):
    """A key once more, before something that matters."""


class KeyAloneForm(_KeyChecked, LoginWebAuthnForm):
    """A passkey in place of name and password."""
