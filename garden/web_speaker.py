"""How the pure modules come to speak the language of whoever is answered."""

from django.utils import formats, translation


class WebSpeaker:
    """Speaks the language of the request, or of the letter, that is being answered."""

    def gettext(self, message: str) -> str:
        """Return the message in the active language."""
        return translation.gettext(message)

    def ngettext(self, one: str, many: str, number: int) -> str:
        """Return the form for a number in the active language."""
        return translation.ngettext(one, many, number)

    def pgettext(self, context: str, message: str) -> str:
        """Return the message in the active language, by its context."""
        return translation.pgettext(context, message)

    def decimal_mark(self) -> str:
        """Return the decimal mark of the active language."""
        return formats.get_format("DECIMAL_SEPARATOR")
