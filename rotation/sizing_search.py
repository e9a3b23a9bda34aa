"""Finding the batches of a season: a quick walk over the beds proposes, the planner judges.

PURE. The planner takes from a tenth of a second to seconds, so it is asked about the few proposals that a walk
(`rotation.sizing_walk`) found good; what it says is what is told, and sizes grow or shrink by its word.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace

from garden.words import gettext as _
from garden.words import mark
from rotation.sizing import (
    NOTHING,
    BatchSize,
    Bird,
    Judged,
    Loosened,
    Offer,
    Sized,
    most_chicks,
    offer_of,
    trimmed,
)
from rotation.sizing_choices import by_floor_alone, pen_choices, undominated
from rotation.sizing_clock import Stopwatch
from rotation.sizing_dates import back_to_back, hatch_days, least_gap, moved
from rotation.sizing_drafts import Drafts, Judge, Setting

__all__ = ["Asked", "Judge", "Setting", "Tell", "size_season"]

FRONTIER_SHARES = (0.03, 0.08, 0.2, 1.0)
"""Shares of a batch's pen-days off the beds for which the frontier is looked for. A choice."""
MOST_TRIES, LIMIT_TRIES = 5, 2
"""Sizes of one proposal that the planner is asked about at most, and where a limit is loosened. A choice."""
GROWTH, LEAST_SHRINK = 1.15, 0.4
"""By how much a proposal is made larger at a time, and to which share it is made smaller at most. A choice."""
STAGES = {
    mark("Trying hatch days"): 0.20,
    mark("Planning"): 0.35,
    mark("Trying a bird more here and there, and other days"): 0.35,
    mark("Trying many more birds"): 0.40,
    mark("Trying one more of each limit"): 1.0,
}
"""What goes on, and its share of the time that is then left. A choice."""
DRAFTS, PROPOSALS, POLISH, FRONTIER, LIMITS = STAGES

Tell = Callable[[float, str], bool]
"""Told the share done and what goes on; True ends the search."""


@dataclass(frozen=True)
class Asked:
    """What the search is for."""

    bird: Bird
    setting: Setting
    looser: Mapping[str, Callable[[], Setting]]
    seconds: float
    off_days_a_batch: int = 0
    """Off-bed days of a batch that are put up with [day]."""
    watch: Stopwatch | None = None
    """Counts the time; one of its own where none is given."""


def size_season(asked: Asked, tell: Tell = lambda share, words: False) -> Sized:
    """Return the best batches found, what else there is, and what each limit costs.

    Ends within `asked.seconds` of work and one more answer of the planner for each stage that is left.
    """
    return _Search(asked, tell).run()


class _Search:
    """One search and its clock."""

    def __init__(self, asked: Asked, tell: Tell) -> None:
        self.asked, self.bird = asked, asked.bird
        self._tell = tell
        self._watch = asked.watch or Stopwatch(asked.seconds)
        self._stage = DRAFTS
        self._ended = False
        self._judged = 0
        self._known: dict[tuple[Judge, tuple[BatchSize, ...]], Judged] = {}
        self._drafts = Drafts(self.bird, asked.off_days_a_batch, self._go_on)

    def run(self) -> Sized:
        """Search stage by stage, each with a share of the time that is left."""
        with self._in(DRAFTS):
            drafts = self._all_drafts()
        with self._in(PROPOSALS):
            others = self._proposals(drafts)
        best = max(others, key=self._merit, default=None)
        if best:
            with self._in(POLISH):
                polished = self._polished(best)
            others = [polished if offer is best else offer for offer in others]
            best = polished
        with self._in(FRONTIER):
            frontier = self._frontier(best, others)
        with self._in(LIMITS):
            loosened, untried = self._loosened(best)
        limits = self.asked.setting.limits
        return Sized(
            best=best,
            others=tuple(others),
            frontier=tuple(frontier),
            loosened=tuple(loosened),
            untried=tuple(untried),
            judged=self._judged,
            wanted_kg=limits.wanted_kg,
            coming_kg=sum(kg for _, kg in limits.coming_kg),
            room_g=self.asked.setting.walk.room_g,
        )

    @contextmanager
    def _in(self, stage: str) -> Iterator[None]:
        self._stage = stage
        with self._watch.part(STAGES[stage]):
            yield

    def _merit(self, offer: Offer) -> tuple[float, float, float]:
        """Most meat first, of about the same the fewest off-bed days, then fewest batches."""
        wanted = self.asked.setting.limits.wanted_kg
        meat = offer.meat_kg if wanted is None else min(offer.meat_kg, wanted)
        return round(meat, 1), -offer.off_bed_days, -len(offer.batches)

    def _go_on(self) -> bool:
        said = _("{stage}; {n} planned so far").format(stage=_(self._stage), n=self._judged)
        with self._watch.paused():
            self._ended = self._ended or self._tell(min(self._watch.used, 1.0), said)
        return not self._ended and self._watch.has_time

    def _judge(self, setting: Setting, batches: Sequence[BatchSize]) -> Judged:
        key = setting.judge, tuple(sorted(batches))
        if key not in self._known:
            self._known[key] = setting.judge(batches) if batches else NOTHING
            self._judged += 1
        return self._known[key]

    def _all_drafts(self) -> list[list[BatchSize]]:
        """Return what to plan, the most promising first, whatever time is left for the others."""
        setting = self.asked.setting
        drafts = self._drafts.drafts(setting)
        drafts.sort(key=lambda batches: -sum(batch.chicks for batch in batches))
        rule = by_floor_alone(self.bird, setting.limits)
        return [rule, *drafts] if self._fitted(setting, rule, 1).batches else drafts

    def _proposals(self, drafts: Sequence[list[BatchSize]]) -> list[Offer]:
        setting, offers = self.asked.setting, {}
        for draft in drafts:
            if offers and not self._go_on():
                break
            offer = self._fitted(setting, draft)
            held = offers.get(len(offer.batches))
            if offer.batches and (held is None or self._merit(offer) > self._merit(held)):
                offers[len(offer.batches)] = offer
        return [offers[count] for count in sorted(offers)]

    def _fitted(
        self, setting: Setting, batches: Sequence[BatchSize], tries: int = MOST_TRIES
    ) -> Offer:
        """Return batches sized by the planner's word: grown while it finds ground, shrunk while it does not."""
        allowed = self.asked.off_days_a_batch * len(batches)
        low, high = 0.0, self._largest(setting, batches)
        pen_days = sum(len(batch.pens) for batch in batches) * len(self.bird.nitrogen_g)
        share, best = 1.0, None
        for _try in range(tries):
            sized = trimmed(self._scaled(setting, batches, share), self.bird, setting.limits)
            judged = self._judge(setting, sized)
            off = judged.off_bed_days
            if off <= allowed:
                low, best = share, offer_of(sized, self.bird, judged)
                full = trimmed(self._scaled(setting, batches, high), self.bird, setting.limits)
                if full == sized:
                    break
            else:
                high = share
            if low:
                share = min((low + high) / 2, GROWTH * low)
            else:
                share *= max(LEAST_SHRINK, 0.9 - 1.5 * (off - allowed) / max(pen_days, 1))
            if not self._go_on() and best:
                break
        return best or offer_of([], self.bird, NOTHING)

    def _polished(self, offer: Offer) -> Offer:
        """Return the offer with single chicks more wherever the planner finds ground for them."""
        allowed = max(offer.off_bed_days, self.asked.off_days_a_batch * len(offer.batches))
        open_at = list(range(len(offer.batches)))
        while open_at:
            at = open_at.pop(0)
            larger = self._larger(offer, at, offer.batches[at].hatch_day, allowed)
            if larger is None and not open_at:
                at, larger = self._larger_on_other_days(offer, allowed)
            if larger:
                offer = larger
                open_at.append(at)
        return offer

    def _larger(self, offer: Offer, at: int, hatch_day: int, allowed: int) -> Offer | None:
        """Return the offer with one batch a chick larger, on a day; None where there is no ground for it."""
        if not self._go_on():
            return None
        batch = offer.batches[at]
        more = replace(batch, hatch_day=hatch_day, chicks=batch.chicks + 1)
        batches = [*offer.batches[:at], more, *offer.batches[at + 1 :]]
        setting = self.asked.setting
        sized = trimmed(self._scaled(setting, batches, 1.0), self.bird, setting.limits)
        if sum(each.chicks for each in sized) <= offer.chicks:
            return None
        judged = self._judge(setting, sized)
        return offer_of(sized, self.bird, judged) if judged.off_bed_days <= allowed else None

    def _larger_on_other_days(self, offer: Offer, allowed: int) -> tuple[int, Offer | None]:
        """Return the first batch that may be a chick larger on a day nearby, and the offer with it."""
        limits, chosen = self.asked.setting.limits, [each.hatch_day for each in offer.batches]
        pens = [pen for pen in limits.pens if pen.pk in offer.batches[0].pens]
        for days in moved(chosen, hatch_days(pens, self.bird, limits), least_gap(self.bird)):
            at = next(n for n, day in enumerate(days) if day != chosen[n])
            larger = self._larger(offer, at, days[at], allowed)
            if larger or not self._go_on():
                return at, larger
        return 0, None

    def _largest(self, setting: Setting, batches: Sequence[BatchSize]) -> float:
        caps = self._scaled(setting, batches, 1e9)
        pairs = zip(caps, batches, strict=True)
        return max([1.0, *(cap.chicks / batch.chicks for cap, batch in pairs)])

    def _scaled(
        self, setting: Setting, batches: Sequence[BatchSize], share: float
    ) -> list[BatchSize]:
        pens = {pen.pk: pen for pen in setting.limits.pens}
        scaled = []
        for batch in batches:
            own = [pens[pk] for pk in batch.pens]
            most = most_chicks(batch.hatch_day, own, self.bird, setting.limits)
            scaled.append(replace(batch, chicks=int(min(most, batch.chicks * share + 0.5))))
        return scaled

    def _frontier(self, best: Offer | None, others: Sequence[Offer]) -> list[Offer]:
        """Return what more off-bed days would bring, the year's wish left aside."""
        setting = self.asked.setting
        open_end = replace(setting, limits=replace(setting.limits, wanted_kg=None))
        pens = pen_choices(setting.limits.pens)[0]
        days = back_to_back(hatch_days(pens, self.bird, setting.limits), self.bird)
        if best:
            pens = [pen for pen in pens if pen.pk in best.batches[0].pens]
            days = [batch.hatch_day for batch in best.batches]
        drafts = [by_floor_alone(self.bird, open_end.limits)]
        if best is None:
            first, *rest = self._wished(drafts[0])
            drafts = [first, *drafts, *rest]
        for share in FRONTIER_SHARES:
            drafts.append(self._drafts.filled(open_end, days, pens, share))
        found = list(others)
        for number, draft in enumerate(drafts):
            if not self._go_on() and (number or self._ended):
                break
            sized = trimmed(draft, self.bird, open_end.limits)
            found.append(offer_of(sized, self.bird, self._judge(open_end, sized)))
        return undominated(found)

    def _wished(self, rule: list[BatchSize]) -> list[list[BatchSize]]:
        """Return no more than was wanted: in one batch on each day of the rule, and in two and three."""
        few = [*([batch] for batch in rule), rule[:2], rule[:3]]
        return [trimmed(batches, self.bird, self.asked.setting.limits) for batches in few]

    def _loosened(self, best: Offer | None) -> tuple[list[Loosened], list[str]]:
        """Return what each limit's next unit brings, and the limits for which no time was left.

        Nothing where the wish itself is met.
        """
        wanted, meat = self.asked.setting.limits.wanted_kg, best.meat_kg if best else 0.0
        if wanted is not None and meat >= wanted - 1e-6:
            return [], []
        found, keys = [], list(self.asked.looser)
        while keys and not self._ended:
            with self._watch.part(1 / len(keys)):
                if not self._go_on() and (found or self._ended):
                    break
                offer = self._with(self.asked.looser[keys[0]](), best)
            more_kg = max(0.0, offer.meat_kg - meat)
            found.append(Loosened(keys.pop(0), more_kg, offer.off_bed_days))
        return sorted(found, key=lambda each: -each.more_kg), keys

    def _with(self, setting: Setting, best: Offer | None) -> Offer:
        """Return the best of the same hatch days and of new ones in a loosened garden."""
        drafts = [list(best.batches)] if best else []
        count = len(best.batches) if best else 1
        for pens in pen_choices(setting.limits.pens)[:1]:
            for number in (count, count + 1):
                dates = self._drafts.dates(setting, pens, number)
                drafts.append(self._drafts.filled(setting, dates, pens))
        drafts.sort(key=lambda batches: -sum(batch.chicks for batch in batches))
        offers = [self._fitted(setting, draft, LIMIT_TRIES) for draft in drafts[:2] if draft]
        return max(offers, key=self._merit, default=offer_of([], self.bird, NOTHING))
