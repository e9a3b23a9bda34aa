"""What the garden's rows and their fields are called, for the list of changes and messages about a row."""

from typing import Any

from garden.words import gettext as _
from garden.words import mark

# Names that the framework makes of a model's or a field's own; those given beside a field are marked there.
ROWS = (
    mark("arrival"), mark("batch"), mark("batch pen"), mark("bed"), mark("brought in"), mark("calendar feed"),
    mark("chore mark"), mark("cleaning"), mark("closure"), mark("cost"), mark("crop"), mark("day weather"),
    mark("early harvest"), mark("export"), mark("feed count"), mark("feed habits"), mark("feed lot"),
    mark("feed product"), mark("feed purchase"), mark("feed record"), mark("garden"), mark("garden morning"),
    mark("got"), mark("hand over"), mark("harvest weight"), mark("heap"), mark("heap input"),
    mark("heap reading"), mark("hours"), mark("house rules"), mark("invitation"), mark("loss"),
    mark("membership"), mark("month weather"), mark("note"), mark("pack"), mark("pack out"), mark("pen"),
    mark("photo"), mark("pinned stay"), mark("plan"), mark("plan run"), mark("planned stay"), mark("planting"),
    mark("price"), mark("processing"), mark("processing day"), mark("reminder"), mark("rhythm"),
    mark("shed item"), mark("sizing"), mark("soil test"), mark("spread"), mark("stay"), mark("treatment"),
    mark("turn"), mark("visitor"), mark("water record"), mark("weighing"), mark("what if"),
    mark("withdrawal override"),
)  # fmt: skip
FIELDS = (
    mark("address"), mark("amount"), mark("answer"), mark("because"), mark("beds"), mark("best before"),
    mark("birds"), mark("carbon g"), mark("cause"), mark("changes"), mark("chicks"), mark("chore"),
    mark("contact"), mark("content"), mark("cost items"), mark("cover"), mark("currency"),
    mark("days to harvest"), mark("days until"), mark("dead on arrival"), mark("design"), mark("doing"),
    mark("doors"), mark("due at"), mark("end day"), mark("expires at"), mark("family"), mark("finished on"),
    mark("first day"), mark("free on"), mark("from day"), mark("ground"), mark("heap percent"),
    mark("is composted"), mark("is demo"), mark("is on"), mark("key"), mark("kind"), mark("language"),
    mark("latitude deg"), mark("logged at"), mark("logged by"), mark("longitude deg"), mark("made at"),
    mark("made by"), mark("mark"), mark("marked at"), mark("marked by"), mark("month"), mark("name"),
    mark("nitrogen g"), mark("nitrogen policy"), mark("offset mm"), mark("on"), mark("part"), mark("pens"),
    mark("phosphorus g"), mark("potassium g"), mark("product"), mark("reason"), mark("reference"),
    mark("retired on"), mark("revoked at"), mark("role"), mark("safe from"), mark("sent for"), mark("set at"),
    mark("set by"), mark("signed"), mark("since"), mark("size"), mark("sized on"), mark("source"),
    mark("strain"), mark("stretch mm"), mark("taken at"), mark("tarp"), mark("ticked at"), mark("ticked by"),
    mark("time zone"), mark("to whom"), mark("trip weekdays"), mark("unit system"), mark("use by"),
    mark("used at"), mark("user"), mark("weights g"), mark("what"), mark("why"), mark("wish"),
    mark("withdrawn at"),
)  # fmt: skip


def row_word(model: Any) -> str:
    """Return what a row of a model is called, such as “bed”."""
    return _(str(model._meta.verbose_name))


def field_word(field: Any) -> str:
    """Return what a field is called, such as “inside length”."""
    return _(str(field.verbose_name))
