"""What a scraper reads: requests by route, and how long they took, over all processes of one web server.

Where `PROMETHEUS_MULTIPROC_DIR` names a folder each process counts in a file of its own there, and any of them
can add them up. Labels are route names and methods out of fixed lists, so no address and no person becomes one.
"""

import os
from hmac import compare_digest

from django.conf import settings
from django.http import HttpRequest
from prometheus_client import CollectorRegistry, Counter, Histogram, multiprocess
from prometheus_client.registry import Collector

COUNTED = CollectorRegistry()
REQUESTS = Counter(
    "tillfeather_requests", "Requests answered.", ["method", "route", "status"], registry=COUNTED
)
SECONDS = Histogram(
    "tillfeather_request_seconds",
    "Seconds from a request to its answer.",
    ["route"],
    registry=COUNTED,
    buckets=(0.01, 0.025, 0.05, 0.1, 0.15, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0),
)
METHODS = ("GET", "HEAD", "POST")


def request_counted(method: str, route: str, status: int, seconds: float) -> None:
    """Count one request."""
    named = method if method in METHODS else "other"
    REQUESTS.labels(named, route, str(status)).inc()
    SECONDS.labels(route).observe(seconds)


def registry_of(*more: Collector) -> CollectorRegistry:
    """Return what is to be told now: the counts of all processes, and what is looked up."""
    registry = CollectorRegistry()
    if os.environ.get("PROMETHEUS_MULTIPROC_DIR"):
        multiprocess.MultiProcessCollector(registry)
    else:
        registry.register(_Own())
    for collector in more:
        registry.register(collector)
    return registry


class _Own(Collector):
    """The counts of this process alone."""

    def collect(self) -> list[object]:
        """Return them."""
        return list(COUNTED.collect())


def may_scrape(request: HttpRequest) -> bool:
    """Whether a request carries the token that was set, as ``Authorization: Bearer …``."""
    given = request.headers.get("Authorization", "").removeprefix("Bearer ")
    wanted = settings.METRICS_TOKEN
    return bool(wanted) and compare_digest(given.encode(), wanted.encode())
