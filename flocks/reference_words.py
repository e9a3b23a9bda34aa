"""The words of the reference tables, marked for the catalogues: a table of figures cannot mark its own.

PURE. What shows such a word says it by `garden.words.gettext`.
"""

from garden.words import mark

STRAINS = (
    mark("Fast class, mixed sex"),
    mark("Fast class, males"),
    mark("Fast class, females"),
    mark("Fast class of recent years, mixed sex (approximate)"),
    mark("Broiler of the 1994 standard, mixed sex"),
    mark("Ranger class, mixed sex (approximate)"),
    mark("Label class, coloured slow bird, mixed sex (approximate)"),
    mark("Slow bird of unknown class"),
    mark("Meat bird of unknown class"),
    mark("Any chick, layer types too"),
)
"""Names of kinds of bird."""

PHASES = (
    mark("starter"),
    mark("grower"),
    mark("finisher"),
)
"""Feeds by age."""

SOURCES = (
    mark(
        "Weighted least squares on the mean of both sexes of the Poultry CRC table of body weights,"
        " Poultry Hub, nutrition requirements of meat chickens; then made 3 % steeper, because "
        "published trials (tests/data) weigh less than the table in the second week and more from "
        "the fourth on: within 5 % of the table at every week"
    ),
    mark(
        "Spread among the fitted fast curves, widened for small flocks; bird-to-bird 11 % within "
        "one trial, strain, sex and day (864 birds, tests/data/broiler_birds.csv), with 6 % either "
        "way for the sexes where mixed; the Poultry CRC page says 8-12 %; feed: trials and tables "
        "differ by 10 to 15 %, label trials by more"
    ),
    mark(
        "times 0.95: middle of seven published trials of fast birds (0.92 to 0.96 in four, 0.82 to "
        "0.90 in two, 1.10 in one; tests/data), any one of them left out"
    ),
    mark(
        "Weighted least squares on the male column of the Poultry CRC table (week 5 left out: "
        "misprint), Poultry Hub, nutrition requirements of meat chickens; then made 3 % steeper, "
        "because published trials (tests/data) weigh less than the table in the second week and "
        "more from the fourth on: within 5 % of the table at every week"
    ),
    mark(
        "Weighted least squares on the female column of the Poultry CRC table, Poultry Hub, "
        "nutrition requirements of meat chickens; then made 3 % steeper, because published trials "
        "(tests/data) weigh less than the table in the second week and more from the fourth on: "
        "within 5 % of the table at every week"
    ),
    mark("Recalled to within about 4 %; fitted as the others"),
    mark(
        "Spread among the fitted fast curves, widened for small flocks and for the recalled table; "
        "feed: trials and tables differ by 10 to 15 %, label trials by more"
    ),
    mark(
        "NRC, Nutrient Requirements of Poultry, 9th revised edition 1994, Table 2-5, recalled; "
        "least squares on the mean of both sexes"
    ),
    mark(
        "As for the fast class; feed: trials and tables differ by 10 to 15 %, label trials by more"
    ),
    mark("Recalled to within about 8 %; fitted as the others"),
    mark(
        "As for the fast class, widened for the recalled table; feed: trials and tables differ by "
        "10 to 15 %, label trials by more"
    ),
    mark("Geometric mean of the ranger and label rows"),
    mark(
        "Half the distance between the ranger and label rows, added to their own spread; feed: "
        "trials and tables differ by 10 to 15 %, label trials by more"
    ),
    mark("Geometric mean of the fast-recent and label rows"),
    mark(
        "Half the distance between the fast-recent and label rows (0.35, 0.14 and 0.11 as "
        "logarithms), widened by a tenth; feed: trials and tables differ by 10 to 15 %, label "
        "trials by more"
    ),
    mark(
        "Geometric middle of the chickens that no row above is for: from a bantam of 900 g to the "
        "label row; rate and inflection where the rows above, laid on a line by their mature "
        "weights (logarithms), have such a bird"
    ),
    mark(
        "From that bantam to a recent meat bird of 6.3 kg, and from the rate of layer pullets "
        "(about 0.025 a day on the weights of kjps-51-4-195, Table 2) to that of recent meat birds;"
        " with so wide a start the weighings decide"
    ),
    mark(
        "Poultry CRC table, Poultry Hub, nutrition requirements of meat chickens, mean of the sexes"
    ),
    mark("Poultry CRC table, Poultry Hub, nutrition requirements of meat chickens"),
    mark("Middle of the recalled range"),
    mark("NRC 1994 Table 2-5, recalled, mean of the sexes"),
    mark(
        "Feed of the Poultry CRC mean at the same weight x 1.08, which gives the recalled 1.75 g/g "
        "at 42 and 1.95 at 56 days"
    ),
    mark(
        "Feed of the Poultry CRC mean at the same weight x 1.15 at 230 g rising to 1.64 at 2450 g, "
        "which gives the recalled 2.6-3.0 g/g at 84 days"
    ),
)
"""Where the figures of growth and feed come from, in words of our own."""
