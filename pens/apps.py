"""Application settings."""

from django.apps import AppConfig


class PensConfig(AppConfig):
    """See the package docstring."""

    name = "pens"
