"""The names in this floor's tables, marked for the catalogues. Those that are figures alone need no mark.

PURE.
"""

from garden.words import mark

TABLE_WORDS = (
    mark("25 × 38 batten"),
    mark("25 × 50 sawn"),
    mark("38 × 38 planed"),
    mark("38 × 63 CLS"),
    mark("38 × 89 CLS"),
    mark("45 × 45 planed"),
    mark("45 × 70 planed"),
    mark("47 × 47 planed"),
    mark("Spruce-pine-fir"),
    mark("Douglas-fir"),
    mark("Engelmann spruce"),
    mark("Western hemlock"),
    mark("Grand or noble fir"),
    mark("Subalpine fir"),
    mark("Western redcedar"),
    mark("White pine"),
    mark("Lodgepole pine"),
    mark("Southern pine"),
    mark("European larch"),
    mark("Quarter inch, 23 gauge"),
    mark("Half inch, 19 gauge"),
    mark("Half inch, 16 gauge"),
    mark("Light polyethylene, 5 to 6 mil"),
    mark("Heavy polyethylene, 10 to 12 mil"),
    mark("Vinyl, 18 oz"),
)
