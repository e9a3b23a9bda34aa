"""Application settings."""

from django.apps import AppConfig


class FlocksConfig(AppConfig):
    """See the package docstring."""

    name = "flocks"

    def ready(self) -> None:
        """Register what this floor tells the Build place of its strains, and the guard of withdrawal times."""
        from flocks import pen_masses, withdrawal_guard  # noqa: F401
