"""What each step of building says: what to do, what to check, what goes wrong, what can hurt.

PURE. For somebody who has never built anything; a carpenter reads only the figures.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class StepWords:
    """A step in words. `{…}` are figures that `pens.steps` puts in."""

    title: str
    does: tuple[str, ...]
    checks: tuple[str, ...] = ()
    mistakes: tuple[str, ...] = ()
    hazard: str = ""
    caution: str = ""


TOOL_MANUAL = "The tool’s own manual and local rules come first."

WORDS: dict[str, StepWords] = {
    "sight": StepWords(
        "Look along every board",
        (
            "Hold one end of the board to your eye and look along its narrow edge, as along a ruler. Turn it"
            " and look along the next edge.",
            "Chalk an arrow on the side that bulges (the crown).",
            "Straight boards become the long base rails. A slightly bowed one becomes a top rail with the"
            " crown up, or is cut into short pieces: a bow goes down with the square of the length, so"
            " 10 mm over 2.4 m are 2 mm over 1.1 m.",
            "Lay a board that is twisted like a propeller aside: it cannot be made straight.",
        ),
        checks=(
            "A long rail bowed by more than about 5 mm goes back to the pile (common practice, no source).",
        ),
        mistakes=("Cutting the long pieces last, when only bowed boards are left.",),
        hazard="Wood",
        caution="Use untreated wood, and no old green (arsenic-treated) or painted boards:"
        " birds peck at it and the soil under it feeds people. Wear gloves against splinters.",
    ),
    "cut": StepWords(
        "Cut the pieces and letter them",
        (
            "Trim the rough end of each board first.",
            "Follow the board layouts: they are worked out with the saw cut. Measure each piece from the last"
            " cut, mark it, and saw on the waste side of the line.",
            "Write the letter on each piece at once. Cut pieces of one letter from one measured piece, not"
            " from each other.",
            "Drill the holes of the cut list before anything is screwed.",
        ),
        checks=("Stand all pieces of a letter side by side: their ends are level to 1 mm.",),
        mistakes=(
            "Marking all cuts of a board first: each saw cut then steals its width from the next piece.",
            "Drilling without a block underneath, which splinters the far side.",
        ),
        hazard="Blades and eyes",
        caution="Wear eye and ear protection, clamp the board, keep hands"
        " behind the blade, unplug before changing it. " + TOOL_MANUAL,
    ),
    "walls": StepWords(
        "Screw the two long walls together",
        (
            "Lay a base rail, its posts and a top rail flat on a level floor, as in the drawing.",
            "Drive one screw through the rail into the end of each post. Then the other rail.",
            "Build the second wall on top of the first: so they are the same.",
        ),
        checks=("Both diagonals of each wall: {wall_diagonal}.",),
        mistakes=(
            "Screwing without pilot holes: the end of a post splits.",
            "Posts turned by a quarter: their wide side lies along the wall.",
        ),
        hazard="Drill",
        caution="Clamp what you drill, and keep the other hand out of the screw’s way.",
    ),
    "ends": StepWords(
        "Join the walls with the end rails",
        (
            "Stand both walls up, {width} apart over everything, and hold them with clamps or a helper.",
            "Screw through the long rails into the ends of the end rails, at the bottom first.",
            "Measure both diagonals and push the longer one until they are alike. Then screw the top.",
        ),
        checks=(
            "Both diagonals, corner to corner over the outside: {diagonal}. Differing by up to 3 mm is fine.",
            "Set it in the bed now, while it can still be changed: the gaps are even all round.",
        ),
        mistakes=("Measuring one diagonal only: a frame that leans has one right and one wrong.",),
    ),
    "braces": StepWords(
        "Put in the braces",
        (
            "With the diagonals right, screw a brace across each upper corner, from post to rail.",
            "One screw at each end.",
        ),
        checks=(
            "Both diagonals of each wall and of the top once more, then push a corner: nothing moves.",
        ),
        mistakes=("Bracing before the frame is square: it then stays crooked.",),
    ),
    "roof": StepWords(
        "Put in the roof bars",
        (
            "Screw each bar in between the top rails, level with their upper edge, where the drawing shows it.",
        ),
        checks=("Between the bars at a door the opening is as wide at the front as at the back.",),
        mistakes=("Placing bars by eye: the doors are cut for these openings.",),
    ),
    "skids": StepWords(
        "Screw the skids on",
        (
            "Turn the frame over and screw a skid under each long base rail, screws sunk below its face.",
        ),
        mistakes=("Screw heads that stand out: they catch on bed walls and on fingers.",),
    ),
    "roosts": StepWords(
        "Put in the roosts",
        (
            "Screw the roosts across the pen at the height in the drawing, edges rounded with sandpaper.",
        ),
        mistakes=("Roosts too high: heavy birds hurt their legs jumping down.",),
    ),
    "wire": StepWords(
        "Staple the wire on",
        (
            "Cut the panels as in the wire layout. Fold every cut edge back by its fold, so that no point is"
            " left on the outside.",
            "Start in the middle of a panel and staple outwards, pulled tight, on every piece of wood it"
            " crosses.",
            "Overlap two panels on wood only, and staple through both.",
        ),
        checks=("No gap is larger than a finger: a weasel goes through 25 mm (1 in).",),
        mistakes=(
            "Leaving the wire loose: it bulges, and the door binds.",
            "Stapling only the corners: a fox pulls the rest off.",
        ),
        hazard="Wire edges",
        caution="Wear gloves and eye protection; cut wire springs back.",
    ),
    "straps": StepWords(
        "Screw the strapping over the wire’s edges",
        (
            "Screw the straps over the stapled edges: screws hold where staples would be pulled.",
            "Set the stops that the doors close against.",
        ),
        checks=("Run a gloved hand along every edge: nothing scratches.",),
    ),
    "doors": StepWords(
        "Build and hang the doors",
        (
            "Build each door flat, check its diagonals, and staple on the wire that was cut from its opening.",
            "Lay it in its opening with {gap} packers on every side, and screw on the hinges, then the"
            " latches.",
            "Use two-step latches, such as a hook that must be lifted and then turned: a raccoon opens a"
            " plain hook.",
        ),
        checks=("Every door closes without touching its frame, {gap} of air on each side.",),
        mistakes=("Hanging a door tight in dry weather: it swells and sticks in the wet.",),
    ),
    "cover": StepWords(
        "Stretch the cover",
        (
            "Lay the tarp over the roof so that it hangs over by the same on both ends.",
            "Fold its edges under and screw straps over them; on the low side leave a drip edge free.",
            "Keep the strip that is left over: it mends tears.",
        ),
        checks=("Pour a can of water on it: it runs off, and none stands in a hollow.",),
        mistakes=("Covering all walls: the birds need the air more than the shade.",),
        hazard="Wind",
        caution="A cover is a sail. Do not leave the pen without its hold-downs.",
    ),
    "hold": StepWords(
        "Carry it, set it down, hold it down",
        (
            "Carry it by the base rails near its ends, one person at each end. Lift with the legs, and do not"
            " twist.",
            "Set it in the bed, look along its foot, and fill every gap over 13 mm (1/2 in) with soil.",
            "Fasten the hold-downs of the wind section before the birds go in.",
        ),
        checks=("Pull at each corner as hard as a dog would.",),
        mistakes=("Walking backwards over bed edges with it: look behind you first.",),
        hazard="Lifting and predators",
        caution="Take a second person where the weight section says so."
        " Foxes, rats and badgers dig: lay a skirt where the bed has no floor of wire.",
    ),
}
