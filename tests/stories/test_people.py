"""Who belongs to a garden: inviting, joining, changing roles, leaving."""

import re
from datetime import timedelta

import pytest
from django.test import Client

from garden.actions import LAST_OWNER, invitation_accept
from garden.clock import now
from garden.models import Invitation, Membership, Role
from tests.factories import MembershipFactory, UserFactory

pytestmark = pytest.mark.django_db


def address(garden, rest: str = "") -> str:
    return f"/g/{garden.pk}/people/{rest}"


def member_of(client: Client, garden) -> Membership:
    return Membership.objects.get(user=client.user, garden=garden)


def link_for(garden, owner: Client, role: Role = Role.HELPER) -> str:
    owner.post(address(garden, "invite/"), {"role": role})
    page = owner.get(address(garden)).content.decode()
    return re.search(r"http://testserver(/join/[^\"]+)", page)[1]


def test_an_owner_invites_and_a_friend_joins_once(garden, owner, stranger):
    link = link_for(garden, owner)

    assert garden.name in stranger.get(link).content.decode()
    answer = stranger.post(link)

    assert answer.status_code == 302
    assert member_of(stranger, garden).role == Role.HELPER
    assert link not in owner.get(address(garden)).content.decode()
    late = Client()
    late.force_login(UserFactory())
    assert late.post(link).status_code == 404


def test_a_member_who_opens_a_link_does_not_use_it_up(garden, owner, helper):
    link = link_for(garden, owner, Role.VIEWER)

    page = helper.get(link)
    helper.post(link)

    assert "belong to this garden already" in page.content.decode()
    assert Invitation.objects.unused().count() == 1
    assert member_of(helper, garden).role == Role.HELPER


def test_a_friend_without_an_account_is_sent_to_sign_in_and_back(garden, owner):
    link = link_for(garden, owner)

    answer = Client().get(link)

    assert answer.status_code == 302
    assert answer["Location"].startswith("/accounts/login/?next=/join/")


@pytest.mark.parametrize("spoilt", ["used_at", "withdrawn_at", "expires_at"])
def test_a_link_that_is_over_opens_nothing(garden, owner, stranger, spoilt):
    link = link_for(garden, owner)
    Invitation.objects.update(**{spoilt: now() - timedelta(minutes=1)})

    answer = stranger.get(link)

    assert answer.status_code == 404
    assert "This link opens nothing" in answer.content.decode()
    assert garden.name not in answer.content.decode()
    assert link not in owner.get(address(garden)).content.decode()


def test_two_who_tap_the_same_link_at_once_do_not_both_get_in(garden, owner):
    link_for(garden, owner)
    first, second = Invitation.objects.get(), Invitation.objects.get()

    assert invitation_accept(invitation=first, user=UserFactory()) is not None
    assert invitation_accept(invitation=second, user=UserFactory()) is None

    assert garden.memberships.count() == 2


def test_a_made_up_link_opens_nothing(stranger):
    assert stranger.post("/join/MQ:forged:signature/").status_code == 404


def test_an_owner_closes_a_link(garden, owner, stranger):
    link = link_for(garden, owner)

    owner.post(address(garden, f"invitations/{Invitation.objects.get().pk}/withdraw/"))

    assert stranger.post(link).status_code == 404


def test_only_an_owner_sees_links_and_may_make_them(garden, owner, helper, viewer, stranger):
    link = link_for(garden, owner)

    for client in (helper, viewer):
        page = client.get(address(garden))
        assert page.status_code == 200
        assert link not in page.content.decode()
        assert "Make a link" not in page.content.decode()
        assert client.post(address(garden, "invite/"), {"role": "owner"}).status_code == 403
    assert stranger.get(address(garden)).status_code == 404
    assert Invitation.objects.count() == 1


def test_an_owner_makes_a_helper_an_owner(garden, owner, helper):
    owner.post(address(garden, f"{member_of(helper, garden).pk}/role/"), {"role": "owner"})

    assert member_of(helper, garden).role == Role.OWNER


def test_the_last_owner_can_neither_step_down_nor_leave(garden, owner, helper):
    key = member_of(owner, garden).pk

    stepping_down = owner.post(address(garden, f"{key}/role/"), {"role": "viewer"})
    leaving = owner.post(address(garden, f"{key}/remove/"))

    for answer in (stepping_down, leaving):
        assert answer.status_code == 422
        assert LAST_OWNER in answer.content.decode()
        assert f'name="next" value="{address(garden)}"' in answer.content.decode()
    assert member_of(owner, garden).role == Role.OWNER


def test_an_owner_leaves_when_there_is_another(garden, owner):
    MembershipFactory(garden=garden)

    answer = owner.post(address(garden, f"{member_of(owner, garden).pk}/remove/"))

    assert answer["Location"] == "/gardens/"
    assert owner.get(address(garden)).status_code == 404


def test_a_viewer_may_leave_but_remove_nobody_else(garden, owner, viewer):
    other = address(garden, f"{member_of(owner, garden).pk}/remove/")
    own = address(garden, f"{member_of(viewer, garden).pk}/remove/")

    assert viewer.post(other).status_code == 403
    assert viewer.post(own).status_code == 302
    assert not Membership.objects.filter(user=viewer.user).exists()


def test_removing_a_member_can_be_undone(garden, owner, helper):
    owner.post(address(garden, f"{member_of(helper, garden).pk}/remove/"))
    assert helper.get(address(garden)).status_code == 404

    page = owner.get(address(garden)).content.decode()
    owner.post(re.search(rf"/g/{garden.pk}/undo/\d+/", page)[0])

    assert helper.get(address(garden)).status_code == 200


def test_removing_cannot_be_undone_once_the_member_is_back(garden, owner, helper):
    owner.post(address(garden, f"{member_of(helper, garden).pk}/remove/"))
    page = owner.get(address(garden)).content.decode()
    MembershipFactory(garden=garden, user=helper.user, role=Role.VIEWER)

    answer = owner.post(re.search(rf"/g/{garden.pk}/undo/\d+/", page)[0], follow=True)

    assert "cannot be undone" in answer.content.decode()
    assert member_of(helper, garden).role == Role.VIEWER


def test_a_member_of_another_garden_is_out_of_reach(garden, owner, stranger):
    foreign = Membership.objects.get(user=stranger.user)

    for action in ("role", "remove"):
        answer = owner.post(address(garden, f"{foreign.pk}/{action}/"), {"role": "viewer"})
        assert answer.status_code == 404


def test_looking_at_people_takes_few_queries(garden, owner, django_assert_max_num_queries):
    MembershipFactory.create_batch(12, garden=garden)

    # Session, user, membership, members with users, invitations, undo step.
    with django_assert_max_num_queries(6):
        owner.get(address(garden))
