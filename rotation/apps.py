"""Application settings."""

from django.apps import AppConfig


class RotationConfig(AppConfig):
    """See the package docstring."""

    name = "rotation"

    def ready(self) -> None:
        """Register what this floor asks before a bed or a pen is given up."""
        from rotation import giving_up  # noqa: F401
