"""Headland sown before the rows, or after: what is driven over it in turning."""

from collections.abc import Iterator

import numpy as np

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.driving.order import Order
from geolayout.appraisal.driving.rounds import RoundsOrder
from geolayout.appraisal.driving.season import Driving, driving_of
from geolayout.appraisal.driving.turnings import Turn
from geolayout.appraisal.works import Work, work_of
from geolayout.layout.build import Layout

__all__ = ["headland_order_cautions", "turned_on_headland"]

LEAST = 1.0
"""Less driven over a headland is not worth a word. Our own choice. [m]"""

SOURCE = "Geometry of the turns in the order of driving; common practice, no source."


def headland_order_cautions(layout: Layout) -> list[Caution]:
    """
    Say how far a drill turns on headland that it has sown, or that it is still to sow.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
        One for every operation that sows a headland, and for each order of headland and rows.
    """
    if not len(layout.rounds):
        return []
    plan = layout.plan
    sown = {one.name for one in plan.operations if work_of(plan, one) is Work.SOW}
    return [
        caution
        for one in driving_of(layout)
        if one.operation in sown
        for caution in _of_operation(layout, one)
    ]


def turned_on_headland(layout: Layout, driving: Driving, worked: str) -> float:
    """
    Return how far an operation drives in turning on headland that it sows first, or last.

    Parameters
    ----------
    layout : Layout
        The layout.
    driving : Driving
        How the operation is driven.
    worked : {"first", "last"}
        Which headland counts.

    Returns
    -------
    length : float
        From row to row and to and from the rows, what lies off the headland left out. [m]
    """
    blocks = {_block(layout, one) for one in driving.rounds if one.worked == worked}
    return sum(_turned(one) for one in driving.orders if one.block in blocks or -1 in blocks)


def _block(layout: Layout, rounds: RoundsOrder) -> int:
    """Return the block whose headland rounds are on; -1 where blocks share it."""
    return int(layout.rounds.block[rounds.piece[0]])


def _turned(order: Order) -> float:
    """Return how far one order drives on the headland. [m]"""
    beside = order.turn != Turn.STRAIGHT_ON
    on_it = np.maximum(order.turn_length - order.off, 0.0)[beside]
    return float(on_it.sum()) + order.way_out


def _of_operation(layout: Layout, one: Driving) -> Iterator[Caution]:
    """Yield what is to say about one operation."""
    length = turned_on_headland(layout, one, "first")
    if length >= LEAST:
        yield _sown_first(one, length)
    length = turned_on_headland(layout, one, "last")
    if length >= LEAST:
        yield _sown_last(one, length)


def _wheels(one: Driving, length: float) -> str:
    """Say how much ground two wheel tracks are on such a way; "" where tyres are not given."""
    tyre = one.machine.tyre_width
    return "" if tyre is None else f", {2.0 * tyre * length:.0f} m2 under wheels"


def _sown_first(one: Driving, length: float) -> Caution:
    """Return the warning that sown headland is driven over."""
    return Caution(
        key="headland-sown-first",
        severity=WARNING,
        sentence=(
            f"{one.operation} sows the headland first and then turns on it: {length:.0f} m are "
            f"driven over sown ground{_wheels(one, length)}."
        ),
        remedy='Sow it last (worked = "last"), or turn at few places and look there for gaps.',
        source=SOURCE,
        value=length,
        unit="m driven over sown headland",
    )


def _sown_last(one: Driving, length: float) -> Caution:
    """Return the note that the seedbed of the headland is driven flat before it is sown."""
    return Caution(
        key="headland-sown-last",
        severity=NOTE,
        sentence=(
            f"{one.operation} sows the headland last and turns on it before: {length:.0f} m are "
            f"driven over its seedbed{_wheels(one, length)}."
        ),
        remedy="Loosen the headland once more before its rounds where wheels have pressed it.",
        source=SOURCE,
        value=length,
        unit="m driven over the seedbed",
    )
