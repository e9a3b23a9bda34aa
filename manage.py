#!/usr/bin/env python
"""Run Tillfeather's commands; `python manage.py help` lists them."""

import os
import sys

from django.core.exceptions import ImproperlyConfigured
from django.core.management import execute_from_command_line


def main() -> None:
    """Hand the command line to Django with this project's settings."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "garden.settings")
    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as error:
        sys.exit(f"Tillfeather cannot start. {error}")


if __name__ == "__main__":
    main()
