"""A sizing's wish and answer as JSON, and back."""

from dataclasses import asdict
from datetime import date
from typing import Any

from rotation.season_limits import Wish
from rotation.sizing import BatchSize, Bird, Loosened, Offer, Sized


def wish_row(wish: Wish) -> dict[str, Any]:
    """Return a wish as JSON holds it."""
    away = [[first.isoformat(), last.isoformat()] for first, last in wish.away]
    return asdict(wish) | {"pens": list(wish.pens), "away": away}


def wish_of(row: dict[str, Any]) -> Wish:
    """Return the wish that a row holds."""
    away = tuple((date.fromisoformat(a), date.fromisoformat(b)) for a, b in row["away"])
    return Wish(**row | {"pens": tuple(row["pens"]), "away": away})


def result_row(sized: Sized, bird: Bird) -> dict[str, Any]:
    """Return an answer as JSON holds it."""
    return asdict(sized) | {"bird": asdict(bird)}


def bird_of(row: dict[str, Any]) -> Bird:
    """Return the bird that an answer is about."""
    return Bird(**row["bird"] | {"nitrogen_g": tuple(row["bird"]["nitrogen_g"])})


def sized_of(row: dict[str, Any]) -> Sized:
    """Return the answer that a row holds."""
    return Sized(
        best=_offer(row["best"]) if row["best"] else None,
        others=tuple(map(_offer, row["others"])),
        frontier=tuple(map(_offer, row["frontier"])),
        loosened=tuple(Loosened(**each) for each in row["loosened"]),
        judged=row["judged"],
        wanted_kg=row["wanted_kg"],
        coming_kg=row["coming_kg"],
        untried=tuple(row.get("untried", ())),
        room_g=row.get("room_g"),
    )


def _offer(row: dict[str, Any]) -> Offer:
    batches = tuple(BatchSize(**batch | {"pens": tuple(batch["pens"])}) for batch in row["batches"])
    return Offer(**row | {"batches": batches})
