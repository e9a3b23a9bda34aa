"""Which size of a change to try next, so that the smallest that helps is found with few plans.

PURE. The sizes of one kind of change are numbered from the smallest, 0. What each leaves is told back as days
off the beds; a size that cannot be is told as one that saves nothing.
"""

from collections.abc import Callable, Mapping, Sequence

Left = Mapping[int, int]
"""Size -> days off the beds that it leaves."""


def next_size(count: int, left: Left, before: int, coarse: Sequence[int] = ()) -> int | None:
    """Return the size to try next, or None where the search has ended.

    Parameters
    ----------
    count : int
        Sizes there are.
    left : mapping of int to int
        What the sizes tried so far leave. [days]
    before : int
        Days off the beds without any change, above 0.
    coarse : sequence of int, optional
        Sizes tried in turn up to the first that leaves no day off, where a larger change need not help
        more, such as another date. Without them a larger one is taken to help at least as much: the
        largest is tried first, then the smallest that leaves as few days is looked for by halving.
    """
    if not coarse:
        last = count - 1
        if last < 0:
            return None
        if last not in left:
            return last
        return _halfway(-1, last, left, left[last]) if left[last] < before else None
    passed = -1
    for size in coarse:
        if size not in left:
            return size
        if not left[size]:
            return _halfway(passed, size, left, 0)
        passed = size
    return None


def _halfway(fails: int, does: int, left: Left, aim: int) -> int | None:
    """Return the untried size that halves the sizes between one that fails the aim and one that meets it."""
    while does - fails > 1:
        middle = (fails + does) // 2
        if middle not in left:
            return middle
        if left[middle] <= aim:
            does = middle
        else:
            fails = middle
    return None


def best_size(left: Left, before: int) -> int | None:
    """Return the smallest size that leaves the fewest days off, or None where none saves a day."""
    fewest = min(left.values(), default=before)
    if fewest >= before:
        return None
    return min(size for size, days in left.items() if days == fewest)


def climbed(
    count: int, days_left: Callable[[int], int], before: int, coarse: Sequence[int] = ()
) -> dict[int, int]:
    """Try sizes until the search ends, and return what each of them leaves [days]."""
    left: dict[int, int] = {}
    while (size := next_size(count, left, before, coarse)) is not None:
        left[size] = days_left(size)
    return left
