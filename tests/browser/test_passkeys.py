"""A passkey added and used in a real browser, by keyboard, under the strict policy."""

import pytest
from django.contrib.auth import get_user_model
from django.core.cache import cache

from tests.browser.conftest import PASSWORD, PHONE


@pytest.mark.django_db(transaction=True)
def test_a_passkey_is_added_by_keyboard_and_signs_in_alone(open_page, troubles):
    cache.clear()
    get_user_model().objects.create_user("olive", "olive@example.org", PASSWORD)
    page = open_page(PHONE)
    device = page.context.new_cdp_session(page)
    device.send("WebAuthn.enable")
    device.send(
        "WebAuthn.addVirtualAuthenticator",
        {
            "options": {
                "protocol": "ctap2", "transport": "internal", "hasResidentKey": True,
                "hasUserVerification": True, "isUserVerified": True,
                "automaticPresenceSimulation": True,
            }
        },
    )  # fmt: skip
    page.goto("/accounts/login/?next=/accounts/2fa/webauthn/add/")
    page.get_by_label("Username or e-mail").fill("olive")
    page.get_by_label("Password").fill(PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_url("**/reauthenticate/**")
    page.get_by_label("Password").fill(PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_url("**/webauthn/add/")
    page.get_by_label("Sign in with it alone").focus()
    page.keyboard.press("Space")
    page.get_by_role("button", name="Add this device or key").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/recovery-codes/")
    page.goto("/accounts/logout/")
    page.get_by_role("main").get_by_role("button", name="Sign out").click()
    page.wait_for_url("**/login/")
    page.get_by_role("button", name="Sign in with a passkey").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/")
    page.get_by_text("Signed in as olive").wait_for()
    assert troubles == []
