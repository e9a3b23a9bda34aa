"""What each step of building says: what to do, what to check, what goes wrong, what can hurt.

PURE. For somebody who has never built anything; a carpenter reads only the figures.
"""

from dataclasses import dataclass

from garden.words import mark


@dataclass(frozen=True, slots=True)
class StepWords:
    """A step in words. `{…}` are figures that `pens.steps` puts in."""

    title: str
    does: tuple[str, ...]
    checks: tuple[str, ...] = ()
    mistakes: tuple[str, ...] = ()
    hazard: str = ""
    caution: str = ""


WORDS: dict[str, StepWords] = {
    "sight": StepWords(
        mark("Look along every board"),
        (
            mark(
                "Hold one end of the board to your eye and look along its narrow edge, as along a ruler. Turn"
                " it and look along the next edge."
            ),
            mark("Chalk an arrow on the side that bulges (the crown)."),
            mark(
                "Straight boards become the long base rails. A slightly bowed one becomes a top rail with the"
                " crown up, or is cut into short pieces: a bow goes down with the square of the length, so"
                " 10 mm over 2.4 m are 2 mm over 1.1 m."
            ),
            mark("Lay a board that is twisted like a propeller aside: it cannot be made straight."),
        ),
        checks=(
            mark(
                "A long rail bowed by more than about 5 mm goes back to the pile (common practice, no source)."
            ),
        ),
        mistakes=(mark("Cutting the long pieces last, when only bowed boards are left."),),
        hazard=mark("Wood"),
        caution=mark(
            "Use untreated wood, and no old green (arsenic-treated) or painted boards:"
            " birds peck at it and the soil under it feeds people. Wear gloves against splinters."
        ),
    ),
    "cut": StepWords(
        mark("Cut the pieces and letter them"),
        (
            mark("Trim the rough end of each board first."),
            mark(
                "Follow the board layouts: they are worked out with the saw cut. Measure each piece from the"
                " last cut, mark it, and saw on the waste side of the line."
            ),
            mark(
                "Write the letter on each piece at once. Cut pieces of one letter from one measured piece, not"
                " from each other."
            ),
            mark("Drill the holes of the cut list before anything is screwed."),
        ),
        checks=(mark("Stand all pieces of a letter side by side: their ends are level to 1 mm."),),
        mistakes=(
            mark(
                "Marking all cuts of a board first: each saw cut then steals its width from the next piece."
            ),
            mark("Drilling without a block underneath, which splinters the far side."),
        ),
        hazard=mark("Blades and eyes"),
        caution=mark(
            "Wear eye and ear protection, clamp the board, keep hands"
            " behind the blade, unplug before changing it. The tool’s own manual and local rules come first."
        ),
    ),
    "walls": StepWords(
        mark("Screw the two long walls together"),
        (
            mark(
                "Lay a base rail, its posts and a top rail flat on a level floor, as in the drawing."
            ),
            mark(
                "Drive one screw through the rail into the end of each post. Then the other rail."
            ),
            mark("Build the second wall on top of the first: so they are the same."),
        ),
        checks=(mark("Both diagonals of each wall: {wall_diagonal}."),),
        mistakes=(
            mark("Screwing without pilot holes: the end of a post splits."),
            mark("Posts turned by a quarter: their wide side lies along the wall."),
        ),
        hazard=mark("Drill"),
        caution=mark("Clamp what you drill, and keep the other hand out of the screw’s way."),
    ),
    "ends": StepWords(
        mark("Join the walls with the end rails"),
        (
            mark(
                "Stand both walls up, {width} apart over everything, and hold them with clamps or a helper."
            ),
            mark(
                "Screw through the long rails into the ends of the end rails, at the bottom first."
            ),
            mark(
                "Measure both diagonals and push the longer one until they are alike. Then screw the top."
            ),
        ),
        checks=(
            mark(
                "Both diagonals, corner to corner over the outside: {diagonal}. Differing by up to 3 mm is"
                " fine."
            ),
            mark(
                "Set it in the bed now, while it can still be changed: the gaps are even all round."
            ),
        ),
        mistakes=(
            mark("Measuring one diagonal only: a frame that leans has one right and one wrong."),
        ),
    ),
    "braces": StepWords(
        mark("Put in the braces"),
        (
            mark(
                "With the diagonals right, screw a brace across each upper corner, from post to rail."
            ),
            mark("One screw at each end."),
        ),
        checks=(
            mark(
                "Both diagonals of each wall and of the top once more, then push a corner: nothing moves."
            ),
        ),
        mistakes=(mark("Bracing before the frame is square: it then stays crooked."),),
    ),
    "roof": StepWords(
        mark("Put in the roof bars"),
        (
            mark(
                "Screw each bar in between the top rails, level with their upper edge, where the drawing shows"
                " it."
            ),
        ),
        checks=(
            mark("Between the bars at a door the opening is as wide at the front as at the back."),
        ),
        mistakes=(mark("Placing bars by eye: the doors are cut for these openings."),),
    ),
    "skids": StepWords(
        mark("Screw the skids on"),
        (
            mark(
                "Turn the frame over and screw a skid under each long base rail, screws sunk below its face."
            ),
        ),
        mistakes=(mark("Screw heads that stand out: they catch on bed walls and on fingers."),),
    ),
    "roosts": StepWords(
        mark("Put in the roosts"),
        (
            mark(
                "Screw the roosts across the pen at the height in the drawing, edges rounded with sandpaper."
            ),
        ),
        mistakes=(mark("Roosts too high: heavy birds hurt their legs jumping down."),),
    ),
    "wire": StepWords(
        mark("Staple the wire on"),
        (
            mark(
                "Cut the panels as in the wire layout. Fold every cut edge back by its fold, so that no point"
                " is left on the outside."
            ),
            mark(
                "Start in the middle of a panel and staple outwards, pulled tight, on every piece of wood it"
                " crosses."
            ),
            mark("Overlap two panels on wood only, and staple through both."),
        ),
        checks=(mark("No gap is larger than a finger: a weasel goes through 25 mm (1 in)."),),
        mistakes=(
            mark("Leaving the wire loose: it bulges, and the door binds."),
            mark("Stapling only the corners: a fox pulls the rest off."),
        ),
        hazard=mark("Wire edges"),
        caution=mark("Wear gloves and eye protection; cut wire springs back."),
    ),
    "straps": StepWords(
        mark("Screw the strapping over the wire’s edges"),
        (
            mark(
                "Screw the straps over the stapled edges: screws hold where staples would be pulled."
            ),
            mark("Set the stops that the doors close against."),
        ),
        checks=(mark("Run a gloved hand along every edge: nothing scratches."),),
    ),
    "doors": StepWords(
        mark("Build and hang the doors"),
        (
            mark(
                "Build each door flat, check its diagonals, and staple on the wire that was cut from its"
                " opening."
            ),
            mark(
                "Lay it in its opening with {gap} packers on every side, and screw on the hinges, then the"
                " latches."
            ),
            mark(
                "Use two-step latches, such as a hook that must be lifted and then turned: a raccoon opens a"
                " plain hook."
            ),
        ),
        checks=(mark("Every door closes without touching its frame, {gap} of air on each side."),),
        mistakes=(mark("Hanging a door tight in dry weather: it swells and sticks in the wet."),),
    ),
    "cover": StepWords(
        mark("Stretch the cover"),
        (
            mark("Lay the tarp over the roof so that it hangs over by the same on both ends."),
            mark(
                "Fold its edges under and screw straps over them; on the low side leave a drip edge free."
            ),
            mark("Keep the strip that is left over: it mends tears."),
        ),
        checks=(mark("Pour a can of water on it: it runs off, and none stands in a hollow."),),
        mistakes=(mark("Covering all walls: the birds need the air more than the shade."),),
        hazard=mark("Wind"),
        caution=mark("A cover is a sail. Do not leave the pen without its hold-downs."),
    ),
    "hold": StepWords(
        mark("Carry it, set it down, hold it down"),
        (
            mark(
                "Carry it by the base rails near its ends, one person at each end. Lift with the legs, and do"
                " not twist."
            ),
            mark(
                "Set it in the bed, look along its foot, and fill every gap over 13 mm (1/2 in) with soil."
            ),
            mark("Fasten the hold-downs of the wind section before the birds go in."),
        ),
        checks=(mark("Pull at each corner as hard as a dog would."),),
        mistakes=(mark("Walking backwards over bed edges with it: look behind you first."),),
        hazard=mark("Lifting and predators"),
        caution=mark(
            "Take a second person where the weight section says so."
            " Foxes, rats and badgers dig: lay a skirt where the bed has no floor of wire."
        ),
    ),
}
