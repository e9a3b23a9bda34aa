"""Signing up, in and out, and the pages for when something is wrong."""

import pytest
from django.contrib.auth import get_user_model
from django.core import mail
from django.core.cache import cache
from django.template.loader import render_to_string
from django.test import Client, RequestFactory

from tests.factories import UserFactory

pytestmark = pytest.mark.django_db

PASSWORD = "four words in a row"


def test_a_visitor_signs_up_and_is_led_to_the_first_garden(client):
    typed = {
        "username": "nora",
        "email": "nora@example.org",
        "password1": PASSWORD,
        "password2": PASSWORD,
    }

    answer = client.post("/accounts/signup/", typed, follow=True)

    assert answer.redirect_chain[-1][0] == "/"
    assert "Start with your garden" in answer.content.decode()


def test_a_link_waits_while_its_reader_signs_up(client):
    login = client.get("/accounts/login/?next=/join/abc/").content.decode()

    assert "/accounts/signup/?next=%2Fjoin%2Fabc%2F" in login
    page = client.get("/accounts/signup/?next=/join/abc/").content.decode()
    assert 'name="next" value="/join/abc/"' in page


@pytest.mark.parametrize("name", ["nora", "nora@example.org"])
def test_name_or_e_mail_both_sign_in(client, name):
    get_user_model().objects.create_user("nora", "nora@example.org", PASSWORD)

    answer = client.post("/accounts/login/", {"login": name, "password": PASSWORD})

    assert answer["Location"] == "/"


def test_a_wrong_password_and_a_wrong_name_are_told_alike(client):
    get_user_model().objects.create_user("nora", "nora@example.org", PASSWORD)

    told = [
        client.post("/accounts/login/", {"login": name, "password": "wrong"})
        .context["form"]
        .non_field_errors()
        for name in ("nora", "nobody")
    ]

    assert told[0] == told[1]


def test_the_demo_account_is_told_only_in_a_demo(client, settings, tmp_path):
    assert "demo" not in client.get("/accounts/login/").content.decode()

    settings.DEMO = True
    settings.DEMO_PASSWORD_FILE = tmp_path / "demo_password"
    settings.DEMO_PASSWORD_FILE.write_text("made-up-words\n")

    assert "made-up-words" in client.get("/accounts/login/").content.decode()


def test_signing_out_takes_a_button(owner):
    assert owner.get("/accounts/logout/").status_code == 200

    answer = owner.post("/accounts/logout/")

    assert answer["Location"] == "/accounts/login/"
    assert owner.get("/gardens/").status_code == 302


def test_a_forgotten_password_is_set_anew_by_mail(client, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    UserFactory(username="nora", email="nora@example.org")

    answer = client.post("/accounts/password/reset/", {"email": "nora@example.org"}, follow=True)
    assert "Look in your mail" in answer.content.decode()
    link = next(word for word in mail.outbox[0].body.split() if "/password/reset/key/" in word)
    page = client.get(link, follow=True)
    typed = {"password1": "five quite new words here", "password2": "five quite new words here"}
    done = client.post(page.request["PATH_INFO"], typed, follow=True)

    assert "Your new password is in use" in done.content.decode()
    assert client.login(username="nora", password="five quite new words here")


def test_an_unknown_address_gets_the_same_page(client, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"

    answer = client.post("/accounts/password/reset/", {"email": "no@example.org"}, follow=True)

    assert "Look in your mail" in answer.content.decode()


@pytest.mark.parametrize(
    "page",
    ["password/change/", "email/", "reauthenticate/", "password/reset/done/", "inactive/"],
)
def test_every_account_page_wears_our_frame(owner, page):
    answer = owner.get(f"/accounts/{page}", follow=True)

    assert answer.status_code == 200
    assert 'class="tape"' in answer.content.decode()


def test_a_page_that_is_not_there_says_so_in_our_words(owner):
    answer = owner.get("/nothing/")

    assert answer.status_code == 404
    assert "Nothing here" in answer.content.decode()


def test_a_refusal_says_what_it_takes(garden, viewer):
    answer = viewer.post(f"/g/{garden.pk}/beds/new/")

    assert answer.status_code == 403
    assert "takes an owner" in answer.content.decode()


def test_a_broken_page_needs_nothing_but_itself():
    assert "Something broke" in render_to_string("500.html")


def test_a_page_open_for_too_long_is_told_to_send_again(db):
    strict = Client(enforce_csrf_checks=True)

    answer = strict.post("/accounts/login/", {"login": "a", "password": "b"})

    assert answer.status_code == 403
    assert "Please send it again" in answer.content.decode()


def test_the_frame_draws_for_a_visitor_without_a_garden():
    request = RequestFactory().get("/")

    assert "Nothing here" in render_to_string("404.html", {"request": request})


def _fail_often(client: Client) -> None:
    for _ in range(6):
        client.post("/accounts/login/", {"login": "nora", "password": "wrong"})


def test_after_many_failures_even_the_right_password_waits_but_not_for_ever(client):
    get_user_model().objects.create_user("nora", "nora@example.org", PASSWORD)
    right = {"login": "nora", "password": PASSWORD}
    cache.clear()

    _fail_often(client)

    assert "Too many" in client.post("/accounts/login/", right).content.decode()
    cache.clear()  # what some minutes do
    assert client.post("/accounts/login/", right).status_code == 302


def test_signing_in_gives_a_new_session(client):
    get_user_model().objects.create_user("nora", "nora@example.org", PASSWORD)
    session = client.session
    session["planted"] = "by somebody else"
    session.save()
    planted = session.session_key
    cache.clear()

    client.post("/accounts/login/", {"login": "nora", "password": PASSWORD})

    assert client.session.session_key != planted


@pytest.mark.parametrize("name", ["nora", "NORA"])
def test_a_name_that_is_taken_is_told_beside_the_field(client, name):
    get_user_model().objects.create_user("nora", "nora@example.org", PASSWORD)
    typed = {
        "username": name,
        "email": "other@example.org",
        "password1": PASSWORD,
        "password2": PASSWORD,
    }

    answer = client.post("/accounts/signup/", typed)

    assert "username" in answer.context["form"].errors
    assert get_user_model().objects.count() == 1
