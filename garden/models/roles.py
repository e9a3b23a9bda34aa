"""What a member of a garden may do."""

from django.db import models
from django.utils.translation import gettext_lazy

from garden.words import gettext as _
from garden.words import mark


class Role(models.TextChoices):
    """What a member may do; each line includes the one below it."""

    OWNER = "owner", gettext_lazy("Owner: changes rules and people")
    HELPER = "helper", gettext_lazy("Helper: logs work")
    VIEWER = "viewer", gettext_lazy("Viewer: looks on")


ROLE_WORDS = {Role.OWNER: mark("owner"), Role.HELPER: mark("helper"), Role.VIEWER: mark("viewer")}
"""Each role in one word, for sentences and narrow selects."""


def role_word(role: str) -> str:
    """Return a role in one word of the reader's language."""
    return _(ROLE_WORDS[Role(role)])


class HasRole:
    """Mixed into a row with a `role`."""

    @property
    def role_word(self) -> str:
        """Return the role in one word."""
        return role_word(self.role)
