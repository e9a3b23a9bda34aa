"""A bed's ledger from the rows: what came with birds, compost and legumes, what harvests took, a soil test."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from flocks.excretion_methods import excretion_of
from flocks.forecasting import diet_of
from flocks.models import Batch
from garden.bed_lines import BedLine, bed_lines
from garden.crop_figures import CropFigures, figures_of
from garden.crop_text import yield_words
from garden.ledger import EntryKind, LedgerEntry, LedgerLine, ledger
from garden.models import Bed, Garden, Planting
from garden.npk import Npk, NpkBand
from garden.nutrients import YEAR_DAYS
from garden.soil_tests import opening
from garden.units import BED_LENGTH, FEED_MASS, System
from garden.words import gettext as _
from garden.words import ngettext
from rotation.bed_records import planned_stays
from rotation.dropped import StayDropped, stay_dropped
from rotation.models import PlannedStay, Stay
from rotation.stays_dropped import batches_of

YEARS_BACK = 3
"""Years before the one shown that a ledger reaches back: as long as droppings still feed a crop."""
SPREAD_DOUBT = {"compost": 0.25, "manure": 0.30, "fertiliser": 0.05}
HARVEST_DOUBT, USUAL_HARVEST_DOUBT, LEGUME_DOUBT = 0.20, 0.50, 0.50
"""How far such masses may lie off either side [1]: content of what was weighed, a harvest nobody weighed, what
a legume leaves. Our choices: tables of foods and of compost differ by about as much from one another."""
SPREAD_KINDS = {
    "compost": EntryKind.COMPOST,
    "manure": EntryKind.MANURE,
    "fertiliser": EntryKind.FERTILISER,
}


@dataclass(frozen=True)
class BedLedger:
    """A bed's entries up to the end of the year shown, oldest first, and the soil test they start from."""

    bed: Bed
    garden: Garden
    on: date
    first_day: date
    end_day: date
    entries: tuple[LedgerEntry, ...]
    tests: tuple[BedLine, ...]
    """All soil tests known, oldest first."""
    counted_from: date
    """Since when entries are counted."""

    @property
    def kept_share(self) -> float:
        """Share of nitrogen dropped that stays in the bed."""
        return self.garden.nitrogen_rules().kept_share

    @cached_property
    def lines(self) -> tuple[LedgerLine, ...]:
        """Every line with the balance after it."""
        return ledger(self.entries, kept_share=self.kept_share)

    @property
    def shown(self) -> list[LedgerLine]:
        """The lines of the year shown."""
        return [line for line in self.lines if line.entry.day >= self.first_day]

    @property
    def brought_forward(self) -> NpkBand | None:
        """The balance on the eve of the year shown; None where nothing came before."""
        before = [line for line in self.lines if line.entry.day < self.first_day]
        return before[-1].balance if before else None


def bed_ledger(garden: Garden, bed: Bed, on: date, year: int) -> BedLedger:
    """Read a bed's ledger for a calendar year with the three years before it: seven queries.

    Parameters
    ----------
    bed : Bed
        With its plantings and their crops loaded, or two queries more.
    on : date
        Today: what happened before it, what is planned from it on.
    """
    first_day, end_day = date(year, 1, 1), date(year + 1, 1, 1)
    lines = bed_lines(bed, min(on, end_day - timedelta(days=1)))
    since = first_day - timedelta(days=YEARS_BACK * YEAR_DAYS)
    base = _base(lines, first_day)
    counted_from = max(since, base.on) if base else since
    stays = Stay.objects.of(garden).filter(bed=bed).touching(counted_from).begun(on)
    birds = [*stays.select_related("pen", "batch")]
    if end_day > on:
        birds += [stay for stay in planned_stays(garden, on) if stay.bed_id == bed.pk]
    entries = [
        *([_opening(base, bed, garden.unit_system)] if base else []),
        *_droppings(birds, garden, on, end_day),
        *_entered(lines, bed, garden.unit_system),
        *_of_plantings(bed, lines, on, garden.unit_system),
    ]
    kept = [entry for entry in entries if counted_from <= entry.day < end_day]
    return BedLedger(
        bed=bed,
        garden=garden,
        on=on,
        first_day=first_day,
        end_day=end_day,
        entries=tuple(sorted(kept, key=lambda entry: entry.day)),
        tests=tuple(line for line in lines if line.kind == "soiltest"),
        counted_from=counted_from,
    )


def _base(lines: Iterable[BedLine], first_day: date) -> BedLine | None:
    """Return the soil test a ledger starts from: the last before the year shown, or else its first."""
    tests = [line for line in lines if line.kind == "soiltest"]
    before = [test for test in tests if test.on <= first_day]
    return before[-1] if before else next(iter(tests), None)


def _opening(test: BedLine, bed: Bed, system: System) -> LedgerEntry:
    found = opening(test.first, test.second, test.third, area_m2=bed.area_m2, depth_mm=test.amount)
    return LedgerEntry(
        test.on,
        EntryKind.OPENING,
        _("What the soil test found"),
        NpkBand.exactly(found),
        source=_("the soil test, to a depth of {depth}").format(
            depth=BED_LENGTH.show(test.amount, system)
        ),
        key=("soil_test_edit", test.pk),
    )


def _droppings(
    stays: Sequence[Stay | PlannedStay], garden: Garden, on: date, end_day: date
) -> Iterator[LedgerEntry]:
    batches, forecasts = batches_of(stays, garden, on)
    daily = {
        pk: excretion_of(forecasts[pk], diet_of(batch.strain)) for pk, batch in batches.items()
    }
    for stay in stays:
        is_planned = isinstance(stay, PlannedStay)
        first_day = max(stay.first_day, on) if is_planned else stay.first_day
        last = stay.end_day if is_planned else min(stay.end_day or on, on)
        batch = batches[stay.batch_id]
        told = forecasts[batch.pk], daily[batch.pk]
        dropped = stay_dropped(batch, stay.pen_id, *told, first_day, min(last, end_day))
        if dropped is not None:
            yield _dropped_entry(stay, batch, dropped, is_planned)


def _dropped_entry(
    stay: Stay | PlannedStay, batch: Batch, dropped: StayDropped, is_planned: bool
) -> LedgerEntry:
    return LedgerEntry(
        dropped.last_day,
        EntryKind.DROPPINGS,
        f"{batch.name}, {stay.pen.name}",
        dropped.mass,
        first_day=dropped.first_day,
        by_day=dropped.by_day,
        is_planned=is_planned,
        source=_how_known(batch, dropped),
        key=("droppings", batch.pk),
    )


def _how_known(batch: Batch, dropped: StayDropped) -> str:
    weighed, days = len(batch.weighing_set.all()), len(dropped.birds)
    weighings = ngettext("{n} weighing", "{n} weighings", weighed).format(n=weighed)
    return ngettext(
        "{birds} for {n} day, fed by age: mass balance from {known}",
        "{birds} for {n} days, fed by age: mass balance from {known}",
        days,
    ).format(
        birds=dropped.birds_told,
        n=days,
        known=weighings if weighed else _("the strain’s own growth"),
    )


def _entered(lines: Iterable[BedLine], bed: Bed, system: System) -> Iterator[LedgerEntry]:
    crops = {planting.crop_id: planting.crop for planting in bed.plantings.all()}
    for line in lines:
        if line.kind == "spread":
            yield _spread_entry(line, system)
        elif line.kind == "heapinput":
            mass = NpkBand.exactly(Npk(line.first, line.second, line.third))
            source = _("what lay there, less what had gone into the air")
            what, key = _("To {heap}").format(heap=line.name), ("heap", line.of)
            yield LedgerEntry(line.on, EntryKind.LIFTED, what, mass, source=source, key=key)
        elif line.kind == "harvestweight":
            figures = figures_of(crops[line.of]) if line.of in crops else None
            yield _harvest_entry(line, figures, system)


def _spread_entry(line: BedLine, system: System) -> LedgerEntry:
    grams = Npk(line.first, line.second, line.third)
    from_heap = line.of is not None
    source = (
        _("{amount}, by the heap’s own log")
        if from_heap
        else _("{amount}, by the figures typed in with it")
    )
    return LedgerEntry(
        line.on,
        SPREAD_KINDS[line.sort],
        line.name or _(line.sort.capitalize()),
        NpkBand.within(grams, SPREAD_DOUBT[line.sort]),
        source=source.format(amount=FEED_MASS.show(line.amount, system)),
        key=("heap", line.of) if from_heap else ("spread_edit", line.pk),
    )


def _harvest_entry(line: BedLine, figures: CropFigures | None, system: System) -> LedgerEntry:
    content = figures.content if figures else Npk()
    said = figures.content_source if figures else _("no figures for this crop")
    return LedgerEntry(
        line.on,
        EntryKind.HARVEST,
        line.name,
        NpkBand.within(content * line.amount, HARVEST_DOUBT),
        source=_("{amount} picked; {source}").format(
            amount=FEED_MASS.show(line.amount, system), source=said
        ),
        key=("harvest_edit", line.pk),
    )


def _of_plantings(
    bed: Bed, lines: Iterable[BedLine], on: date, system: System
) -> Iterator[LedgerEntry]:
    """Yield what legumes leave, and the usual harvest of crops whose picking nobody weighed."""
    weighed = [line for line in lines if line.kind == "harvestweight"]
    plantings = list(bed.plantings.all())
    for planting in plantings:
        figures = figures_of(planting.crop)
        area_m2 = bed.area_m2 / (1 + _neighbours(planting, plantings))
        day = planting.ends_on - timedelta(days=1)
        is_planned = planting.ends_on > on
        about = {"is_planned": is_planned, "key": ("planting_edit", planting.pk)}
        if not any(_is_of(line, planting) for line in weighed):
            taken = figures.content * (figures.yield_kg_m2 * area_m2)
            usual = yield_words(figures.yield_kg_m2, system)
            source = _("a usual harvest, {usual}, for none was weighed").format(usual=usual)
            mass = NpkBand.within(taken, USUAL_HARVEST_DOUBT)
            yield LedgerEntry(
                day, EntryKind.HARVEST, planting.crop.name, mass, source=source, **about
            )
        if figures.fixed_kg_ha:
            mass = NpkBand.within(Npk(figures.fixed_kg_ha / 10 * area_m2), LEGUME_DOUBT)
            source = _("roots and tops left in the bed: {source}").format(
                source=figures.fixed_source
            )
            yield LedgerEntry(
                day, EntryKind.LEGUME, planting.crop.name, mass, source=source, **about
            )


def _is_of(line: BedLine, planting: Planting) -> bool:
    if line.planting is not None:
        return line.planting == planting.pk
    return line.of == planting.crop_id and planting.starts_on <= line.on < planting.ends_on


def _neighbours(planting: Planting, others: Iterable[Planting]) -> int:
    """Return how many other crops stand in the bed at its first harvest; they share the ground."""
    on = planting.first_harvest_on
    return sum(
        other.pk != planting.pk and other.starts_on <= on < other.ends_on for other in others
    )
