"""Records in an array that grows.

PURE. Compiled.
"""

from typing import Any

import numpy as np
from numba import njit
from numpy.typing import NDArray


@njit(cache=True, nogil=True)
def with_room(records: NDArray[Any], count: int) -> NDArray[Any]:
    """Return the records, with space for `count` of them."""
    if count <= len(records):
        return records
    more = np.empty(2 * count, dtype=records.dtype)
    more[: len(records)] = records
    return more
