"""Money sums to the cent, however it is shared."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flocks.money import Account, MoneyLine, shared_out_money, to_cents, written_off

AMOUNTS = st.integers(0, 10**9).map(lambda cents: Decimal(cents) / 100)
WEIGHTS = st.lists(st.integers(0, 10_000), min_size=1, max_size=40).filter(any)


@given(AMOUNTS, WEIGHTS)
def test_shares_sum_to_the_amount_and_lie_within_a_cent_of_fair(amount, weights):
    shares = shared_out_money(amount, weights)
    assert sum(shares) == amount
    for share, weight in zip(shares, weights, strict=True):
        assert abs(share - amount * weight / sum(weights)) < Decimal("0.01")
        assert share == to_cents(share)


@given(AMOUNTS, st.integers(1, 30))
def test_what_is_written_off_comes_to_what_was_paid(amount, seasons):
    parts = written_off(amount, seasons)
    assert sum(parts) == amount
    assert max(parts) - min(parts) <= Decimal("0.01")


def test_ten_over_three_gives_the_odd_cent_to_the_first():
    assert shared_out_money(Decimal("10.00"), [1, 1, 1]) == [
        Decimal("3.34"),
        Decimal("3.33"),
        Decimal("3.33"),
    ]


def test_nobody_to_carry_it_is_said():
    with pytest.raises(ValueError, match="somebody"):
        shared_out_money(Decimal(1), [0, 0])


def test_an_account_by_bird_and_kilogram():
    lines = (MoneyLine("Feed", Decimal("40.10")), MoneyLine("Chicks", Decimal("20.05")))
    account = Account(lines, Decimal(0), 10, 18.0, Decimal(0), Decimal("5.00"))
    assert account.total == Decimal("60.15")
    assert account.per_bird == Decimal("6.02")  # 6.015, half a cent up
    assert account.per_kg == Decimal("3.34")
    assert account.margin == Decimal("29.85")
    empty = Account((), Decimal(0), 0, None, Decimal(0), None)
    assert (empty.per_bird, empty.per_kg, empty.margin) == (None, None, None)
