"""Where the accounts' second steps differ from the package that does them."""

from allauth.mfa.adapter import DefaultMFAAdapter

from garden.qr import qr_svg


class SecondSteps(DefaultMFAAdapter):
    """Codes from an app and passkeys."""

    def build_totp_svg(self, url: str) -> str:
        """Draw the code that an app reads; it holds a secret, so none is kept in memory."""
        return qr_svg.__wrapped__(url)
