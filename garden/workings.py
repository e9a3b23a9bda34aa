"""How each computed figure is worked out, in words, with its source: what a page's “Why?” opens.

PURE. A page gives the inputs of its figure; the formula, the source and the mark stand here, once.
"""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Working:
    """A kind of figure: what it is called, its formula in words, and what it rests on.

    `inputs` are the names that a page may give, each with the words it is shown under; `mark` says how sure
    the source is: ``published``, ``from memory``, ``derived`` or ``our choice``.
    """

    figure: str
    inputs: Mapping[str, str]
    formula: str
    source: str
    mark: str


@dataclass(frozen=True, slots=True)
class Told:
    """A working with the inputs of one figure, as the page's part shows it."""

    figure: str
    inputs: tuple[tuple[str, str], ...]
    formula: str
    source: str
    mark: str


WORKINGS: Mapping[str, Working] = {
    "feed": Working(
        "feed",
        {"birds": "Birds", "age": "Age in days", "feed": "Which feed", "batch": "Batch"},
        "What one bird eats on a day of its age, by the expected growth of its strain as your weighings and "
        "feed records bend it, times the birds alive.",
        "The strain’s published table; the batch’s page names it under “Where these figures come from”",
        "published, then your own records",
    ),
    "water": Working(
        "water",
        {"feed": "Feed of the day", "degrees": "Air reckoned with"},
        "1.9 litres for each kilogram of feed, and 4 % more for each degree above 21 °C.",
        "Mississippi State, water-related factors: 1.5 to 2 times the feed by weight, more in heat",
        "derived from published figures",
    ),
    "dropped": Working(
        "nitrogen dropped",
        {"birds": "Birds", "from": "From", "until": "Until", "share": "Planned for"},
        "Nitrogen in the feed they eat, less 29 g kept for each kilogram that a bird gains, day by day, times "
        "the birds. A careful plan takes what more than half of all flocks stay below, as the settings say.",
        "Crude protein is 16 % nitrogen; what birds keep is just under the 30 g/kg of the German "
        "fertiliser ordinance (Agriculture 2023, 13(1):33)",
        "derived from published figures",
    ),
    "room": Working(
        "nitrogen room",
        {"area": "Area of the bed", "rule": "Rule", "year": "Dropped in the last 365 days",
         "planned": "Planned to come", "crop": "Next crop"},
        "What the garden’s rule allows on the bed’s area, less what birds dropped there in the last 365 days "
        "and what the plan still brings. A soil test high in phosphorus may allow less.",
        "The limit is this garden’s own; 170 kg for each hectare stands in Directive 91/676/EEC",
        "published limit, derived sum",
    ),
    "safe": Working(
        "first safe harvest",
        {"birds_left": "Birds left", "raw": "Raw manure spread", "wait": "Wait in days"},
        "The last day with birds, or the day the droppings were mixed in, plus the wait for what touches soil "
        "or for what is held clear of it.",
        "7 CFR 205.203(c)(1): 120 and 90 days, unless this garden’s settings say more",
        "published",
    ),
    "carry": Working(
        "way to carry",
        {"here": "From", "there": "To"},
        "The straight way between the middles of the two places on the garden’s map.",
        "The beds’ places as you set them on the map",
        "derived",
    ),
    "crowding": Working(
        "weight on the floor",
        {"birds": "Birds", "floor": "Floor inside", "limit": "Limit", "on": "Reached on"},
        "The expected weight of a bird times the birds alive, by the pen’s floor; the day told is the first "
        "on which it passes the garden’s limit.",
        "The limit is this garden’s own; Directive 2007/43/EC sets 33 kg/m² for houses",
        "derived",
    ),
    "weight": Working(
        "weight",
        {"weighed": "Weighed", "strain": "Strain", "expected": "By the table alone"},
        "The expected curve of the strain, bent by every weighing in the share that its sample deserves; "
        "the middle of 1,000 equally likely flocks.",
        "The strain’s published table and your weighings",
        "published, then your own records",
    ),
    "sexes": Working(
        "weight of males and females",
        {"males": "Males", "strain": "Strain", "one_sex": "Weighings of one sex"},
        "The strain’s curve is moved towards the males’ or the females’ by the share of males, half of each "
        "where nobody counted. A weighing of one sex is read as what both would have weighed that day.",
        "The columns of the Poultry CRC table for fast males and females; others are taken to differ alike",
        "derived from published figures",
    ),
    "parted": Working(
        "weight after the heaviest went",
        {"taken": "Heaviest taken", "lighter": "The rest are lighter by"},
        "Birds stand at even steps of a log-normal distribution with the flock’s spread; the upper ones went, "
        "and the others keep their places as they grow. Weighings since then are read as of the rest, and what "
        "is forecast is of the rest.",
        "Your records, and the spread between birds as the strain’s table and your single weights tell it",
        "derived",
    ),
    "conversion": Working(
        "feed for each unit gained",
        {"given": "Feed logged", "gained": "Weight gained"},
        "All feed logged, by the birds’ weight now less their weight as chicks. What is spilt counts as fed.",
        "Your own feed records and weighings",
        "derived",
    ),
    "plan_cost": Working(
        "how good the plan is",
        {"moves": "Moves", "carried": "Carried", "off": "Days off the beds", "gap": "Proven within"},
        "Each day off the beds, each move and each metre carried has a price; the plan is the cheapest found, "
        "and a bound proves how much cheaper any other could be.",
        "The prices are our choice; the bound comes from the planner’s linear programme",
        "our choice, proven bound",
    ),
    "heat": Working(
        "heat on the birds",
        {"air": "Warmest air", "humidity": "Humidity", "age": "Age in days",
         "index": "Index", "limit": "Limit at this age"},
        "0.85 of the air’s temperature and 0.15 of the wet bulb’s, held against what birds of that age bear. "
        "Moving air is left out: a draught makes it better, still air worse.",
        "Tao and Xin 2003 for the index; Purswell and others 2012 for birds from 49 days; limits of younger "
        "birds are recalled",
        "published index, limits below 49 days from memory",
    ),
    "night": Working(
        "coldest night for birds outdoors",
        {"low": "Night expected", "age": "Age in days", "least": "Suggested least"},
        "The night’s low held against the coldest night that feathered birds of that age bear when dry and out "
        "of the wind.",
        "Growers’ rules of thumb; published pages disagree from 20 days to 6 weeks",
        "from memory, low",
    ),
    "wind": Working(
        "wind on the pen",
        {"gust": "Gust expected", "moves": "A gust that moves it", "pen": "Pen", "weight": "It weighs"},
        "Pressure of the wind is 0.613 times the square of its speed; on the cover it lifts, on the walls it "
        "pushes. The gust that moves the pen is where that beats its weight.",
        "ASCE/SEI 7 for the pressure; the coefficients are recalled. A pen’s design page shows the sums",
        "published pressure, shares from memory",
    ),
    "sun": Working(
        "sunrise and sunset",
        {"place": "Place", "zone": "Clock"},
        "The moment the sun’s upper edge meets a level horizon, 50 minutes of arc below it for the bending of "
        "the light. Hills and trees make the day shorter.",
        "The almanacs’ definition of sunrise, worked out here by the astral library",
        "from memory",
    ),
}  # fmt: skip


def told(key: str, given: Mapping[str, object]) -> Told:
    """Return a working with a figure's own inputs, in the order of the table.

    Raises
    ------
    KeyError
        For a key or an input that the table does not know.
    """
    working = WORKINGS[key]
    if strange := given.keys() - working.inputs.keys():
        raise KeyError(f"{key} takes no {', '.join(sorted(strange))}")
    inputs = tuple(
        (words, str(given[name]))
        for name, words in working.inputs.items()
        if given.get(name) not in (None, "")
    )
    return Told(working.figure, inputs, working.formula, working.source, working.mark)
