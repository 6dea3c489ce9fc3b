"""
Which ground gets what an operation spreads or sprays, in kilograms or litres a hectare.

Seed is widened by a slack, as an outer row that is looked up a hand's breadth off line must not be
shut off; see `geolayout.handover.files.rateground`. What is spread or sprayed is not: a boom or a
disc that reaches past its ground reaches a neighbour's crop, or water.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.works import Work, work_of
from geolayout.layout.build import Layout
from geolayout.plan.machines import Operation

__all__ = ["LITRES", "Spread", "spreads", "whole_pieces"]

LITRES = "l/ha"
"""How the unit of a rate by volume is written."""

_OTHERWISE = (Work.SOW, Work.HARVEST, Work.CART, Work.IRRIGATE)
"""Works whose figures are no rate of something put on; seed has rates of its own."""


@dataclass(frozen=True, slots=True)
class Spread:
    """
    What one operation spreads or sprays.

    Attributes
    ----------
    operation : str
        Its name, which is also that of the product: the plan has no other.
    unit : str
        "kg/ha" or "l/ha".
    rate : float
        The plan's. [unit]
    amounts : dict of int to float
        What the machine is set to, by piece of ground; half of the rate where bands are crossed.
    total : float
        Rate times true ground. [kg or l]
    """

    operation: str
    unit: str
    rate: float
    amounts: dict[int, float]
    total: float


def whole_pieces(layout: Layout) -> NDArray[np.intp]:
    """Return the piece of ground that each part belongs to; where no zones cross it, itself."""
    if layout.zones is None:
        return np.arange(len(layout.ground))
    return layout.zones.piece.astype(np.intp)


def spreads(layout: Layout) -> tuple[Spread, ...]:
    """
    Return what the plan's operations spread or spray by a rate.

    Parameters
    ----------
    layout : Layout
        A layout.

    Returns
    -------
    spreads : tuple of Spread
        In the order of the plan's operations; none of those that sow, gather, cart or irrigate.
    """
    return tuple(spread for one in layout.plan.operations for spread in _spread(layout, one))


def _spread(layout: Layout, operation: Operation) -> Iterator[Spread]:
    """Return what one operation spreads, in each of the two units."""
    given = {"kg/ha": operation.kg_per_ha, LITRES: operation.litres_per_ha}
    if not any(given.values()) or work_of(layout.plan, operation) in _OTHERWISE:
        return
    works = _works(layout, operation)
    if not works.any():
        return
    ground = float(layout.ground.area[works].sum()) / 1e4
    halved = works & (_on_bands(layout) if operation.crossed is not None else False)
    whole = whole_pieces(layout).tolist()
    for unit, rate in given.items():
        if rate:
            amounts = {
                i: rate / (2.0 if halved[piece] else 1.0)
                for i, piece in enumerate(whole)
                if works[piece]
            }
            yield Spread(operation.name, unit, rate, amounts, rate * ground)


def _works(layout: Layout, operation: Operation) -> NDArray[np.bool_]:
    """
    Return which pieces of ground an operation works.

    As its passes and rounds have it: the stands that it names, a headland's among them, else every
    band that grows something and has no trees.
    """
    ground = layout.ground
    if not operation.stands:
        return np.asarray((ground.kind == "band") & (ground.stand != ""))
    named = np.isin(ground.stand.astype(str), operation.stands)
    return np.asarray(named & (_on_bands(layout) | (ground.kind == "headland")))


def _on_bands(layout: Layout) -> NDArray[np.bool_]:
    """Return which pieces of ground are bands."""
    return np.isin(layout.ground.kind.astype(str), ("band", "tree band"))
