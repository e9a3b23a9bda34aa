"""The forms about an account in our own words; what they do is allauth's."""

from typing import Any

from allauth.account.forms import (
    ChangePasswordForm,
    LoginForm,
    ResetPasswordForm,
    ResetPasswordKeyForm,
    SignupForm,
)
from django import forms

LABELS = {
    "login": "Username or e-mail",
    "username": "Username",
    "email": "E-mail",
    "oldpassword": "Password now",
    "password": "Password",
    "password1": "Password",
    "password2": "Password again",
    "remember": "Stay signed in on this device",
}
WHAT_IT_TAKES = "At least 8 characters; no common word, not your name, not only numbers."


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
        self.fields["email"].help_text = "Only to send a new password, should you forget this one."


class NewPasswordForm(_InOurWords, ChangePasswordForm):
    """Another password for somebody who knows the old one."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["password1"].label = "New password"
        self.fields["password2"].label = "New password again"


class ForgottenPasswordForm(_InOurWords, ResetPasswordForm):
    """Where to send the link."""


class LinkedPasswordForm(_InOurWords, ResetPasswordKeyForm):
    """A new password for somebody who has the link."""
