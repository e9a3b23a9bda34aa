"""Application settings."""

from django.apps import AppConfig


class FlocksConfig(AppConfig):
    """See the package docstring."""

    name = "flocks"
