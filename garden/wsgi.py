"""The application that a web server loads."""

import gc
import os
import sys

from django.core.exceptions import ImproperlyConfigured
from django.core.wsgi import get_wsgi_application
from django.urls import get_resolver

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "garden.settings")
try:
    application = get_wsgi_application()
except ImproperlyConfigured as error:
    sys.exit(f"Tillfeather cannot start. {error}")
# Views bring the engines with them; loaded here, they do not make the first visitor wait.
get_resolver().url_patterns  # noqa: B018
# What is loaded now stays: a full look for garbage through all of it took longer than a page of 200 beds.
gc.collect()
gc.freeze()
