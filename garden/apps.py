"""Application settings."""

from django.apps import AppConfig


class GardenConfig(AppConfig):
    """The ground floor: people, beds, crops, access and shared page parts."""

    name = "garden"
