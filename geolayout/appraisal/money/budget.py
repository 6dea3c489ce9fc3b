"""
Sums of a budget on paper: margins, partial budgets, what a tonne costs.

Every figure is a `Span`, for yields and packs of seed may be known as ranges; the ends of a
difference are the worst and the best that can come together.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from geolayout.appraisal.seed.rate import Span

__all__ = ["Account", "PartialBudget", "added", "change", "cost_per_tonne", "minus"]


def minus(first: Span, second: Span) -> Span:
    """
    Take one span from another.

    Examples
    --------
    >>> minus(Span(10.0, 12.0), Span(1.0, 2.0))
    Span(low=8.0, high=11.0)
    """
    return Span(first.low - second.high, first.high - second.low)


def added(spans: Iterable[Span]) -> Span:
    """Add spans up; nothing at all adds up to nought."""
    summed = Span.of(0.0)
    for span in spans:
        summed = summed + span
    return summed


@dataclass(frozen=True, slots=True)
class Account:
    """
    What some land earns and what that costs, over the same time.

    Attributes
    ----------
    name : str
        What it is an account of.
    income : Span
        Yield times price, all products. [coin]
    costs : Span
        Variable costs: those that would not be there without the crop. [coin]
    """

    name: str
    income: Span
    costs: Span

    @property
    def margin(self) -> Span:
        """The gross margin: income less variable costs. [coin]"""
        return minus(self.income, self.costs)


@dataclass(frozen=True, slots=True)
class PartialBudget:
    """
    What changes, and only that, if one way of growing takes the place of another.

    Attributes
    ----------
    instead_of : str
        The way that is given up.
    added_income, saved_cost : Span
        For the change. [coin]
    added_cost, lost_income : Span
        Against it. [coin]
    net : Span
        What the change brings; less than nought is a loss. [coin]
    """

    instead_of: str
    added_income: Span
    saved_cost: Span
    added_cost: Span
    lost_income: Span
    net: Span

    @property
    def gains(self) -> Span:
        """All that speaks for the change. [coin]"""
        return self.added_income + self.saved_cost

    @property
    def losses(self) -> Span:
        """All that speaks against it. [coin]"""
        return self.added_cost + self.lost_income


def change(new: Account, old: Account) -> PartialBudget:
    """
    Return the partial budget of going from one account to another.

    Its net is the difference of the two margins.
    """
    net = minus(new.income + old.costs, new.costs + old.income)
    return PartialBudget(old.name, new.income, old.costs, new.costs, old.income, net)


def cost_per_tonne(costs: Span, tonnes: Span) -> Span | None:
    """
    Return what a tonne costs, which is the price at which nothing is left; None without a yield.

    Parameters
    ----------
    costs : Span
        [coin], or [coin/ha]
    tonnes : Span
        [t], or [t/ha]

    Examples
    --------
    >>> cost_per_tonne(Span.of(900.0), Span(6.0, 9.0))
    Span(low=100.0, high=150.0)
    """
    return costs / tonnes if tonnes.low > 0 else None
