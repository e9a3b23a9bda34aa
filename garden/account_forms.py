"""The sign-in and sign-up forms in our own words; what they do is allauth's."""

from typing import Any

from allauth.account.forms import LoginForm, SignupForm
from django import forms

LABELS = {
    "login": "Username or e-mail",
    "username": "Username",
    "email": "E-mail",
    "password": "Password",
    "password1": "Password",
    "password2": "Password again",
    "remember": "Stay signed in on this device",
}


def _in_our_words(form: forms.Form) -> None:
    """Name the fields, and drop the placeholders that only repeat a label."""
    for name, field in form.fields.items():
        field.label = LABELS.get(name, field.label)
        field.widget.attrs.pop("placeholder", None)


class SignInForm(LoginForm):
    """One field for the name or the address, one for the password."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _in_our_words(self)
        self.fields["login"].widget.attrs["autocomplete"] = "username"


class SignUpForm(SignupForm):
    """A new account."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _in_our_words(self)
