"""Taking one's things and going: an account or a garden fetched, and deleted so that nothing is left."""

import json

import pytest
from django.apps import apps
from django.core.cache import cache
from django.test import Client
from django.utils.translation import override

from garden.actions import membership_change_role
from garden.models import Garden, Membership, Role, UndoStep
from garden.undo import undoable
from rotation.leaving import OTHERS_NEED_AN_OWNER, account_delete
from rotation.photo_actions import photo_remove
from rotation.photo_files import photo_path
from tests.conftest import TODAY
from tests.factories import BatchFactory, BedFactory, GardenFactory, MembershipFactory, UserFactory
from tests.stories.test_every_address import photo_of, rows_of

pytestmark = pytest.mark.django_db

PASSWORD = "four words in a row"
OURS = ("garden", "pens", "flocks", "rotation")


def counted() -> dict[str, int]:
    """Return how many rows every table has, also those of the packages."""
    return {model._meta.label: model._base_manager.count() for model in apps.get_models()}


@pytest.fixture
def nora(db) -> Client:
    """Return a browser in which Nora has just signed in by her password, as the pages ask."""
    user = UserFactory(username="nora")
    user.set_password(PASSWORD)
    user.save()
    client = Client()
    client.post("/accounts/login/", {"login": "nora", "password": PASSWORD})
    client.post("/accounts/reauthenticate/", {"password": PASSWORD})
    client.user = user
    return client


def test_a_deleted_garden_leaves_no_row_and_no_photo(
    owner, garden, django_capture_on_commit_callbacks
):
    BedFactory(garden=garden)
    before = counted()
    doomed = GardenFactory(name="Old place")
    MembershipFactory(garden=doomed, user=owner.user, role=Role.OWNER)
    rows = rows_of(doomed, owner.user)
    batch = BatchFactory(garden=doomed, finished_on=TODAY)
    removed, kept = photo_of(doomed), photo_of(doomed)
    photo_remove(photo=removed, user=owner.user)
    files = [photo_path(photo.name, "large") for photo in (removed, kept)]
    assert all(path.exists() for path in files)
    owner.get(f"/g/{doomed.pk}/batches/{batch.pk}/")

    wrong = owner.post(f"/g/{doomed.pk}/delete/", {"typed": "old place"})
    assert wrong.status_code == 422
    with django_capture_on_commit_callbacks(execute=True):
        done = owner.post(f"/g/{doomed.pk}/delete/", {"typed": "Old place"})

    assert done.url == "/gardens/"
    left = counted()
    # The factories' other gardens and people are not this one's.
    ours = {name for name in before if name.split(".")[0].lower() in OURS}
    of_others = {"garden.Garden", "garden.Membership"}
    for model in apps.get_models():
        label = model._meta.label
        if label in ours - of_others and "garden" in {f.name for f in model._meta.fields}:
            assert not model._base_manager.filter(garden_id=rows["garden_id"]).exists(), label
    assert not Garden.objects.filter(pk=doomed.pk).exists()
    assert left["garden.Bed"] == before["garden.Bed"]
    assert left["flocks.Batch"] == before["flocks.Batch"]
    assert not any(path.exists() for path in files)


def test_nothing_but_an_owner_deletes_a_garden(garden, helper, viewer, stranger):
    typed = {"typed": garden.name}
    statuses = [
        each.post(f"/g/{garden.pk}/delete/", typed).status_code
        for each in (helper, viewer, stranger)
    ]
    assert statuses == [403, 403, 404]
    assert Garden.objects.filter(pk=garden.pk).exists()


def test_an_account_goes_with_its_sessions_and_lonely_gardens_and_leaves_no_name(nora):
    alone, shared = GardenFactory(name="Mine"), GardenFactory(name="Ours")
    MembershipFactory(garden=alone, user=nora.user, role=Role.OWNER)
    MembershipFactory(garden=shared, user=nora.user, role=Role.HELPER)
    olive = MembershipFactory(garden=shared, role=Role.OWNER)
    bed = BedFactory(garden=shared)
    with undoable(shared, nora.user, "Bed renamed") as step:
        step.changing(bed)
        bed.name = "North"
        bed.save()
    UndoStep.objects.create(
        garden=shared, user=olive.user, said="nora is now helper", expires_at=step_time(),
        rows=[{"model": "garden.membership", "pk": 1, "before": None, "after": {"user": nora.user.pk}}],
    )  # fmt: skip
    elsewhere = Client()
    elsewhere.post("/accounts/login/", {"login": "nora", "password": PASSWORD})

    page = nora.get("/accounts/delete/").content.decode()
    assert "Mine" in page
    assert "Ours" not in page
    done = nora.post("/accounts/delete/", {"typed": "nora"})

    assert done.url == "/accounts/login/"
    assert elsewhere.get("/gardens/").status_code == 302
    assert not Garden.objects.filter(pk=alone.pk).exists()
    for model in apps.get_models():
        for field in model._meta.concrete_fields:
            if field.is_relation and field.related_model is type(nora.user):
                assert not model._base_manager.filter(**{field.name: nora.user.pk}).exists(), model
    told = list(UndoStep.objects.filter(garden=shared).order_by("pk").values_list("said", "rows"))
    assert [said for said, _ in told] == ["Bed renamed", "Somebody is now helper"]
    assert "nora" not in json.dumps(told)
    page = elsewhere_page(olive, shared)
    assert "Somebody whose account is gone" in page
    assert apps.get_model("usersessions.UserSession").objects.count() == 0
    assert apps.get_model("sessions.Session").objects.filter(
        session_key=elsewhere.cookies["sessionid"].value
    ).count() == 0  # fmt: skip


def step_time() -> object:
    """Return a moment for a step."""
    return UndoStep._meta.get_field("made_at").pre_save(UndoStep(), True)


def elsewhere_page(member: Membership, garden: Garden) -> str:
    """Return the list of changes as a member sees it."""
    client = Client()
    client.force_login(member.user)
    return client.get(f"/g/{garden.pk}/batches/register/changes/").content.decode()


def test_an_account_that_others_need_stays_until_there_is_another_owner(nora):
    shared = GardenFactory(name="Ours")
    mine = MembershipFactory(garden=shared, user=nora.user, role=Role.OWNER)
    other = MembershipFactory(garden=shared, role=Role.HELPER)

    refused = nora.post("/accounts/delete/", {"typed": "nora"})

    assert refused.status_code == 422
    assert OTHERS_NEED_AN_OWNER.format(names="Ours") in refused.content.decode()
    Membership.objects.filter(pk=other.pk).update(role=Role.OWNER)
    account_delete(user=nora.user)
    assert not Membership.objects.filter(pk=mine.pk).exists()
    assert Garden.objects.filter(pk=shared.pk).exists()


@pytest.mark.parametrize("method", ["get", "post"])
def test_deleting_an_account_takes_a_password_that_was_just_typed(owner, method):
    answer = getattr(owner, method)("/accounts/delete/", {"typed": "olive"})
    assert answer.status_code == 302
    assert answer.url.startswith("/accounts/reauthenticate/")


def test_what_is_kept_about_a_person_is_one_file_without_a_secret(nora):
    garden = GardenFactory(name="Ours")
    MembershipFactory(garden=garden, user=nora.user)
    with undoable(garden, nora.user, "Feed logged"):
        pass

    answer = nora.get("/accounts/export/")

    told = json.loads(answer.content)
    assert told["account"]["username"] == "nora"
    assert told["gardens"][0]["garden"] == "Ours"
    assert told["did"][0]["said"] == "Feed logged"
    assert len(told["sessions"]) == 1
    nora.user.refresh_from_db()
    for secret in (nora.user.password, nora.cookies["sessionid"].value):
        assert secret not in answer.content.decode()
    assert answer["Cache-Control"] == "private, no-store"


def test_changes_are_told_by_person_and_day_and_values_to_owners_only(garden, owner, helper):
    bed = BedFactory(garden=garden, name="South")
    with undoable(garden, helper.user, "Bed renamed") as step:
        step.changing(bed)
        bed.name = "North"
        bed.save()
    with undoable(garden, owner.user, "Something else"):
        pass
    where = f"/g/{garden.pk}/batches/register/changes/"

    hals = owner.get(where, {"person": "hal"}).content.decode()
    assert "from “South” to “North”" in hals
    assert '<br><span class="wrap">Something else' not in hals
    assert "from “South”" not in helper.get(where).content.decode()
    assert "Bed renamed" not in owner.get(where, {"until": "2020-01-01"}).content.decode()
    assert owner.get(where, {"person": "a stranger"}).status_code == 200


def test_people_coming_and_links_are_among_the_changes(garden, owner, stranger):
    owner.post(f"/g/{garden.pk}/people/invite/", {"role": "helper"})
    link = garden.invitations.get()
    cache.clear()
    stranger.post(f"/join/{link.token}/")
    told = list(
        UndoStep.objects.filter(garden=garden).order_by("pk").values_list("said", flat=True)
    )
    assert told == ["Link made for a helper", "sten joined as helper"]
    assert UndoStep.objects.open_for(garden, stranger.user).count() == 0


def test_an_account_that_goes_is_named_in_no_language(nora):
    shared = GardenFactory(name="Ours")
    keeper = MembershipFactory(garden=shared, role=Role.OWNER)
    membership = MembershipFactory(garden=shared, user=nora.user, role=Role.VIEWER)
    with override("es"):
        membership_change_role(membership=membership, role=Role.HELPER, user=keeper.user)

    account_delete(user=nora.user)

    assert UndoStep.objects.get(garden=shared).said == "Alguien ahora es ayudante"
