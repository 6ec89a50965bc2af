"""Money that is shown: an exact decimal amount and its currency, never mixed silently.

Cents policy: figures are computed unrounded and each amount that is shown is rounded once, half up
as spreadsheets do, to the currency's own decimals. A shown total is the sum of the shown parts, so
the parts of anything on screen or paper always add up; `share_out` splits an amount so that this
holds too.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal

from workbench.domain.record import dataclass

from .currencies import DECIMALS
from .problem import EntryError

LARGEST = Decimal(10) ** 9


def decimals_of(currency: str) -> int:
    """How many decimals `currency` is written with.

    Raises
    ------
    EntryError
        When the code is not that of a currency in use.
    """
    try:
        return DECIMALS[currency]
    except KeyError:
        raise EntryError(
            f"“{currency}” is not the code of a currency in use. Write one such as USD, EUR or GBP."
        ) from None


def cents(amount: Decimal | float, currency: str) -> Decimal:
    """`amount` rounded half up to the decimals of `currency`.

    A float is first taken to seven decimals, so that binary dust does not decide a half cent.
    """
    exact = amount if isinstance(amount, Decimal) else Decimal(f"{amount:.7f}")
    return exact.quantize(Decimal(1).scaleb(-decimals_of(currency)), ROUND_HALF_UP)


@dataclass(frozen=True, slots=True, order=False)
class Money:
    """An amount in a currency.

    Attributes
    ----------
    amount
        Exact; may be negative (a credit).
    currency
        ISO 4217 code.
    """

    amount: Decimal
    currency: str

    def __post_init__(self) -> None:
        decimals_of(self.currency)
        if not self.amount.is_finite() or abs(self.amount) > LARGEST:
            raise EntryError(f"{self.amount} is not an amount that a boat could cost.")

    def rounded(self) -> Money:
        """The amount as it is shown."""
        return Money(cents(self.amount, self.currency), self.currency)

    def __add__(self, other: Money) -> Money:
        return Money(self.amount + self._same(other), self.currency)

    def __sub__(self, other: Money) -> Money:
        return Money(self.amount - self._same(other), self.currency)

    def __mul__(self, factor: Decimal | int) -> Money:
        return Money(self.amount * factor, self.currency)

    def __lt__(self, other: Money) -> bool:
        return self.amount < self._same(other)

    def __le__(self, other: Money) -> bool:
        return self.amount <= self._same(other)

    def _same(self, other: Money) -> Decimal:
        if other.currency != self.currency:
            raise EntryError(
                f"{self.currency} and {other.currency} cannot be added without an exchange rate."
            )
        return other.amount


def total(parts: Iterable[Money], currency: str) -> Money:
    """The sum of `parts`, zero of `currency` when there are none."""
    return sum(parts, Money(Decimal(0), currency))


def share_out(amount: Decimal, weights: Sequence[Decimal], currency: str) -> tuple[Decimal, ...]:
    """Split `amount` in proportion to `weights` into rounded parts that add up to it.

    Parts are rounded down and the cents left over go to the largest remainders, first come first
    served among equals. Equal weights are used when all weights are zero.
    """
    if not weights:
        return ()
    step = Decimal(1).scaleb(-decimals_of(currency))
    whole = sum(weights, Decimal(0))
    ideal = [amount * weight / whole if whole else amount / len(weights) for weight in weights]
    parts = [share.quantize(step, ROUND_DOWN) for share in ideal]
    left = int((cents(amount, currency) - sum(parts, Decimal(0))) / step)
    order = sorted(range(len(parts)), key=lambda i: abs(ideal[i] - parts[i]), reverse=True)
    for position in order[: abs(left)]:
        parts[position] += step if left > 0 else -step
    return tuple(parts)
