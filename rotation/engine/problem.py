"""What a rotation problem is and what answers it: frozen values, no method.

PURE. A *run* is one pen carrying birds through the garden; a *spot* is one place where a pen can
stand. Days are whole numbers counted from the problem's day 0; a stay is half-open,
``[first_day, end_day)``. The rules that a plan must keep are in `rotation.engine.rules`; how one is
found is in `rotation.engine.search`, which may be replaced without touching this module.
"""

from collections.abc import Iterable, Mapping
from dataclasses import astuple, dataclass, field
from typing import Literal

OPTIMAL_GAP = 0.001
"""Relative gap up to which a plan is called optimal (the document format's own definition)."""

NITROGEN_TOLERANCE_G = 1e-6
"""Grams by which sums of floating-point nitrogen may pass a room before it counts as a breach."""


@dataclass(frozen=True, slots=True)
class Rules:
    """The limits of every stay, in whole days."""

    min_stay_days: int
    max_stay_days: int
    rest_days: int
    """Days a spot lies free between the end of one stay and the first day of the next."""


@dataclass(frozen=True, slots=True)
class Costs:
    """What is minimised, in any one currency or unit of trouble."""

    move: float
    """For each stay entered."""
    carry_per_metre: float
    """For each metre in a straight line between stays with no off-bed day between them."""
    off_bed_day: float
    wanted_nitrogen_per_gram: float
    """Earned for each gram dropped in a window, up to what the window wants."""
    changed_day: float = 0.0
    """For each day on which the pen is not where it was announced to be."""


@dataclass(frozen=True, slots=True)
class Window:
    """Days ``[first_day, end_day)`` on which a spot is open to pens."""

    first_day: int
    end_day: int
    nitrogen_room_g: float
    nitrogen_wanted_g: float


@dataclass(frozen=True, slots=True)
class Spot:
    """One place for one pen; `windows` are disjoint and in order."""

    id: str
    x_m: float
    y_m: float
    nitrogen_room_g: float
    """Room of all windows together."""
    windows: tuple[Window, ...]


@dataclass(frozen=True, slots=True)
class Span:
    """A spot from a first day up to an end day: a pinned or an announced stay of a run."""

    spot: str
    first_day: int
    end_day: int


@dataclass(frozen=True, slots=True)
class Run:
    """One pen carrying birds on ``[first_day, end_day)``."""

    id: str
    first_day: int
    nitrogen_g: tuple[float, ...]
    """What the pen drops on each of its days."""
    spots: tuple[str, ...]
    """The spots the pen may use."""
    starts_on: str | None = None
    """The spot the pen already stands on: a first stay there costs no move."""
    stood_days: int = 0
    """Days it has stood there already; they count towards that first stay's length."""
    pinned: tuple[Span, ...] = ()
    """Stays that must be stays of the answer."""
    announced: tuple[Span, ...] = ()
    """Where the grower was told the pen would be."""

    @property
    def end_day(self) -> int:
        """The first day without birds."""
        return self.first_day + len(self.nitrogen_g)

    def is_free_start(self, spot: str, first_day: int) -> bool:
        """Say whether a stay merely goes on where the pen already stands."""
        return spot == self.starts_on and first_day == self.first_day

    def counted_days(self, spot: str, first_day: int, end_day: int) -> int:
        """Length of a stay for the rules [days], with the days already stood where they count."""
        stood = self.stood_days if self.is_free_start(spot, first_day) else 0
        return end_day - first_day + stood


@dataclass(frozen=True, slots=True)
class Problem:
    """A garden's spots and the runs to be placed on them in ``[0, days)``."""

    days: int
    rules: Rules
    costs: Costs
    spots: tuple[Spot, ...]
    runs: tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class Stay:
    """One pen on one spot on ``[first_day, end_day)``, with what it drops there."""

    run: str
    spot: str
    first_day: int
    end_day: int
    nitrogen_g: float


@dataclass(frozen=True, slots=True)
class OffBed:
    """Off-bed days of a run, with how many of its spots each rule shut on each of those days."""

    run: str
    first_day: int
    end_day: int
    because: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class CostItems:
    """The cost of a plan by its causes; `wanted_nitrogen` is earned and so never positive."""

    moves: float
    carry: float
    off_bed: float
    wanted_nitrogen: float
    changed: float = 0.0

    @property
    def total(self) -> float:
        """The cost that is minimised."""
        return self.moves + self.carry + self.off_bed + self.wanted_nitrogen + self.changed

    @classmethod
    def of_all(cls, parts: Iterable["CostItems"]) -> "CostItems":
        """Return what several plans cost together."""
        nothing = cls(0.0, 0.0, 0.0, 0.0)
        return cls(*map(sum, zip(*map(astuple, (nothing, *parts)), strict=True)))


@dataclass(frozen=True, slots=True)
class Solution:
    """A plan that keeps every rule, its cost and a proven lower bound on any plan's cost."""

    cost_items: CostItems
    lower_bound: float
    seconds: float
    seed: int
    stays: tuple[Stay, ...]
    off_bed: tuple[OffBed, ...]

    @property
    def cost(self) -> float:
        """What the plan costs."""
        return self.cost_items.total

    @property
    def gap(self) -> float:
        """How far the plan may be from the best there is, as a share of its cost."""
        return relative_gap(self.cost, self.lower_bound)

    @property
    def status(self) -> Literal["optimal", "feasible"]:
        """Whether the plan is proven to be as good as the best."""
        return "optimal" if self.gap <= OPTIMAL_GAP else "feasible"


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a search has come."""

    seconds: float
    cost: float
    lower_bound: float

    @property
    def gap(self) -> float:
        """How far the best plan found may be from the best there is, as a share of its cost."""
        return relative_gap(self.cost, self.lower_bound)


def stay_of(run: Run, spot: str, first_day: int, end_day: int) -> Stay:
    """Return the stay of `run` on `spot`, its nitrogen [g] summed from the run's own days."""
    start, end = max(first_day - run.first_day, 0), max(end_day - run.first_day, 0)
    return Stay(run.id, spot, first_day, end_day, sum(run.nitrogen_g[start:end]))


def relative_gap(cost: float, lower_bound: float) -> float:
    """Return ``(cost - lower_bound) / max(|cost|, 1)``."""
    return (cost - lower_bound) / max(abs(cost), 1.0)
