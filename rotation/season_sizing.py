"""Sizing a season from a garden's rows: its ground, pens, frosts and batches become the search's values.

The planner judges through `rotation.planning.solved`, with the batches that are under way planned beside.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from copy import copy
from dataclasses import replace
from datetime import date, timedelta
from functools import cached_property

from flocks.forecasting import BatchForecast, draft_forecast
from flocks.models import Batch
from flocks.ready import carcass_g
from flocks.sharing import shared_out
from flocks.survival import survivors
from garden.models import Bed, Garden
from garden.words import gettext as _
from pens.models import Pen
from rotation.changed_plan import days_off_in
from rotation.engine.problem import Spot
from rotation.facts import GardenFacts, PenRun, facts_of
from rotation.ground import BedFacts, Horizon, spot, stretches
from rotation.planning import Effort, current_plan, solved
from rotation.season_limits import (
    DAYS,
    Wish,
    a_week_later,
    a_week_less,
    at_home,
    birds_there,
    coming_meat_kg,
    outdoors,
)
from rotation.sizing import PACKED_KG_PER_L, BatchSize, Bird, Judged, Limits, PenFloor
from rotation.sizing_search import Judge, Setting
from rotation.sizing_walk import Place, StayRules, Walk
from rotation.stretches import Stretch, on_bed
from rotation.told import ground_told

JUDGE_ROUNDS = 5
"""Work of the planner for each proposal: the first plans and a little polish. Our choice."""
MORE_FREEZER_L, MORE_BIRDS, MORE_BUDGET = 50.0, 5, 1.1
"""One more unit of a limit. Our choice."""
NEW_PK = -1
"""Id of the bed or pen that is only thought of."""


class SizingGround:
    """A garden read once, from which settings of the search are made."""

    def __init__(self, garden: Garden, on: date, wish: Wish) -> None:
        self.garden, self.on, self.wish = garden, on, wish
        self.facts = facts_of(garden, on)
        plan = current_plan(garden)
        self.told = list(plan.stays.all()) if plan else []
        self.told_off_days = days_off_in(self.told, on)
        self.pens = {pen.pk: pen for pen in garden.pens.in_use() if pen.pk in wish.pens}
        self.under_way = {run.batch.pk: run.batch for run in self.facts.runs}

    @cached_property
    def forecast(self) -> BatchForecast:
        """The growth of a bird hatched today; by age it is the same on any other day."""
        return draft_forecast(self.wish.strain, self.on, target_g=self.wish.target_g)

    @cached_property
    def bird(self) -> Bird | None:
        """What one chick does; None where such birds do not reach the weight wanted."""
        wish, forecast = self.wish, self.forecast
        ready_on = forecast.ready_on.median
        if ready_on is None:
            return None
        end_age = max((ready_on - self.on).days, wish.brooder_days + 1)
        out_on, end_on = (self.on + timedelta(days=age) for age in (wish.brooder_days, end_age))
        live_g = forecast.weight_g(end_on).median
        alive = survivors(1000, 0, end_age).expected / 1000
        feed_kg = forecast.feed_kg(1, self.on, end_on)
        quantile = self.garden.nitrogen_quantile
        return Bird(
            out_age=wish.brooder_days,
            end_age=end_age,
            nitrogen_g=tuple(forecast.nitrogen_g_by_day(1, out_on, end_on, quantile=quantile)),
            live_kg=live_g / 1000,
            meat_kg=alive * carcass_g(live_g) / 1000,
            feed_kg=feed_kg,
            cost=wish.chick_price + feed_kg * wish.feed_price_kg + wish.other_price,
        )

    @cached_property
    def limits(self) -> Limits:
        """What the season may not exceed."""
        wish, coming_kg = self.wish, coming_meat_kg(self.facts, self.under_way.values())
        wanted_kg = wish.wanted_kg
        if wanted_kg is not None:
            wanted_kg = max(0.0, wanted_kg - sum(kg for _, kg in coming_kg))
        return Limits(
            outdoors=outdoors(self.on, wish.outdoors_from, wish.outdoors_until),
            at_home=at_home(self.on, wish.away),
            pens=tuple(self._floor(pen) for pen in self.pens.values()),
            density_kg_m2=self.garden.density_limit_kg_m2,
            wanted_kg=wanted_kg,
            wanted_a_year_kg=wish.wanted_kg,
            freezer_kg=None if wish.freezer_l is None else PACKED_KG_PER_L * wish.freezer_l,
            in_freezer_kg=wish.in_freezer_kg,
            coming_kg=tuple(coming_kg),
            birds_at_once=wish.birds_at_once,
            birds_there=birds_there(self.on, self.under_way.values()),
            budget=wish.budget,
            brooder_taken=tuple(
                (self._day(batch.hatch_on), self._day(batch.leaves_brooder_on))
                for batch in self.under_way.values()
            ),
        )

    @cached_property
    def setting(self) -> Setting:
        """The garden as it is."""
        return self._setting(self.limits, self.facts.beds, self.pens)

    def looser(self) -> Mapping[str, Callable[[], Setting]]:
        """Return the garden with one limit loosened, for each limit that is set."""
        wish, limits = self.wish, self.limits
        found: dict[str, Callable[[], Setting]] = {}
        if self.facts.beds:
            found["bed"] = lambda: self._one_more_bed(self._middle_bed)
            if self._middle_bed.plantings:
                found["bare"] = lambda: self._one_more_bed(replace(self._middle_bed, plantings=()))
        if self.pens:
            found["pen"] = self._one_more_pen
        if limits.freezer_kg is not None:
            more_kg = limits.freezer_kg + PACKED_KG_PER_L * MORE_FREEZER_L
            found["freezer"] = lambda: self._with(freezer_kg=more_kg)
        if wish.outdoors_until:
            later = a_week_later(wish.outdoors_until, self.on)
            found["season"] = lambda: self._with(
                outdoors=outdoors(self.on, wish.outdoors_from, later)
            )
        if wish.away:
            found["home"] = lambda: self._with(at_home=at_home(self.on, a_week_less(wish.away)))
        if limits.birds_at_once is not None:
            found["birds"] = lambda: self._with(birds_at_once=limits.birds_at_once + MORE_BIRDS)
        if limits.budget is not None:
            found["budget"] = lambda: self._with(budget=limits.budget * MORE_BUDGET)
        return found

    def _with(self, **changes: object) -> Setting:
        return replace(self.setting, limits=replace(self.limits, **changes))

    def _setting(
        self, limits: Limits, beds: Mapping[int, BedFacts], pens: Mapping[int, Pen]
    ) -> Setting:
        facts = replace(self.facts, beds=dict(beds))
        rules = StayRules(
            self.garden.max_stay_days, self.garden.rest_days, self.garden.min_stay_days
        )
        return Setting(limits, Walk(self._places(facts, pens), rules), self._judge(facts, pens))

    def _places(self, facts: GardenFacts, pens: Mapping[int, Pen]) -> list[Place]:
        """Return the places of every size of pen, with what is told already taken off."""
        horizon = Horizon(self.on, DAYS)
        told = ground_told(self.told, facts)
        dropped, resting = on_bed([*facts.past, *told]), on_bed([*facts.past, *told])
        found = []
        for size, pen in self._by_size(pens).items():
            for known in facts.beds.values():
                for place in stretches(known.bed, pen, self.garden):
                    ground = spot(
                        known, place, self.garden, horizon, name=place.id,
                        dropped=dropped[place.bed_id], resting=resting[place.bed_id],
                    )  # fmt: skip
                    found.append((size, place, ground))
        return [
            Place(
                size=size,
                room_g=ground.nitrogen_room_g,
                windows=tuple((w.first_day, w.end_day, w.nitrogen_room_g) for w in ground.windows),
                shares=tuple(self._shares(number, place, found)),
            )
            for number, (size, place, ground) in enumerate(found)
        ]

    def _shares(
        self, number: int, place: Stretch, found: Sequence[tuple[int, Stretch, Spot]]
    ) -> Iterator[tuple[int, float]]:
        if len({size for size, *_ in found}) < 2:
            return  # places of one size never share ground
        for other, (_size, ground, _spot) in enumerate(found):
            if other != number and ground.overlaps(place):
                yield other, ground.share_of(place)

    def _by_size(self, pens: Mapping[int, Pen]) -> dict[int, Pen]:
        sizes = sorted({(pen.length_mm, pen.width_mm) for pen in pens.values()})
        like = {(pen.length_mm, pen.width_mm): pen for pen in pens.values()}
        return {number: like[size] for number, size in enumerate(sizes)}

    def _size(self, pen: Pen, pens: Mapping[int, Pen]) -> int:
        sizes = sorted({(other.length_mm, other.width_mm) for other in pens.values()})
        return sizes.index((pen.length_mm, pen.width_mm))

    def _judge(self, facts: GardenFacts, pens: Mapping[int, Pen]) -> Judge:
        def judge(batches: Sequence[BatchSize]) -> Judged:
            runs = tuple(
                run for n, batch in enumerate(batches) for run in self._runs(n, batch, pens)
            )
            whole = replace(facts, runs=(*facts.runs, *runs))
            stays = solved(whole, Effort(rounds=JUDGE_ROUNDS), announced=self.told).stays
            return Judged(
                max(0, days_off_in(stays, self.on) - self.told_off_days),
                sum(stay.nitrogen_g for stay in stays if stay.batch_id < 0 and stay.bed_id),
            )

        return judge

    def _runs(self, number: int, batch: BatchSize, pens: Mapping[int, Pen]) -> list[PenRun]:
        hatch_on = self.on + timedelta(days=batch.hatch_day)
        row = Batch(
            pk=-1 - number,
            garden=self.garden,
            name=_("proposed {n}").format(n=number + 1),
            hatch_on=hatch_on,
            leaves_brooder_on=hatch_on + timedelta(days=self.bird.out_age),
            processing_on=hatch_on + timedelta(days=self.bird.end_age),
        )
        own = [pens[pk] for pk in batch.pens]
        shares = shared_out(batch.chicks, [pen.floor_m2 for pen in own])
        return [
            PenRun(
                batch=row,
                pen=pen,
                birds=birds,
                first_day=row.leaves_brooder_on,
                nitrogen_g=tuple(birds * grams for grams in self.bird.nitrogen_g),
                standing=None,
            )
            for pen, birds in zip(own, shares, strict=True)
            if birds
        ]

    @property
    def _middle_bed(self) -> BedFacts:
        """The garden's middle bed by area, crops included."""
        by_area = sorted(self.facts.beds.values(), key=lambda known: known.bed.area_m2)
        return by_area[len(by_area) // 2]

    def _one_more_bed(self, like: BedFacts) -> Setting:
        """Return the garden with another bed like one it has."""
        bed: Bed = copy(like.bed)
        bed.pk = NEW_PK
        beds = self.facts.beds | {NEW_PK: replace(like, bed=bed)}
        return self._setting(self.limits, beds, self.pens)

    def _one_more_pen(self) -> Setting:
        """Return the garden with another pen like its largest one."""
        pen = copy(max(self.pens.values(), key=lambda pen: (pen.floor_m2, -pen.pk)))
        pen.pk = NEW_PK
        pens = self.pens | {NEW_PK: pen}
        floors = tuple(self._floor(each, pens) for each in pens.values())
        return self._setting(replace(self.limits, pens=floors), self.facts.beds, pens)

    def _floor(self, pen: Pen, pens: Mapping[int, Pen] | None = None) -> PenFloor:
        taken = tuple(
            (self._day(run.first_day), self._day(run.end_day))
            for run in self.facts.runs
            if run.pen.pk == pen.pk
        )
        return PenFloor(pen.pk, pen.floor_m2, self._size(pen, pens or self.pens), taken)

    def _day(self, day: date) -> int:
        return (day - self.on).days
