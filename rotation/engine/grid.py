"""A problem's garden as arrays: spots, windows, carries and what the pins leave of the rooms.

PURE. The search works on numbers: spots are numbered as in the problem, windows from first to last
over all spots, days as they are.
"""

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rotation.engine.problem import NITROGEN_TOLERANCE_G, Problem, Span, stay_of

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

ROOM_SLACK_G = NITROGEN_TOLERANCE_G / 10
"""The search stays well inside the tolerance by which its plans are judged."""


class Grid:
    """The garden of one problem in numbers."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.days = problem.days
        self.rest = problem.rules.rest_days
        self.earned_per_gram = problem.costs.wanted_nitrogen_per_gram
        windows = [(spot, window) for spot in problem.spots for window in spot.windows]
        self.number_of = {spot.id: number for number, spot in enumerate(problem.spots)}
        self.window_spot = np.array([self.number_of[s.id] for s, _ in windows], dtype=np.int64)
        self.window_days = [(window.first_day, window.end_day) for _, window in windows]
        self.window_room_g = np.array([window.nitrogen_room_g for _, window in windows])
        self.wanted_g = np.array([window.nitrogen_wanted_g for _, window in windows])
        self.spot_room_g = np.array([spot.nitrogen_room_g for spot in problem.spots])
        self.window_at = np.full((self.days, self.spot_count), -1, dtype=np.int64)
        """Number of the window open by day and spot, or -1."""
        self.closes = np.zeros((self.days, self.spot_count), dtype=np.int64)
        """End day of the window open by day and spot, or 0."""
        for number, (spot, window) in enumerate(windows):
            opened = slice(window.first_day, window.end_day), self.number_of[spot.id]
            self.window_at[opened] = number
            self.closes[opened] = window.end_day

    @property
    def spot_count(self) -> int:
        """Number of spots."""
        return len(self.spot_room_g)

    @property
    def window_count(self) -> int:
        """Number of windows of all spots."""
        return len(self.wanted_g)

    @cached_property
    def carry(self) -> Floats:
        """Cost of carrying a pen from spot to spot."""
        x_m = np.array([spot.x_m for spot in self.problem.spots])
        y_m = np.array([spot.y_m for spot in self.problem.spots])
        metres = np.hypot(x_m[:, None] - x_m[None, :], y_m[:, None] - y_m[None, :])
        return self.problem.costs.carry_per_metre * metres

    @cached_property
    def pins(self) -> list[tuple[int, Span]]:
        """Every pinned stay with the number of its run."""
        return [(number, pin) for number, run in enumerate(self.problem.runs) for pin in run.pinned]

    @cached_property
    def window_room_left_g(self) -> Floats:
        """Room of each window beside the pins, and a last 0 for day and spot without a window."""
        room_g = np.append(self.window_room_g, 0.0)
        for number, pin in self.pins:
            run = self.problem.runs[number]
            stay = stay_of(run, pin.spot, pin.first_day, pin.end_day)
            room_g[self.window_at[pin.first_day, self.number_of[pin.spot]]] -= stay.nitrogen_g
        return room_g

    @cached_property
    def spot_room_left_g(self) -> Floats:
        """Room of each spot beside the pins."""
        room_g = self.spot_room_g.copy()
        for number, pin in self.pins:
            stay = stay_of(self.problem.runs[number], pin.spot, pin.first_day, pin.end_day)
            room_g[self.number_of[pin.spot]] -= stay.nitrogen_g
        return room_g
