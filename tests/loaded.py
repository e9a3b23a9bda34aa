"""Loads the product once for `tests.started`, which copies the process that did."""

import django
from django.urls import get_resolver

from rotation.engine.search import ready

django.setup()
get_resolver().url_patterns  # noqa: B018
ready()
