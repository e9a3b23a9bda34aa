"""The JSON form of a forecast: ``growth-forecast/1`` in, ``growth-forecast-result/1`` out.

PURE. Reading refuses what no flock can be, naming the field; writing rounds to what a scale can
tell.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    Field,
    ValidatorFunctionWrapHandler,
    WrapValidator,
    field_validator,
    model_validator,
)

from flocks.feed import DietPhase
from flocks.growth import Band, Forecast, forecast
from flocks.strains import Spread, Strain, built_in_strains
from flocks.weighings import GREATEST_WEIGHT_G, LEAST_WEIGHT_G, FeedRecord, Weighing
from garden.documents import Document, read_document


def _weighable(weight_g: float) -> float:
    if not LEAST_WEIGHT_G <= weight_g <= GREATEST_WEIGHT_G:
        raise ValueError(
            "expected the weight of a chicken in grams, "
            f"{LEAST_WEIGHT_G:g} to {GREATEST_WEIGHT_G:g}, got {weight_g:g}"
        )
    return weight_g


Age = Annotated[float, Field(ge=0, le=150)]
WeightG = Annotated[float, AfterValidator(_weighable)]
FeedPoint = Annotated[
    list[Annotated[float, Field(ge=0, le=200_000)]], Field(min_length=2, max_length=2)
]


class SpreadPart(Document):
    """A median with its coefficient of variation between flocks."""

    median: float = Field(gt=0, le=30_000)
    cv: float = Field(gt=0, le=1)


class StrainPart(Document):
    """A strain of one's own."""

    hatch_g: float = Field(ge=10, le=100)
    mature_g: SpreadPart
    rate_per_day: SpreadPart
    inflection_day: SpreadPart
    bird_cv: float = Field(gt=0, le=0.6)
    feed_at_weight: list[FeedPoint] = Field(min_length=2, max_length=200)

    @field_validator("mature_g")
    @classmethod
    def _mature_beyond_chick(cls, mature_g: SpreadPart) -> SpreadPart:
        if mature_g.median < 200:
            raise ValueError("expected a median of at least 200 g")
        return mature_g

    @field_validator("rate_per_day")
    @classmethod
    def _rate_of_a_bird(cls, rate: SpreadPart) -> SpreadPart:
        if not 0.002 <= rate.median <= 0.3:
            raise ValueError("expected a median between 0.002 and 0.3 per day")
        return rate

    @field_validator("inflection_day")
    @classmethod
    def _inflection_of_a_bird(cls, inflection: SpreadPart) -> SpreadPart:
        if not 5 <= inflection.median <= 200:
            raise ValueError("expected a median between 5 and 200 days")
        return inflection

    @field_validator("feed_at_weight")
    @classmethod
    def _feed_rises(cls, points: list[list[float]]) -> list[list[float]]:
        for index, (earlier, later) in enumerate(pairwise(points), start=1):
            if later[0] <= earlier[0] or later[1] <= earlier[1]:
                raise ValueError(
                    f"expected weight and feed to rise from row to row, row {index} does not"
                )
        return points

    def as_strain(self) -> Strain:
        """Return the strain as the engine wants it."""
        return Strain(
            hatch_g=self.hatch_g,
            mature_g=Spread(self.mature_g.median, self.mature_g.cv),
            rate_per_day=Spread(self.rate_per_day.median, self.rate_per_day.cv),
            inflection_day=Spread(self.inflection_day.median, self.inflection_day.cv),
            bird_cv=self.bird_cv,
            feed_at_weight=tuple((weight, feed) for weight, feed in self.feed_at_weight),
        )


def _strain(given: Any, read_own: ValidatorFunctionWrapHandler) -> Strain:
    """Return the built-in strain of that name, or the strain of one's own written out."""
    if not isinstance(given, str):
        return read_own(given).as_strain()
    if given not in built_in_strains():
        raise ValueError(f"expected an object or one of {', '.join(built_in_strains())}")
    return built_in_strains()[given]


class DietPart(Document):
    """A feed and the first age it is given at."""

    from_day: Age
    crude_protein: float = Field(ge=0.05, le=0.5)


class WeighingPart(Document):
    """A weighing: either ``count`` and ``mean_g``, or ``weights_g``."""

    age_days: Age
    count: int | None = Field(default=None, ge=1, le=100_000)
    mean_g: WeightG | None = None
    weights_g: list[WeightG] | None = Field(default=None, min_length=1, max_length=1000)

    @model_validator(mode="after")
    def _one_form(self) -> WeighingPart:
        summed = self.count is not None and self.mean_g is not None
        neither_part = self.count is None and self.mean_g is None
        if self.weights_g is None and not summed:
            raise ValueError("expected count and mean_g together, or weights_g")
        if self.weights_g is not None and not neither_part:
            raise ValueError("expected either count and mean_g or weights_g, not both")
        return self

    def as_weighing(self) -> Weighing:
        """Return the weighing as the engine wants it."""
        if self.weights_g is not None:
            return Weighing.of_birds(self.age_days, self.weights_g)
        return Weighing(self.age_days, self.mean_g, self.count)


class FeedRecordPart(Document):
    """Feed eaten by a bird between two ages."""

    from_day: Age
    to_day: Age
    feed_per_bird_g: float = Field(gt=0, le=100_000)

    @model_validator(mode="after")
    def _forward(self) -> FeedRecordPart:
        if self.to_day <= self.from_day:
            raise ValueError("expected to_day after from_day")
        return self


class ForecastDocument(Document):
    """The whole question."""

    format: Literal["growth-forecast/1"]
    strain: Annotated[StrainPart, WrapValidator(_strain)]
    diet: list[DietPart] | None = Field(default=None, min_length=1, max_length=20)
    weighings: list[WeighingPart] = Field(default=[], max_length=400)
    feed_records: list[FeedRecordPart] = Field(default=[], max_length=400)
    ages: list[Age] = Field(min_length=1, max_length=400)
    target_g: float | None = Field(default=None, gt=0, le=GREATEST_WEIGHT_G)
    level: float = Field(default=0.8, ge=0.5, le=0.99)

    @field_validator("diet")
    @classmethod
    def _diet_in_order(cls, diet: list[DietPart] | None) -> list[DietPart] | None:
        if diet is None:
            return None
        days = [phase.from_day for phase in diet]
        if days[0] != 0 or any(b <= a for a, b in pairwise(days)):
            raise ValueError("expected from_day to start at 0 and rise from feed to feed")
        return diet


def answer_growth_document(raw: bytes | str) -> dict[str, Any]:
    """Return the answering document of an asking one.

    Raises
    ------
    DocumentError
        With one line per fault.
    """
    asked = read_document(raw, ForecastDocument)
    diet = None
    if asked.diet is not None:
        diet = [DietPhase(phase.from_day, phase.crude_protein) for phase in asked.diet]
    return _answer(
        forecast(
            asked.strain,
            diet=diet,
            weighings=[weighing.as_weighing() for weighing in asked.weighings],
            feed_records=[
                FeedRecord(record.from_day, record.to_day, record.feed_per_bird_g)
                for record in asked.feed_records
            ],
            ages=asked.ages,
            target_g=asked.target_g,
            level=asked.level,
        )
    )


def strains_document() -> dict[str, Any]:
    """Return the built-in strains as they would stand in an asking document, with their sources."""
    return {
        "format": "growth-strains/1",
        "strains": {key: _strain_fields(strain) for key, strain in built_in_strains().items()},
    }


def _answer(told: Forecast) -> dict[str, Any]:
    bands = {
        "flock_mean_g": told.flock_mean_g,
        "bird_g": told.bird_g,
        "feed_per_bird_g": told.feed_per_bird_g,
        "nitrogen_excreted_per_bird_g": told.nitrogen_excreted_per_bird_g,
    }
    target, figures = told.target_age_days, told.parameters
    return {
        "format": "growth-forecast-result/1",
        "ages": [
            {"age_days": _whole(age)} | {name: _interval(band, at) for name, band in bands.items()}
            for at, age in enumerate(told.age_days)
        ],
        "target_age_days": None
        if target is None
        else {part: _rounded(getattr(target, part), 2) for part in ("low", "median", "high")},
        "parameters": {
            "mature_g": round(figures.mature_g, 1),
            "rate_per_day": round(figures.rate_per_day, 5),
            "inflection_day": round(figures.inflection_day, 2),
        },
        "warnings": [str(warning) for warning in told.warnings],
    }


def _interval(band: Band, at: int) -> dict[str, float]:
    return {part: round(float(getattr(band, part)[at]), 2) for part in ("low", "median", "high")}


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)


def _whole(age_days: float) -> float | int:
    return int(age_days) if float(age_days).is_integer() else float(age_days)


def _strain_fields(strain: Strain) -> dict[str, Any]:
    spreads: Sequence[str] = ("mature_g", "rate_per_day", "inflection_day")
    return {
        "name": strain.name,
        "hatch_g": strain.hatch_g,
        **{part: vars(getattr(strain, part)) for part in spreads},
        "bird_cv": strain.bird_cv,
        "feed_cv": strain.feed_cv,
        "feed_at_weight": [list(point) for point in strain.feed_at_weight],
        "source": strain.source,
        "mark": strain.mark,
    }
