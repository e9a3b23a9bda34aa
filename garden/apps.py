"""Application settings."""

from typing import ClassVar

from django.apps import AppConfig
from django.contrib.staticfiles.apps import StaticFilesConfig

from garden.web_speaker import WebSpeaker
from garden.words import speak_through


class GardenConfig(AppConfig):
    """The ground floor: people, beds, crops, access and shared page parts."""

    name = "garden"
    # Of the two in this module, what the bare name of the application stands for.
    default = True

    def ready(self) -> None:
        """Let the pure modules of every floor speak the reader's language."""
        speak_through(WebSpeaker())


class ServedFiles(StaticFilesConfig):
    """The files that pages use, without what packages carry beside them."""

    ignore_patterns: ClassVar[list[str]] = [
        *StaticFilesConfig.ignore_patterns,
        "widgetbundle.js",
        "datasets",
        "templates",
        "htmax-*",
        "htmx-4*",
    ]
