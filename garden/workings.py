"""How each computed figure is worked out, in words, with its source: what a page's “Why?” opens.

PURE. A page gives the inputs of its figure; the formula, the source and the mark stand here, once.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from garden.words import gettext as _
from garden.words import mark


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
        mark("feed"),
        {
            "birds": mark("Birds"),
            "age": mark("Age in days"),
            "feed": mark("Which feed"),
            "batch": mark("Batch"),
        },
        mark(
            "What one bird eats on a day of its age, by the expected growth of its strain as your "
            "weighings and "
            "feed records bend it, times the birds alive."
        ),
        mark(
            "The strain’s published table; the batch’s page names it under “Where these figures come from”"
        ),
        mark("published, then your own records"),
    ),
    "water": Working(
        mark("water"),
        {"feed": mark("Feed of the day"), "degrees": mark("Air reckoned with")},
        mark("1.9 litres for each kilogram of feed, and 4 % more for each degree above 21 °C."),
        mark(
            "Mississippi State, water-related factors: 1.5 to 2 times the feed by weight, more in heat"
        ),
        mark("derived from published figures"),
    ),
    "dropped": Working(
        mark("nitrogen dropped"),
        {
            "birds": mark("Birds"),
            "from": mark("From"),
            "until": mark("Until"),
            "share": mark("Planned for"),
        },
        mark(
            "Nitrogen in the feed they eat, less 29 g kept for each kilogram that a bird gains, day "
            "by day, times "
            "the birds. A careful plan takes what more than half of all flocks stay below, as the settings say."
        ),
        mark(
            "Crude protein is 16 % nitrogen; what birds keep is just under the 30 g/kg of the German "
            "fertiliser ordinance (Agriculture 2023, 13(1):33)"
        ),
        mark("derived from published figures"),
    ),
    "room": Working(
        mark("nitrogen room"),
        {
            "area": mark("Area of the bed"),
            "rule": mark("Rule"),
            "year": mark("Dropped in the last 365 days"),
            "planned": mark("Planned to come"),
            "crop": mark("Next crop"),
        },
        mark(
            "What the garden’s rule allows on the bed’s area, less what birds dropped there in the "
            "last 365 days "
            "and what the plan still brings. A soil test high in phosphorus may allow less."
        ),
        mark(
            "The limit is this garden’s own; 170 kg for each hectare stands in Directive 91/676/EEC"
        ),
        mark("published limit, derived sum"),
    ),
    "safe": Working(
        mark("first safe harvest"),
        {
            "birds_left": mark("Birds left"),
            "raw": mark("Raw manure spread"),
            "wait": mark("Wait in days"),
        },
        mark(
            "The last day with birds, or the day the droppings were mixed in, plus the wait for "
            "what touches soil "
            "or for what is held clear of it."
        ),
        mark("7 CFR 205.203(c)(1): 120 and 90 days, unless this garden’s settings say more"),
        mark("published"),
    ),
    "carry": Working(
        mark("way to carry"),
        {"here": mark("From"), "there": mark("To")},
        mark("The straight way between the middles of the two places on the garden’s map."),
        mark("The beds’ places as you set them on the map"),
        mark("derived"),
    ),
    "crowding": Working(
        mark("weight on the floor"),
        {
            "birds": mark("Birds"),
            "floor": mark("Floor inside"),
            "limit": mark("Limit"),
            "on": mark("Reached on"),
        },
        mark(
            "The expected weight of a bird times the birds alive, by the pen’s floor; the day told "
            "is the first "
            "on which it passes the garden’s limit."
        ),
        mark("The limit is this garden’s own; Directive 2007/43/EC sets 33 kg/m² for houses"),
        mark("derived"),
    ),
    "weight": Working(
        mark("weight"),
        {
            "weighed": mark("Weighed"),
            "strain": mark("Strain"),
            "expected": mark("By the table alone"),
        },
        mark(
            "The expected curve of the strain, bent by every weighing in the share that its sample deserves; "
            "the middle of 1,000 equally likely flocks."
        ),
        mark("The strain’s published table and your weighings"),
        mark("published, then your own records"),
    ),
    "sexes": Working(
        mark("weight of males and females"),
        {"males": mark("Males"), "strain": mark("Strain"), "one_sex": mark("Weighings of one sex")},
        mark(
            "The strain’s curve is moved towards the males’ or the females’ by the share of males, "
            "half of each "
            "where nobody counted. A weighing of one sex is read as what both would have weighed that day."
        ),
        mark(
            "The columns of the Poultry CRC table for fast males and females; others are taken to differ alike"
        ),
        mark("derived from published figures"),
    ),
    "parted": Working(
        mark("weight after the heaviest went"),
        {"taken": mark("Heaviest taken"), "lighter": mark("The rest are lighter by")},
        mark(
            "Birds stand at even steps of a log-normal distribution with the flock’s spread; the "
            "upper ones went, "
            "and the others keep their places as they grow. Weighings since then are read as of the "
            "rest, and what "
            "is forecast is of the rest."
        ),
        mark(
            "Your records, and the spread between birds as the strain’s table and your single weights tell it"
        ),
        mark("derived"),
    ),
    "conversion": Working(
        mark("feed for each unit gained"),
        {"given": mark("Feed logged"), "gained": mark("Weight gained")},
        mark(
            "All feed logged, by the birds’ weight now less their weight as chicks. What is spilt "
            "counts as fed."
        ),
        mark("Your own feed records and weighings"),
        mark("derived"),
    ),
    "plan_cost": Working(
        mark("how good the plan is"),
        {
            "moves": mark("Moves"),
            "carried": mark("Carried"),
            "off": mark("Days off the beds"),
            "gap": mark("Proven within"),
        },
        mark(
            "Each day off the beds, each move and each metre carried has a price; the plan is the "
            "cheapest found, "
            "and a bound proves how much cheaper any other could be."
        ),
        mark("The prices are our choice; the bound comes from the planner’s linear programme"),
        mark("our choice, proven bound"),
    ),
    "heat": Working(
        mark("heat on the birds"),
        {
            "air": mark("Warmest air"),
            "humidity": mark("Humidity"),
            "age": mark("Age in days"),
            "index": mark("Index"),
            "limit": mark("Limit at this age"),
        },
        mark(
            "0.85 of the air’s temperature and 0.15 of the wet bulb’s, held against what birds of "
            "that age bear. "
            "Moving air is left out: a draught makes it better, still air worse."
        ),
        mark(
            "Tao and Xin 2003 for the index; Purswell and others 2012 for birds from 49 days; "
            "limits of younger "
            "birds are recalled"
        ),
        mark("published index, limits below 49 days from memory"),
    ),
    "night": Working(
        mark("coldest night for birds outdoors"),
        {
            "low": mark("Night expected"),
            "age": mark("Age in days"),
            "least": mark("Suggested least"),
        },
        mark(
            "The night’s low held against the coldest night that feathered birds of that age bear "
            "when dry and out "
            "of the wind."
        ),
        mark("Growers’ rules of thumb; published pages disagree from 20 days to 6 weeks"),
        mark("from memory, low"),
    ),
    "wind": Working(
        mark("wind on the pen"),
        {
            "gust": mark("Gust expected"),
            "moves": mark("A gust that moves it"),
            "pen": mark("Pen"),
            "weight": mark("It weighs"),
        },
        mark(
            "Pressure of the wind is 0.613 times the square of its speed; on the cover it lifts, on "
            "the walls it "
            "pushes. The gust that moves the pen is where that beats its weight."
        ),
        mark(
            "ASCE/SEI 7 for the pressure; the coefficients are recalled. A pen’s design page shows the sums"
        ),
        mark("published pressure, shares from memory"),
    ),
    "sun": Working(
        mark("sunrise and sunset"),
        {"place": mark("Place"), "zone": mark("Clock")},
        mark(
            "The moment the sun’s upper edge meets a level horizon, 50 minutes of arc below it for "
            "the bending of "
            "the light. Hills and trees make the day shorter."
        ),
        mark("The almanacs’ definition of sunrise, worked out here by the astral library"),
        mark("from memory"),
    ),
}


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
        (_(words), str(given[name]))
        for name, words in working.inputs.items()
        if given.get(name) not in (None, "")
    )
    return Told(_(working.figure), inputs, _(working.formula), _(working.source), _(working.mark))
