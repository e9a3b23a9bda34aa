"""``python -m tests.benchmarks.bad_inputs``: bad input to every form and every query, as many as asked for.

Hypothesis makes them up out of nonsense, text of any letters, numbers of any size and days of any year, one
address after the other. None may be a fault of ours, change a row where it is refused, or lead to another site;
the first that does is told as small as Hypothesis can make it.
"""

import argparse
import os
import time
from collections import Counter
from urllib.parse import urlencode

import hypothesis.strategies as st
from django.test import Client
from hypothesis import HealthCheck, given, seed, settings

VALUES = st.one_of(
    st.text(max_size=40),
    st.integers(-(10**25), 10**25).map(str),
    st.floats().map(repr),
    st.dates().map(str),
    st.text("0123456789.,:;-+/ eE'\"×x", max_size=12),
)
QUERIES = ("next", "page", "from", "since", "until", "person", "batch", "tomorrow")
"""What addresses are asked for beside their forms' fields."""
HELD = (400, 403, 404, 405, 409, 422, 429)
"""Refusals that an answer may be, beside success and sending elsewhere on this site."""


def bad_inputs(count: int, *, owner: Client, rows: dict[str, object], start: int = 0) -> Counter:
    """Send bad inputs and return how many answers there were of each status.

    Parameters
    ----------
    count : int
        How many, spread over all addresses.
    owner : Client
        Somebody who may do everything in the garden of `rows`.
    rows : dict
        One id of every kind, as `rows_of` makes them.
    start : int
        Where the made-up inputs begin: the same number gives the same ones.
    """
    from tests.stories.test_every_address import asked, url
    from tests.stories.test_nonsense import (
        EVERYWHERE,
        NONSENSE,
        POSTED_ONLY,
        FormReader,
        form_of,
        posted,
    )

    forms: list[tuple[str, bool, list[str]]] = []
    for address in EVERYWHERE:
        place, reader = url(address, rows), FormReader()
        takes_posts = posted(owner, place, {}).status_code != 405
        if address.name in POSTED_ONLY:
            reader = form_of(owner, address, place)
        elif not (answer := owner.get(place)).streaming:
            reader.feed(answer.content.decode(errors="replace"))
        forms.append((place, takes_posts, sorted(reader.sent)))
    values = st.one_of(st.sampled_from(NONSENSE), VALUES)
    statuses: Counter = Counter()

    def one(place: str, takes_posts: bool, names: list[str], many: int, salt: int) -> None:
        fields = st.sampled_from([*names, *QUERIES])

        @seed(salt)
        @settings(
            max_examples=many, database=None, deadline=None, suppress_health_check=list(HealthCheck)
        )
        @given(st.dictionaries(fields, st.lists(values, max_size=2)))
        def send(sent: dict[str, list[str]]) -> None:
            looked = asked(owner, "GET", f"{place}?{urlencode(sent, doseq=True, errors='replace')}")
            answer = posted(owner, place, sent) if takes_posts else looked
            for each in (answer, looked):
                assert each.status_code < 400 or each.status_code in HELD, (place, each.status_code)
                to = each.headers.get("Location", "/")
                assert to.startswith("/"), (place, to)
                assert not to.startswith(("//", "/\\")), (place, to)
            statuses[answer.status_code] += 1

        send()

    share, extra = divmod(count, len(forms))
    for number, (place, takes_posts, names) in enumerate(forms):
        many = share + (number < extra)
        if many:
            one(place, takes_posts, names, many, start + number)
    return statuses


def main() -> None:
    """Make a database in memory, send, and tell how many answers there were of each kind."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--start", type=int, default=0, help="another number, other inputs")
    given_words = parser.parse_args()
    began = time.monotonic()
    owner, rows = _garden()
    statuses = bad_inputs(given_words.count, owner=owner, rows=rows, start=given_words.start)
    told = ", ".join(f"{many} × {status}" for status, many in sorted(statuses.items()))
    seconds = time.monotonic() - began
    print(f"{statuses.total()} bad inputs in {seconds:.0f} s, none a fault of ours: {told}")


def _garden() -> tuple[Client, dict[str, object]]:
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "garden.settings")
    django.setup()
    import logging

    from tests import conftest

    conftest.pytest_configure()

    from django.conf import settings as ours
    from django.db import connection
    from django.test.utils import setup_test_environment

    logging.disable(logging.CRITICAL)
    setup_test_environment()
    ours.PRETEND_TODAY, ours.PLAN_SECONDS = conftest.TODAY, 0.0001
    connection.creation.create_test_db(verbosity=0, serialize=False)
    from tests.factories import GardenFactory, MembershipFactory
    from tests.stories.test_every_address import rows_of

    garden = GardenFactory()
    member = MembershipFactory(garden=garden, role="owner")
    client = Client()
    client.force_login(member.user)
    return client, rows_of(garden, member.user)


if __name__ == "__main__":
    main()
