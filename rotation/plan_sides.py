"""Two plans side by side, told by the same reckoning: moves, metres, days off the beds, grams for each bed."""

from collections.abc import Iterable
from copy import copy
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from garden.models import Bed
from garden.nutrients import Dropping
from rotation.bed_room import bed_room
from rotation.engine.problem import CostItems, relative_gap
from rotation.engine.rules import cost_of
from rotation.facts import GardenFacts
from rotation.models import Plan, PlannedStay
from rotation.moves import Move, moves_of
from rotation.plan_saving import stays_of
from rotation.problems import COSTS
from rotation.robustness import plan_tried
from rotation.seasons_tried import SeasonsTried
from rotation.told import told_parts


@dataclass(frozen=True)
class Side:
    """One plan of the two, from today on."""

    facts: GardenFacts
    stays: tuple[PlannedStay, ...]
    items: CostItems
    cost: float
    lower_bound: float

    @cached_property
    def moves(self) -> list[Move]:
        """Each stay as a move."""
        return moves_of(self.facts.garden, self.stays, self.facts.standing)

    @property
    def _made(self) -> list[Move]:
        return [move for move in self.moves if move.stay.bed_id and not move.goes_on]

    @property
    def move_count(self) -> int:
        """How often a pen is moved onto a bed."""
        return len(self._made)

    @property
    def carried_m(self) -> float:
        """How far pens are carried in all [m]."""
        return sum(move.carry_m or 0.0 for move in self._made)

    @property
    def off_bed_days(self) -> int:
        """Days off the beds of all pens."""
        return sum(move.days for move in self.moves if move.stay.bed_id is None)

    @property
    def wanted_g(self) -> float:
        """How much of what is dropped a next crop wants [g]."""
        return -self.items.wanted_nitrogen / COSTS.wanted_nitrogen_per_gram

    @property
    def changed_days(self) -> int:
        """Days on which a pen stands elsewhere than told."""
        return round(self.items.changed / COSTS.changed_day)

    @property
    def gap_percent(self) -> float:
        """How much better any plan could be, at most, by the planner's reckoning [%]."""
        return 100 * max(0.0, relative_gap(self.cost, self.lower_bound))

    @cached_property
    def tried(self) -> SeasonsTried:
        """In how many seasons it keeps to every bed's nitrogen."""
        return plan_tried(self.facts, self.stays)

    def dropped_g(self, bed_id: int) -> float:
        """Return what the plan brings to a bed [g]."""
        return sum(stay.nitrogen_g for stay in self.stays if stay.bed_id == bed_id)

    def room_g(self, bed_id: int) -> float | None:
        """Return what a bed may still receive now; None for a bed that is not there [g]."""
        known = self.facts.beds.get(bed_id)
        if known is None:
            return None
        garden = self.facts.garden
        return bed_room(
            known.bed.area_m2,
            known.plantings,
            [
                Dropping(stay.end_day - timedelta(days=1), stay.nitrogen_g)
                for stay in self.facts.past
                if stay.stretch.bed_id == bed_id
            ],
            on=self.facts.on,
            policy=garden.nitrogen_rules(),
            rule=garden.bird_day_rule(),
            soil_supply_kg_ha=garden.soil_nitrogen_kg_ha,
            soil=known.soil,
        ).left_g


@dataclass(frozen=True)
class BedLine:
    """What the two plans bring to one bed [g]."""

    bed: Bed
    now_g: float
    then_g: float
    room_now_g: float | None
    room_then_g: float


@dataclass(frozen=True)
class Compared:
    """The plan as told and the plan with the changes."""

    now: Side
    then: Side

    @property
    def beds(self) -> list[BedLine]:
        """The beds on which one of the plans puts a pen, in their order."""
        lines = (
            BedLine(
                bed=known.bed,
                now_g=self.now.dropped_g(pk),
                then_g=self.then.dropped_g(pk),
                room_now_g=self.now.room_g(pk),
                room_then_g=self.then.room_g(pk),
            )
            for pk, known in self.then.facts.beds.items()
        )
        return [line for line in lines if line.now_g or line.then_g]


def side_told(facts: GardenFacts, told: Plan | None) -> Side:
    """Return the told plan, cut to what lies ahead, as it costs by today's facts."""
    stays = [_ahead(stay, facts.on) for stay in stays_of(told) if stay.end_day > facts.on]
    items = [
        cost_of(part.problem, engine_stays, off)
        for part, engine_stays, off in told_parts(stays_of(told), facts)
    ]
    return Side(
        facts,
        tuple(with_beds(stays, facts)),
        CostItems.of_all(items),
        told.cost if told else 0.0,
        told.lower_bound if told else 0.0,
    )


def _ahead(stay: PlannedStay, on: date) -> PlannedStay:
    ahead = copy(stay)
    ahead.nitrogen_g = stay.nitrogen_ahead_g(on)
    ahead.first_day = max(stay.first_day, on)
    return ahead


def with_beds(stays: Iterable[PlannedStay], facts: GardenFacts) -> list[PlannedStay]:
    """Put the beds of the facts on the rows, a bed only thought of too; stays on beds given up are left out."""
    kept = [stay for stay in stays if stay.bed_id is None or stay.bed_id in facts.beds]
    for stay in kept:
        if stay.bed_id is not None:
            stay.bed = facts.beds[stay.bed_id].bed
    return kept
