"""Codes, passkeys, sessions; trying too often, and telling nobody who has an account."""

import json
import logging
import re
import time

import pytest
from allauth.mfa.models import Authenticator
from allauth.mfa.totp.internal.auth import hotp_value, yield_hotp_counters_from_time
from allauth.usersessions.models import UserSession
from django.contrib.auth import get_user_model
from django.core import mail
from django.core.cache import cache
from django.test import Client

from garden.account_adapters import SecondSteps
from garden.json_log import JsonLines
from garden.log_secrets import NoSecrets
from garden.models import Invitation
from rotation.models import CalendarFeed, Reminder
from tests.factories import UserFactory

pytestmark = pytest.mark.django_db

PASSWORD = "four words in a row"
SIGN_IN = {"login": "nora", "password": PASSWORD}


@pytest.fixture(autouse=True)
def _nothing_was_tried_yet() -> None:
    cache.clear()


@pytest.fixture
def nora(db) -> Client:
    """Return a browser in which Nora has just signed in."""
    client = Client()
    client.user = get_user_model().objects.create_user("nora", "nora@example.org", PASSWORD)
    client.post("/accounts/login/", SIGN_IN)
    client.post("/accounts/reauthenticate/", {"password": PASSWORD})
    return client


def code_now(secret: str) -> str:
    """Return what an app shows."""
    counter = next(iter(yield_hotp_counters_from_time()))
    return f"{hotp_value(secret, counter):06d}"


def app_put_in_use(client: Client) -> str:
    """Let an app read the secret, which is returned."""
    page = client.get("/accounts/2fa/totp/activate/").content.decode()
    assert "<svg" in page
    secret = re.search(r'id="secret" value="(\w+)"', page)[1]
    done = client.post("/accounts/2fa/totp/activate/", {"code": code_now(secret)})
    assert done.status_code == 302, done.content.decode()
    return secret


def test_an_app_is_asked_for_its_code_from_then_on(nora):
    secret = app_put_in_use(nora)
    codes = nora.get("/accounts/2fa/recovery-codes/").content.decode()
    assert len(re.findall(r"<code>\d{8}</code>", codes)) == 10
    phone = Client()

    first = phone.post("/accounts/login/", SIGN_IN)
    assert first.url == "/accounts/2fa/authenticate/"
    assert phone.get("/gardens/").status_code == 302
    page = phone.get("/accounts/2fa/authenticate/").content.decode()
    assert "Type the code that your app shows" in page
    wrong = phone.post("/accounts/2fa/authenticate/", {"code": "000000"})
    assert 'role="alert"' in wrong.content.decode()
    cache.clear()  # the code before was used a moment ago
    assert phone.post("/accounts/2fa/authenticate/", {"code": code_now(secret)}).status_code == 302
    assert phone.get("/gardens/").status_code == 200


def test_what_codes_are_made_from_is_encrypted_where_it_is_kept(nora, settings):
    secret = app_put_in_use(nora)
    rows = {row.type: row for row in Authenticator.objects.all()}
    assert secret not in json.dumps([row.data for row in rows.values()])
    assert rows["recovery_codes"].data["seed"].startswith("sealed:")
    # One kept before secrets were encrypted still works; under another key none does, and nothing breaks.
    assert SecondSteps().decrypt("AB12") == "AB12"
    settings.SECRET_KEY = "another"
    assert SecondSteps().decrypt(rows["totp"].data["secret"]) == ""
    assert rows["totp"].wrap().validate_code("000000") is False


def test_a_code_for_a_lost_phone_works_once(nora):
    app_put_in_use(nora)
    code = Authenticator.objects.get(type="recovery_codes").wrap().get_unused_codes()[0]
    for works in (True, False):
        cache.clear()
        other = Client()
        other.post("/accounts/login/", SIGN_IN)
        other.post("/accounts/2fa/authenticate/", {"code": code})
        assert (other.get("/gardens/").status_code == 200) is works


def test_guessing_codes_is_held_back(nora):
    secret = app_put_in_use(nora)
    guesser = Client()
    guesser.post("/accounts/login/", SIGN_IN)
    cache.clear()
    for guess in range(6):
        guesser.post("/accounts/2fa/authenticate/", {"code": f"{guess:06d}"})
    answer = guesser.post("/accounts/2fa/authenticate/", {"code": code_now(secret)})
    assert "Too many" in answer.content.decode()


@pytest.mark.parametrize(
    "page", ["", "totp/activate/", "webauthn/", "webauthn/add/", "../sessions/", "../email/", "../"]
)
def test_pages_about_second_steps_wear_our_frame_and_need_no_inline_script(nora, page):
    answer = nora.get(f"/accounts/2fa/{page}".replace("2fa/../", ""))
    told = answer.content.decode()
    assert answer.status_code == 200
    assert 'class="tape"' in told
    assert not re.search(r"<script(?![^>]*(\bsrc=|application/json))", told)
    assert "style=" not in told


def test_a_passkey_is_offered_and_a_forged_one_refused(nora):
    page = nora.get("/accounts/2fa/webauthn/add/").content.decode()
    told = json.loads(re.search(r'id="key-data"[^>]*>(.*?)</script>', page)[1])
    assert told["creation_options"]["publicKey"]["rp"]["id"] == "testserver"
    for forged in ("{}", "[]", '{"id": "x", "rawId": "x", "response": {}}', "x" * 9_000):
        answer = nora.post(
            "/accounts/2fa/webauthn/add/", {"name": "my phone", "credential": forged}
        )
        assert answer.status_code in (200, 422)
    assert not Authenticator.objects.exists()
    assert Client().post("/accounts/2fa/webauthn/login/", {"credential": "{}"}).status_code == 302


def test_changing_second_steps_takes_a_password_that_was_just_typed(owner):
    for page in ("totp/activate/", "webauthn/add/", "recovery-codes/generate/"):
        for ask in (owner.get, owner.post):
            answer = ask(f"/accounts/2fa/{page}")
            assert answer.status_code == 302
            assert answer.url.startswith("/accounts/reauthenticate/")


def test_sessions_are_listed_and_ended(nora):
    elsewhere = Client(headers={"user-agent": "Somebody’s old phone"})
    elsewhere.post("/accounts/login/", SIGN_IN)
    assert "old phone" in nora.get("/accounts/sessions/").content.decode()

    nora.post("/accounts/sessions/")

    assert elsewhere.get("/gardens/").status_code == 302
    assert nora.get("/gardens/").status_code == 200
    assert UserSession.objects.count() == 1


# Who has an account is not told.


def test_signing_up_with_a_taken_address_looks_like_any_other(client):
    get_user_model().objects.create_user("nora", "nora@example.org", PASSWORD)
    typed = {
        "username": "nick",
        "email": "nora@example.org",
        "password1": PASSWORD,
        "password2": PASSWORD,
    }
    answer = client.post("/accounts/signup/", typed)
    assert answer.status_code == 302
    assert answer.url == "/"
    # The first account is as it was, and the second does not get its letters.
    assert get_user_model().objects.get(username="nora").check_password(PASSWORD)


def test_a_wrong_name_takes_as_long_as_a_wrong_password(settings, client):
    """Processor time within a factor: an unknown name must cost a hash too, which is nearly all of it."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
    settings.ACCOUNT_RATE_LIMITS = False
    get_user_model().objects.create_user("nora", "nora@example.org", PASSWORD)

    def cost(name: str) -> float:
        began = time.process_time()
        client.post("/accounts/login/", {"login": name, "password": "wrong"})
        return time.process_time() - began

    known, unknown = (min(cost(name) for _ in range(3)) for name in ("nora", "nobody"))
    assert 0.6 < unknown / known < 1.7


def test_a_forgotten_password_of_nobody_is_answered_and_mailed_alike(client, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    UserFactory(username="nora", email="nora@example.org")
    answers = []
    for address in ("nora@example.org", "nobody@example.org"):
        answers.append(client.post("/accounts/password/reset/", {"email": address}))
    assert [answer.url for answer in answers] == ["/accounts/password/reset/done/"] * 2
    assert len(mail.outbox) == 2  # each takes a letter’s time


def test_links_that_never_were_and_links_of_others_are_told_alike(garden, owner, stranger):
    used = Invitation.objects.create(garden=garden, made_by=owner.user)
    Invitation.objects.filter(pk=used.pk).update(used_at=used.made_at)
    told = [stranger.get(f"/join/{token}/") for token in (used.token, "x" * 40, used.token[:-1])]
    assert {answer.status_code for answer in told} == {404}
    mains = {re.search(r"<main.*</main>", each.content.decode(), re.DOTALL)[0] for each in told}
    assert len(mains) == 1


# Trying too often.


@pytest.mark.parametrize(
    ("place", "typed", "most"),
    [
        ("/accounts/login/", {"login": "", "password": ""}, 30),
        ("/accounts/signup/", {"username": "x"}, 20),
        ("/accounts/password/reset/", {"email": "n{}@example.org"}, 20),
    ],
)
def test_accounts_pages_are_held_back(client, place, typed, most):
    tries = [{name: text.format(n) for name, text in typed.items()} for n in range(most + 1)]
    statuses = [client.post(place, each).status_code for each in tries]
    assert statuses[-1] == 429
    assert 429 not in statuses[:-1]
    assert "Too often" in client.post(place, typed).content.decode()


def test_addresses_with_a_secret_are_held_back_for_guessers_and_for_one_address(
    garden, owner, stranger, monkeypatch
):
    monkeypatch.setattr("rotation.views.messages.MOST_ASKED", 3)
    monkeypatch.setattr("garden.views.people.MOST_OPENED", 3)
    feed = CalendarFeed.objects.create(garden=garden, user=owner.user)
    letter = Reminder.objects.create(garden=garden, user=owner.user, address="http://x")
    link = Invitation.objects.create(garden=garden, made_by=owner.user)
    for right, guess in (
        (f"/calendar/{feed.token}.ics", "/calendar/guess{}.ics"),
        (f"/letters/{letter.token}/stop/", "/letters/guess{}/stop/"),
        (f"/join/{link.token}/", "/join/guess{}/"),
    ):
        cache.clear()
        guesses = [stranger.get(guess.format(n)).status_code for n in range(5)]
        assert guesses == [404, 404, 404, 429, 429]
        assert stranger.get(right).status_code == 200  # who has the right one is let in
        repeated = [stranger.get(right).status_code for _ in range(3)]
        assert repeated == [200, 200, 429]


def test_a_proxys_word_for_who_asks_is_taken_only_where_there_is_one(client, settings):
    """Without a proxy a guesser would else be somebody new at each try, by a header of their own."""
    for n in range(31):
        answer = client.post("/accounts/login/", {}, headers={"x-forwarded-for": f"10.0.0.{n}"})
    assert answer.status_code == 429


# Other people's pages, and what the log keeps.


@pytest.mark.parametrize(
    "elsewhere",
    ["https://evil.example/", "//evil.example", "/\\evil.example", "javascript:alert(1)"],
)
def test_no_page_sends_anybody_elsewhere(nora, elsewhere):
    places = [
        nora.get("/accounts/login/", {"next": elsewhere}),
        nora.post("/accounts/logout/", {"next": elsewhere}),
        nora.post("/accounts/login/", SIGN_IN | {"next": elsewhere}),
        nora.post("/accounts/reauthenticate/", {"password": PASSWORD, "next": elsewhere}),
        nora.post("/mode/", {"mode": "dark", "next": elsewhere}),
        Client().get("/accounts/signup/", {"next": elsewhere}),
    ]
    for answer in places:
        assert "evil" not in answer.headers.get("Location", "")
        assert "javascript" not in answer.headers.get("Location", "")


def test_no_log_keeps_a_password_a_token_or_a_name(nora, caplog, garden, owner):
    caplog.set_level(logging.DEBUG)
    feed = CalendarFeed.objects.create(garden=garden, user=owner.user)
    letter = Reminder.objects.create(garden=garden, user=owner.user, address="http://x")
    link = Invitation.objects.create(garden=garden, made_by=owner.user)
    secret = app_put_in_use(nora)
    session = nora.cookies["sessionid"].value
    nora.post("/accounts/login/", {"login": "nora", "password": "a wrong secret"})
    nora.post("/accounts/password/reset/", {"email": "nora@example.org"})
    nora.get(f"/calendar/{feed.token}.ics")
    nora.get(f"/letters/{letter.token}/stop/")
    nora.get(f"/join/{link.token}/")
    nora.get(f"/join/{link.token[:-2]}x/")
    lines = [record for record in caplog.records if not _is_sql(record)]
    said = "\n".join(written for record in lines for written in _written(record))
    assert "/join/…" in said
    for hidden in (
        PASSWORD,
        "a wrong secret",
        secret,
        session,
        feed.token,
        letter.token,
        link.token[:-2],
    ):
        assert hidden not in said
    assert "nora" not in said


def _written(record: logging.LogRecord) -> list[str]:
    """Return a line as it is written at home and on a server."""
    NoSecrets().filter(record)
    return [logging.Formatter().format(record), JsonLines().format(record)]


def _is_sql(record: logging.LogRecord) -> bool:
    """Whether only a developer's debugging would write a line; it is off everywhere else."""
    return record.name.startswith("django.db") or record.levelno <= logging.DEBUG
