"""How the web server runs in production; `WEB_WORKERS`, `WEB_THREADS` and `PORT` may say otherwise."""

import os

from garden.count_files import forget_counts

bind = f"0.0.0.0:{os.environ.get('PORT', '8000')}"
workers = int(os.environ.get("WEB_WORKERS", "2"))
threads = int(os.environ.get("WEB_THREADS", "4"))
preload_app = True
"""Loaded once and then forked: less memory, and what is missing is told in one line before anything listens."""
graceful_timeout = 25
"""Seconds that requests under way have to end; compose and systemd wait a little longer."""
timeout = 60
max_requests, max_requests_jitter = 5000, 500
loglevel = "warning"
"""Requests are logged by the product itself, as JSON, without addresses."""
forwarded_allow_ips = os.environ.get("FORWARDED_ALLOW_IPS", "127.0.0.1")


def on_starting(server: object) -> None:
    """Begin every count at nought."""
    forget_counts()


def child_exit(server: object, worker: object) -> None:
    """Let the counts of a process that ended no longer stand for a living one."""
    if os.environ.get("PROMETHEUS_MULTIPROC_DIR"):
        # Only now: the library must not be loaded before the settings have said where to count.
        from prometheus_client import multiprocess

        multiprocess.mark_process_dead(worker.pid)
