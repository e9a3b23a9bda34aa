"""A large garden's files, made behind the pages: asked for once, told how far, stopped, fetched, forgotten."""

import json
from datetime import timedelta

import pytest
from django.urls import reverse

from garden.clock import now
from rotation import exports
from rotation.exports import GAVE_UP, export_ask, export_claim, export_make, exports_sweep
from rotation.models import Export
from rotation.plan_runs import worker_alive
from rotation.task_tries import MOST_TRIES
from rotation.task_worker import TaskWorker
from tests.factories import BedFactory

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


def ask(client, garden, kind: str = "archive") -> None:
    """Ask on the page."""
    answer = client.post(reverse("export_ask", args=[garden.pk]), {"kind": kind})
    assert answer.url == reverse("in_out", args=[garden.pk])


def page(client, garden) -> str:
    """Return the page's words."""
    return client.get(reverse("in_out", args=[garden.pk])).content.decode()


def test_a_file_is_waited_for_made_by_a_worker_and_fetched(garden, helper, viewer):
    BedFactory(garden=garden, name="Bed of beans")
    worker_alive(name="w")
    ask(helper, garden)
    ask(helper, garden)
    made = Export.objects.get()
    progress = reverse("export_progress", args=[garden.pk])
    fetch = reverse("export_fetch", args=[garden.pk, made.pk])
    assert "Waiting to make the archive" in page(helper, garden)
    assert "<progress" in viewer.get(progress, headers=HTMX).content.decode()
    assert viewer.get(fetch).status_code == 404
    TaskWorker(until_idle=True).work()
    assert viewer.get(progress, headers=HTMX).headers["HX-Refresh"] == "true"
    assert "Fetch the archive that lies ready, " in page(viewer, garden)
    answer = viewer.get(fetch)
    assert json.loads(answer.content)["rows"]["garden.bed"][0]["name"] == "Bed of beans"
    assert "attachment" in answer.headers["Content-Disposition"]


def test_where_no_worker_lives_the_page_makes_it(garden, helper):
    ask(helper, garden, "tables")
    made = Export.objects.get()
    assert (made.size, bytes(made.content)[:2]) == (len(made.content), b"PK")
    ask(helper, garden, "all")
    assert Export.objects.get() == made


def test_a_wish_taken_back_ends_the_work_and_an_ended_worker_hands_it_on(garden, helper):
    worker_alive(name="w")
    ask(helper, garden)
    made, shares = Export.objects.get(), []

    def beat() -> bool:
        shares.append(Export.objects.get().share_done)
        return len(shares) == 3

    assert not export_make(export_claim(made.pk, worker="ending"), worker="ending", beat=beat)
    assert shares[0] < shares[1] < shares[2]
    made.refresh_from_db()
    assert (made.claimed_by, made.tries, made.finished_at) == ("", 0, None)
    claimed = export_claim(made.pk, worker="w")
    helper.post(reverse("export_stop", args=[garden.pk, made.pk]))
    assert export_make(claimed, worker="w", beat=lambda: False)
    assert not Export.objects.exists()
    assert "<progress" not in page(helper, garden)


def test_a_file_that_cannot_be_made_is_given_up_with_a_sentence(garden, owner, monkeypatch):
    made = export_ask(garden=garden, kind="archive", asked_by=owner.user)
    for _ in range(MOST_TRIES):
        assert export_claim(made.pk, worker="dead")
    assert export_claim(made.pk, worker="w") is None
    assert GAVE_UP in page(owner, garden)


def test_files_are_forgotten_after_two_days(garden, owner):
    export_ask(garden=garden, kind="archive", asked_by=owner.user)
    assert exports_sweep() == 0
    Export.objects.update(finished_at=now() - exports.KEPT - timedelta(minutes=1))
    assert exports_sweep() == 1
