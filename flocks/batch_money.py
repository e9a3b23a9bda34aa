"""What batches cost, from rows: costs of their own, their part of what all share, feed at its price, hours."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from flocks.feed_shopping import given_over_eaten
from flocks.feed_waste import LIKELY_RATIO
from flocks.models import (
    Arrival,
    Batch,
    Cost,
    FeedHabits,
    FeedProduct,
    Hours,
    HouseRules,
    PackOut,
)
from flocks.money import Account, MoneyLine, shared_out_money, to_cents, written_off
from flocks.readiness import unit_kg
from flocks.stock import rules_of
from garden.models import Garden
from garden.units import FEED_MASS
from garden.words import gettext as _
from garden.words import local_mark, mark

_PART_OF = {
    (False, False): mark("part of {amount}"),
    (True, False): mark("part of {amount} for {what}"),
    (False, True): mark("part of {amount}, season {season} of {seasons}"),
    (True, True): mark("part of {amount} for {what}, season {season} of {seasons}"),
}
"""How a shared cost is told, by whether it says what for and whether it lasts some seasons."""


@dataclass(frozen=True)
class Purse:
    """A garden's batches with their accounts."""

    accounts: dict[int, Account]
    """By the batch's id."""
    not_carried: tuple[MoneyLine, ...]
    """Parts of shared costs whose year has no batch."""
    rules: HouseRules
    feed_price: Decimal | None
    """What a kilogram of feed has cost on average, over all that was bought with a price."""

    def feed_price_per_unit(self, system: str) -> Decimal | None:
        """Return what the garden's own unit of feed has cost, a kilogram or a pound."""
        return None if self.feed_price is None else self.feed_price * unit_kg(system)

    @property
    def total(self) -> Decimal:
        """Return what all batches cost together."""
        return sum((one.total for one in self.accounts.values()), Decimal(0))


def purse_of(garden: Garden, batches: Sequence[Batch], today: date) -> Purse:
    """Return the accounts of a garden's batches, loaded with their records; six queries.

    A batch that has not hatched carries no part of what all share: it may never come.
    """
    own: dict[int, list[MoneyLine]] = defaultdict(list)
    years: dict[int, list[Batch]] = defaultdict(list)
    for batch in sorted(batches, key=lambda one: (one.hatch_on, one.pk)):
        if batch.hatch_on <= today:
            years[batch.hatch_on.year].append(batch)
    for row in Arrival.objects.filter(garden=garden).exclude(price=None):
        own[row.batch_id].append(
            MoneyLine(
                _("Chicks"),
                row.price,
                _("{count} from {source}").format(count=row.count, source=row.source),
            )
        )
    not_carried = _costs(Cost.objects.filter(garden=garden), own, years, today)
    price = _feed_price(garden)
    for batch in batches:
        own[batch.pk] += _feed(batch, price)
    rules = rules_of(garden)
    hours = _hours(Hours.objects.filter(garden=garden))
    for batch in batches:
        if rules.hour_rate and hours[batch.pk]:
            amount = to_cents(hours[batch.pk] * rules.hour_rate)
            how = _("{hours} h at {rate}").format(
                hours=local_mark(f"{hours[batch.pk].normalize():f}"),
                rate=local_mark(str(rules.hour_rate)),
            )
            own[batch.pk].append(MoneyLine(_("Work"), amount, how))
    sold = _sold(garden)
    habits = FeedHabits.objects.filter(garden=garden).first()
    worth = habits.meat_price_per_kg if habits else None
    accounts = {
        one.pk: _account(one, own[one.pk], sold[one.pk], hours[one.pk], worth, _wasted(one, price))
        for one in batches
    }
    return Purse(
        accounts={pk: replace(one, currency=rules.currency) for pk, one in accounts.items()},
        not_carried=tuple(not_carried),
        rules=rules,
        feed_price=price,
    )


def _account(
    batch: Batch,
    lines: list[MoneyLine],
    sold: Decimal,
    hours: Decimal,
    worth: Decimal | None,
    wasted: Decimal | None,
) -> Account:
    done = list(batch.processing_set.all())
    dressed = (
        sum(row.dressed_kg for row in done) if done and all(r.dressed_kg for r in done) else None
    )
    return Account(
        lines=tuple(lines),
        sold=sold,
        birds=sum(row.count - row.condemned for row in done),
        dressed_kg=dressed,
        hours=hours,
        worth_per_kg=worth,
        unit_kg=unit_kg(batch.garden.unit_system),
        wasted=wasted,
    )


def _costs(
    costs: Iterable[Cost],
    own: dict[int, list[MoneyLine]],
    years: dict[int, list[Batch]],
    today: date,
) -> Iterable[MoneyLine]:
    """Put each cost on its batch, or share each season's part out by chicks; yield what nobody carries."""
    left = []
    for row in costs:
        name = row.get_kind_display()
        if row.batch_id:
            own[row.batch_id].append(MoneyLine(name, row.amount, row.what))
            continue
        for number, part in enumerate(written_off(row.amount, row.seasons)):
            year = row.on.year + number
            if year > today.year or not part:
                continue
            carriers = years.get(year, [])
            whole = {
                "amount": local_mark(str(row.amount)),
                "what": row.what,
                "season": number + 1,
                "seasons": row.seasons,
            }
            how = _(_PART_OF[bool(row.what), row.seasons > 1]).format(**whole)
            if not carriers:
                left.append(MoneyLine(name, part, _not_carried(year, whole)))
                continue
            shares = shared_out_money(part, [batch.chicks for batch in carriers])
            for batch, share in zip(carriers, shares, strict=True):
                own[batch.pk].append(MoneyLine(name, share, how))
    return left


def _not_carried(year: int, whole: dict[str, object]) -> str:
    if whole["seasons"] == 1:
        return _("{year}: no batch hatched in that year yet").format(year=year)
    return _("{year}, season {season} of {seasons}: no batch hatched in that year yet").format(
        year=year, **whole
    )


def _feed_price(garden: Garden) -> Decimal | None:
    """Return what a kilogram of feed has cost on average; the cheapest of the list where nothing was bought."""
    feeds = FeedProduct.objects.filter(garden=garden).prefetch_related("feedpurchase_set")
    paid, mass_kg, on_list = Decimal(0), Decimal(0), []
    for feed in feeds:
        bag_kg = Decimal(f"{feed.bag_kg:.4f}")
        if feed.price is not None:
            on_list.append(feed.price / bag_kg)
        for row in feed.feedpurchase_set.all():
            if row.price is not None:
                paid += row.price * row.bags
                mass_kg += bag_kg * row.bags
    return paid / mass_kg if mass_kg else min(on_list, default=None)


def _feed(batch: Batch, price: Decimal | None) -> list[MoneyLine]:
    given_kg = sum(row.mass_kg for row in batch.feedrecord_set.all())
    if price is None or not given_kg:
        return []
    system = batch.garden.unit_system
    how = (
        _("{mass} given, at {price} a pound")
        if system == "us"
        else _("{mass} given, at {price} a kilogram")
    ).format(
        mass=FEED_MASS.show(given_kg, system),
        price=local_mark(str(to_cents(price * unit_kg(system)))),
    )
    return [MoneyLine(_("Feed"), to_cents(Decimal(f"{given_kg:.3f}") * price), how)]


def _wasted(batch: Batch, price: Decimal | None) -> Decimal | None:
    """Return what the feed given above what such birds eat has cost; only of
    whole records of a finished batch."""
    ratio = given_over_eaten(batch) if batch.finished_on and price is not None else None
    if ratio is None or not 1.0 < ratio <= LIKELY_RATIO[1]:
        return None
    given_kg = sum(row.mass_kg for row in batch.feedrecord_set.all())
    return to_cents(Decimal(f"{given_kg * (1 - 1 / ratio):.3f}") * price)


def _hours(rows: Iterable[Hours]) -> dict[int, Decimal]:
    found: dict[int, Decimal] = defaultdict(Decimal)
    for row in rows:
        found[row.batch_id] += row.hours
    return found


def _sold(garden: Garden) -> dict[int, Decimal]:
    found: dict[int, Decimal] = defaultdict(Decimal)
    sold = PackOut.objects.filter(pack__garden=garden).exclude(price=None)
    for batch_id, price in sold.values_list("pack__batch_id", "price"):
        found[batch_id] += price
    return found


def summed(lines: Iterable[MoneyLine]) -> list[MoneyLine]:
    """Put the lines of one name together, the largest first; how they come about is told one by one."""
    amounts: dict[str, Decimal] = defaultdict(Decimal)
    told: dict[str, list[str]] = defaultdict(list)
    for line in lines:
        amounts[line.what] += line.amount
        told[line.what] += [f"{local_mark(str(line.amount))} {line.how}".strip()]
    rows = [MoneyLine(what, amount, "; ".join(told[what])) for what, amount in amounts.items()]
    return sorted(rows, key=lambda line: -line.amount)
