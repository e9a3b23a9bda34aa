"""What the brooder page of a batch shows: warmth by day of age, room, and when the birds may go out."""

from dataclasses import dataclass
from datetime import date, timedelta

from flocks.brooding import (
    ACCLIMATION_DAYS,
    BROODER_WEEKS,
    ORDER_DAYS,
    BrooderWeek,
    LeavingAdvice,
    brooder_needs,
    first_mild_age,
    lamp_kwh,
    lamps,
    leaving_advice,
    room_c,
    safe_night_low_c,
)
from flocks.headcount import birds_alive
from flocks.models import Batch
from garden.weather import weather_of

DAYS_SHOWN = 43
"""Ages for which nights are looked at: six weeks and the night after [day]. A choice."""


@dataclass(frozen=True)
class WarmDay:
    """One day of age."""

    age: int
    on: date
    low_c: float
    high_c: float
    room_c: float
    is_today: bool


@dataclass(frozen=True)
class Room:
    """What all chicks need from an age on."""

    from_day: int
    on: date
    floor_m2: float
    feeder_mm: float
    drinker_mm: float
    is_now: bool


@dataclass(frozen=True)
class Leaving:
    """Whether the birds may go out on the day they are to."""

    on: date
    age: int
    needed_c: float | None
    expected_c: float | None
    is_usual: bool
    """Whether a night is the month's usual one, not entered for the day."""
    advice: LeavingAdvice | None
    mild_on: date | None
    """First day from which the nights are mild enough, as far as they are known."""

    @property
    def is_later(self) -> bool:
        """Whether the nights are mild enough only after the day they are to leave."""
        return self.mild_on is not None and self.mild_on > self.on


class Brooder:
    """A batch's weeks before it goes out."""

    def __init__(self, batch: Batch, on: date) -> None:
        self.batch, self.on = batch, on
        self.age = batch.age_days(on)
        self.chicks = birds_alive(batch, on) if self.age >= 0 else batch.chicks
        self.days = (batch.leaves_brooder_on - batch.hatch_on).days
        self.order_by = batch.hatch_on - timedelta(days=ORDER_DAYS)

    @property
    def now(self) -> BrooderWeek:
        """What a chick needs today; before it hatches, what it needs on its first day."""
        return brooder_needs(max(0, self.age))

    @property
    def lamps(self) -> int:
        """Lamps of 250 W."""
        return lamps(self.chicks)

    @property
    def lamp_kwh(self) -> float:
        """The most that they use [kWh]."""
        return lamp_kwh(self.chicks, self.days)

    def warm_days(self) -> list[WarmDay]:
        """Return every day of age up to the day they leave."""
        return [
            WarmDay(
                age=age,
                on=self.batch.hatch_on + timedelta(days=age),
                low_c=brooder_needs(age).low_c,
                high_c=brooder_needs(age).high_c,
                room_c=room_c(age),
                is_today=age == self.age,
            )
            for age in range(self.days + 1)
        ]

    def rooms(self) -> list[Room]:
        """Return floor, feeders and drinkers for all chicks, by age."""
        return [
            Room(
                from_day=row.from_day,
                on=self.batch.hatch_on + timedelta(days=row.from_day),
                floor_m2=self.chicks * row.floor_m2,
                feeder_mm=self.chicks * row.feeder_mm,
                drinker_mm=self.chicks * row.drinker_mm,
                is_now=row == self.now,
            )
            for row in BROODER_WEEKS
            if row.from_day <= max(self.days, self.age)
        ]

    def leaving(self) -> Leaving:
        """Return whether the nights let them out on the day they are to leave; two queries."""
        days = max(DAYS_SHOWN, self.days + ACCLIMATION_DAYS)
        nights = weather_of(self.batch.garden, self.batch.hatch_on, days)
        ahead = nights[self.days : self.days + ACCLIMATION_DAYS]
        known = [night.low_c for night in ahead if night.low_c is not None]
        age = first_mild_age([night.low_c for night in nights])
        expected_c = min(known) if len(known) == len(ahead) and known else None
        return Leaving(
            on=self.batch.leaves_brooder_on,
            age=self.days,
            needed_c=safe_night_low_c(self.days),
            expected_c=expected_c,
            is_usual=any(night.is_usual for night in ahead),
            advice=None if expected_c is None else leaving_advice(self.days, expected_c),
            mild_on=None if age is None else self.batch.hatch_on + timedelta(days=age),
        )
