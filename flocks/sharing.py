"""Whole birds shared out in proportion.

PURE.
"""

from collections.abc import Sequence
from math import floor


def shared_out(birds: int, weights: Sequence[float]) -> list[int]:
    """Share whole birds in proportion to weights, by largest remainder.

    Parameters
    ----------
    birds : int
        Birds to share, at least 0.
    weights : sequence of float
        At least 0 each, such as the floors of the pens [m²]; all zero means equal shares.

    Returns
    -------
    list of int
        One share for each weight, in their order, adding up to `birds`; empty without weights.
        Of equal remainders the earlier weight gets the bird.

    Raises
    ------
    ValueError
        When the birds or a weight are below zero.
    """
    if birds < 0 or any(weight < 0 for weight in weights):
        raise ValueError("birds and weights must be at least 0")
    if not weights:
        return []
    total = sum(weights)
    exact = [birds * weight / total if total else birds / len(weights) for weight in weights]
    shares = [floor(share) for share in exact]
    by_remainder = sorted(range(len(exact)), key=lambda i: shares[i] - exact[i])
    for index in by_remainder[: birds - sum(shares)]:
        shares[index] += 1
    return shares
