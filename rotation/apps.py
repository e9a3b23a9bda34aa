"""Application settings."""

from django.apps import AppConfig


class RotationConfig(AppConfig):
    """See the package docstring."""

    name = "rotation"

    def ready(self) -> None:
        """Register what this floor answers to the ones below."""
        from rotation import giving_up, safe_day  # noqa: F401
