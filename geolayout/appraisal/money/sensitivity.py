"""What the margin of the field becomes if prices or yields are other than said."""

from collections.abc import Sequence
from dataclasses import dataclass

from geolayout.appraisal.money.lines import CostLine, ProductLine
from geolayout.appraisal.money.margins import Margin

__all__ = ["STEPS", "ProductSwing", "Sensitivity", "sensitivity"]

STEPS = (-0.3, -0.2, -0.1, 0.0, 0.1, 0.2, 0.3)
"""Changes that are looked at, as shares of what was said. Our own choice."""


@dataclass(frozen=True, slots=True)
class ProductSwing:
    """
    One product's part in the margin.

    Attributes
    ----------
    crop, product : str
        Which.
    price_per_t : float
        As said. [coin/t]
    price_for_nothing_left : float
        The price at which the field's margin is nought, all else as said; less than nought where
        the others carry it. [coin/t]
    margins : tuple of float
        The field's margin with this price changed by each of the steps. [coin]
    """

    crop: str
    product: str
    price_per_t: float
    price_for_nothing_left: float
    margins: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """
    The field's margin around what was said, in the middle of all ranges.

    Attributes
    ----------
    steps : tuple of float
        Changes, as shares.
    margins : tuple of tuple of float
        One row for each change of all yields, in it one margin for each change of all prices; what
        is paid by the tonne goes with the yield. [coin]
    products : tuple of ProductSwing
        One product's price at a time.
    """

    steps: tuple[float, ...]
    margins: tuple[tuple[float, ...], ...]
    products: tuple[ProductSwing, ...]


def sensitivity(
    field: Margin, sold: Sequence[ProductLine], costs: Sequence[CostLine]
) -> Sensitivity | None:
    """
    Change prices and yields, and see what is left.

    Parameters
    ----------
    field : Margin
        Of the field.
    sold, costs : sequence
        Its lines.

    Returns
    -------
    sensitivity : Sensitivity or None
        None where the margin is not known, or nothing is sold.
    """
    if field.income is None or field.costs is None or field.income.high <= 0:
        return None
    income, paid = field.income.middle, field.costs.middle
    by_tonne = sum(
        one.cost.middle
        for one in costs
        if one.kind == "cost" and one.per == "t" and one.cost is not None
    )
    rest = paid - by_tonne
    grid = tuple(
        tuple((1 + y) * (1 + p) * income - (1 + y) * by_tonne - rest for p in STEPS) for y in STEPS
    )
    names = dict.fromkeys((one.crop, one.product) for one in sold)
    swings = [_swing(*name, sold, income - paid) for name in names]
    return Sensitivity(STEPS, grid, tuple(one for one in swings if one is not None))


def _swing(
    crop: str, product: str, sold: Sequence[ProductLine], margin: float
) -> ProductSwing | None:
    """Return what one product's price does; None where it earns nothing."""
    mine = [one for one in sold if (one.crop, one.product) == (crop, product)]
    income = sum(one.income.middle for one in mine if one.income is not None)
    tonnes = sum(one.tonnes.middle for one in mine if one.tonnes is not None)
    if income <= 0:
        return None
    price = income / tonnes
    swings = tuple(margin + step * income for step in STEPS)
    return ProductSwing(crop, product, price, (income - margin) / tonnes, swings)
