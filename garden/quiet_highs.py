"""HiGHS, kept quiet: an engine's standard output belongs to its answer.

PURE.
"""

import highspy


class _QuietHighs(highspy.Highs):
    """HiGHS without the banner that its constructor prints from C, where nothing can catch it."""

    def enableCallbacks(self) -> None:  # noqa: N802
        """Silence the solver before the first call that prints."""
        self.silent()
        super().enableCallbacks()


def quiet_highs() -> highspy.Highs:
    """Return a solver that prints nothing and uses one thread, so that its answers repeat."""
    solver = _QuietHighs()
    solver.setOptionValue("threads", 1)
    return solver
