"""Drawings of a pen design, true to scale: plan, front, side, each door, the pen taken apart, each step.

PURE. A drawing is a `Sheet`: outlines and words in units of a picture some 400 wide, which is near a
phone's, so that a text of 14 units can be read. `svg.py` writes one for a page or as a file of its own.

* `shapes`: what a sheet is made of, and the room that words take.
* `solids`: pieces of wood as bodies in space, seen from a side or aslant, the far ones first.
* `dimensions`: lengths beside a drawing, in lanes, so that no two of them touch.
* `letters`: a letter at each piece, moved aside with a line to its piece where there is no room.
* `views`, `doors`, `exploded`, `step_pictures`: the sheets themselves.
"""
