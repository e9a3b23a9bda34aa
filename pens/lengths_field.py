"""A form field for several lengths, such as the rolls of wire that a shop has."""

import re
from typing import Any

from django import forms

from garden.forms import QuantityField
from garden.units import PEN_LENGTH
from garden.words import gettext as _

MOST_LENGTHS = 8
"""As many sizes as a shop has of one thing, at most. Our choice."""


class LengthsField(QuantityField):
    """Lengths typed in any unit with semicolons between; held as whole millimetres, short ones first.

    `least` and `most` are the limits of each. [mm]
    """

    def __init__(self, *, least: float, most: float, **kwargs: Any) -> None:
        super().__init__(PEN_LENGTH, least=least, most=most, **kwargs)

    def prepare_value(self, value: Any) -> Any:
        """Write a list of lengths; leave what somebody typed as it was typed."""
        if isinstance(value, list | tuple):
            return "; ".join(PEN_LENGTH.entry(one, self.system) for one in value)
        return value

    def to_python(self, value: Any) -> list[int] | None:
        """Read every length; a comma parts them where a space follows, and else may be a decimal comma."""
        parts = [part.strip() for part in re.split(r"[;\n]|,\s", f"{value or ''} ") if part.strip()]
        if not parts:
            return None
        if len(parts) > MOST_LENGTHS:
            raise forms.ValidationError(_("Give at most {n} lengths.").format(n=MOST_LENGTHS))
        read = {super(LengthsField, self).to_python(part.rstrip(",")) for part in parts}
        return sorted({round(one) for one in read if one is not None})

    def validate(self, value: list[int] | None) -> None:
        """Hold each length against the limits."""
        if not value:
            super().validate(None)
            return
        for one in value:
            super().validate(one)

    def has_changed(self, initial: Any, data: Any) -> bool:
        """Compare as lists of millimetres."""
        try:
            return list(initial or []) != (self.to_python(data) or [])
        except forms.ValidationError:
            return True
