"""The application that a web server loads."""

import os

from django.core.wsgi import get_wsgi_application
from django.urls import get_resolver

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "garden.settings")
application = get_wsgi_application()
# Views bring the engines with them; loaded here, they do not make the first visitor wait.
get_resolver().url_patterns  # noqa: B018
