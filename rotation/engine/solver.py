"""HiGHS, kept quiet: an engine's standard output belongs to its answer.

PURE.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager

import highspy

_STANDARD_OUTPUT = 1


def quiet_highs() -> highspy.Highs:
    """Return a solver that prints nothing and uses one thread, so that its answers repeat."""
    with _standard_output_shut():
        solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    return solver


@contextmanager
def _standard_output_shut() -> Iterator[None]:
    """Send the process's standard output nowhere.

    The constructor prints a banner from C before any option can be set, straight to the file
    descriptor, where `contextlib.redirect_stdout` cannot catch it.
    """
    try:
        kept = os.dup(_STANDARD_OUTPUT)
    except OSError:
        # a process without standard output has nothing to keep clean
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, _STANDARD_OUTPUT)
        yield
    finally:
        os.dup2(kept, _STANDARD_OUTPUT)
        os.close(nowhere)
        os.close(kept)
