"""From a bed's inside measure to a pen that one can build: pure engines, whole millimetres.

How to use it::

    beds = (BedSize("Bed 1", 2419, 1143), ...)              # as measured, inside the walls [mm]
    length_mm, width_mm = outside_for(beds[0], clearance_mm=10, standing="inside", along=1)
    design = PenDesign(length_mm, width_mm, birds=16)         # every other choice has a default
    pen = design_pen(design)                                  # DesignError(field) where it cannot be

    pen.pieces, pen.cut_list      Piece in its place (`.corners`, `.low`, `.high`); CutLine by letter
    pen.doors, pen.reach          Door (opening, leaf, hinge side, sills); worst point of the floor
    pen.fittings                  feeder and drinker: where, and whether within reach
    pen.wire, pen.rolls           WirePanel as cut; RollLayout with every panel's place
    pen.cover                     Cover or None
    pen.hardware                  HardwareLine: screws, staples, hinges, latches, counted, +10 %
    pen.mass                      Mass: parts, total, balance point; pen.mass.at_left_kg …
    pen.square_mm                 the diagonal to measure when checking for square
    pen.floor_m2, pen.clear_length_mm, pen.clear_width_mm, pen.outside_height_mm

    fit_rows(design, beds, clearance_mm, standing)            every bed, both ways round, the gaps
    most_birds(floor_m2, limit_kg_m2, mass_g)                 how many it holds
    last_week_held(birds, floor_m2, limit_kg_m2, {week: g})   the last week it holds them, or None
    lift_of(pen.mass, width_mm, LiftTerms(...))               per person at each end; the limit
    wind_on(pen, gust_m_s, walled)                            gusts that lift, tip, slide; hold-downs
    pen.air                                                   open and shaded share of the walls
    buying_list(pen, shop, shed, seconds)                     Buying: lines, cutting plan, mass, cost
    choose_sizes(beds, ask)                                   "Choose for me"

Axes are told in `values`; tables with a source on every row lie in ``reference/`` and are read by
`lumber`. Figures that were only recalled are marked so.
"""

from pens.design.air import Air
from pens.design.assembly import Fitting, Pen, design_pen
from pens.design.buying import Buying, buying_list
from pens.design.choices import BedSize, DesignError, PenDesign
from pens.design.choosing import Ask, Chosen, ChosenSize, choose_sizes
from pens.design.fasteners import HardwareLine
from pens.design.lifting import Lift, LiftTerms, lift_of
from pens.design.lumber import profiles, species
from pens.design.mass import Mass
from pens.design.materials import BuyingLine, Cover, PlacedPanel, RollLayout, WirePanel
from pens.design.shop import BoardOffer, Offcut, Shop
from pens.design.sizing import FitRow, fit_rows, last_week_held, most_birds, outside_for
from pens.design.values import (
    CutLine,
    Door,
    Hole,
    Opening,
    Piece,
    Reach,
    Sill,
)
from pens.design.wind import Wind, wind_on

__all__ = [
    "Air",
    "Ask",
    "BedSize",
    "BoardOffer",
    "Buying",
    "BuyingLine",
    "Chosen",
    "ChosenSize",
    "Cover",
    "CutLine",
    "DesignError",
    "Door",
    "FitRow",
    "Fitting",
    "HardwareLine",
    "Hole",
    "Lift",
    "LiftTerms",
    "Mass",
    "Offcut",
    "Opening",
    "Pen",
    "PenDesign",
    "Piece",
    "PlacedPanel",
    "Reach",
    "RollLayout",
    "Shop",
    "Sill",
    "Wind",
    "WirePanel",
    "buying_list",
    "choose_sizes",
    "design_pen",
    "fit_rows",
    "last_week_held",
    "lift_of",
    "most_birds",
    "outside_for",
    "profiles",
    "species",
    "wind_on",
]
