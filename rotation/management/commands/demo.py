"""Make the demo garden and its user, with a password of this installation's own."""

import os
import secrets
from typing import Any

from django.conf import settings
from django.contrib.auth import get_user_model
from django.core.management.base import BaseCommand
from django.db import transaction

from garden.clock import today_in
from garden.models import Garden
from rotation.demo import demo_make

USERNAME = "demo"


class Command(BaseCommand):
    """Make the demo garden, told relative to today."""

    help = __doc__

    def handle(self, *_: Any, **__: Any) -> None:
        """Make the user where there is none, give it a fresh garden, say the password.

        All or nothing: a start that was broken off leaves no half garden and no user without a password.
        """
        with transaction.atomic():
            garden = self._make()
        self.stdout.write(f"{garden} is ready for the user {USERNAME}.")

    def _make(self) -> Garden:
        user, is_new = get_user_model().objects.get_or_create(username=USERNAME)
        if is_new:
            password = secrets.token_urlsafe(9)
            user.set_password(password)
            user.save()
            self._keep(password)
        return demo_make(user=user, on=today_in("Europe/Dublin"))

    def _keep(self, password: str) -> None:
        path = settings.DEMO_PASSWORD_FILE
        path.parent.mkdir(parents=True, exist_ok=True)
        path.unlink(missing_ok=True)
        with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as handle:
            handle.write(password)
