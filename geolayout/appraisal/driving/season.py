"""Everything driven in one season, operation by operation: order, hours, fuel, carting, doubles."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache, reduce
from operator import add

import numpy as np
import shapely

from geolayout.appraisal.driving.carting import Carting, carting_of, load_of
from geolayout.appraisal.driving.doubled import Doubled, doubled_ground
from geolayout.appraisal.driving.hours import (
    HECTARE,
    Driven,
    Range,
    WorkHours,
    area_capacity,
    field_efficiency,
    hours_driven,
)
from geolayout.appraisal.driving.order import Doors, Floats, Order, gateways, order_of
from geolayout.appraisal.driving.published import Published, efficiency_of, fuel_of
from geolayout.appraisal.driving.speeds import working_speed
from geolayout.appraisal.driving.turnings import Turn
from geolayout.layout.build import Layout
from geolayout.plan.machines import Machine

__all__ = ["Driving", "driving_of"]

STOPS = 2
"""Changes of direction in a turn of three points."""


@dataclass(frozen=True, slots=True, eq=False)
class Driving:
    """
    How one operation is driven.

    Attributes
    ----------
    operation : str
        Its name.
    machine : Machine
        What does it.
    orders : tuple of Order
        One for each block it works, in the order driven.
    driven : Driven
        Lengths, stops and fills.
    hours : WorkHours
        In the field.
    area : float
        Own ground on the rows, and that of its rounds. [m2]
    doubled : Doubled
        Worked too often or missed.
    carting : Carting or None
        Loads; None where rate or hopper is not said.
    fuel_per_ha : Published or None
        Fuel on a hectare; None where it is not known. [l/ha]
    published : Published or None
        Field efficiency as published for such work. [-]
    gateway : bool
        Whether the way in is known.
    """

    operation: str
    machine: Machine
    orders: tuple[Order, ...]
    driven: Driven
    hours: WorkHours
    area: float
    doubled: Doubled
    carting: Carting | None
    fuel_per_ha: Published | None
    published: Published | None
    gateway: bool

    @property
    def efficiency(self) -> float:
        """Share of full width and usual speed that the usual hours come to. [-]"""
        return field_efficiency(self.machine, self.area, self.hours.total.usual)

    @property
    def capacity(self) -> Range:
        """Ground worked in an hour. [ha/h]"""
        total = self.hours.total
        most, usual, least = (
            self.area / HECTARE / one for one in (total.least, total.usual, total.most)
        )
        return Range(least, usual, most)

    @property
    def published_capacity(self) -> Range | None:
        """Ground in an hour by the published efficiency, at the usual speed. [ha/h]"""
        if self.published is None:
            return None
        full = area_capacity(self.machine.working_width, self._usual_speed)
        return self.published.range * full

    @property
    def fuel(self) -> Range | None:
        """Fuel for all of it. [l]"""
        if self.fuel_per_ha is None:
            return None
        return self.fuel_per_ha.range * (self.area / HECTARE)

    @property
    def unfit(self) -> int:
        """Turns that the headland does not hold."""
        return sum(int((~order.fits).sum()) for order in self.orders)

    @property
    def usual_turning(self) -> float:
        """What up and back would drive without working. [m]"""
        return sum(order.usual for order in self.orders)

    @property
    def usual_unfit(self) -> int:
        """Turns of up and back that the headland does not hold."""
        return sum(order.usual_unfit for order in self.orders)

    @property
    def _usual_speed(self) -> float:
        """Working speed. [km/h]"""
        return working_speed(self.machine).usual


@lru_cache(maxsize=2)
def driving_of(layout: Layout) -> tuple[Driving, ...]:
    """
    Return how every operation of a layout is driven.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    driving : tuple of Driving
        In the order of the plan; operations without passes are left out.

    Notes
    -----
    A layout never changes, so the last two looked at are kept: the screen, the summary, the tables
    and the picture all ask for the same.
    """
    found = (_driving(layout, i) for i in range(len(layout.plan.operations)))
    return tuple(one for one in found if one is not None)


def _driving(layout: Layout, index: int) -> Driving | None:
    """Return how one operation is driven; None where it has no passes."""
    plan, operation = layout.plan, layout.plan.operations[index]
    machine = plan.machine(operation.machine)
    gates = gateways(layout, index)
    orders = _orders(layout, index, gates)
    if not orders:
        return None
    doubled = reduce(add, (doubled_ground(layout, order.block, index) for order in orders))
    load = load_of(layout, operation, doubled.own)
    carting = None if load is None else carting_of(layout, orders, load)
    rounds = _rounds_length(layout, index)
    driven = _driven(orders, rounds, carting)
    return Driving(
        operation.name,
        machine,
        orders,
        driven,
        hours_driven(machine, driven),
        doubled.own + rounds * machine.working_width,
        doubled,
        carting,
        fuel_of(plan, operation),
        efficiency_of(plan, operation),
        bool(len(gates)),
    )


def _orders(layout: Layout, index: int, gates: Floats) -> tuple[Order, ...]:
    """Return the orders of one operation, the nearest block next."""
    waiting = np.unique(layout.passes.block[layout.passes.operation == index]).tolist()
    machine = layout.plan.machine(layout.plan.operations[index].machine)
    nowhere = np.empty((0, 2))
    out, at, orders = nowhere if machine.far_side_access else gates, gates, []
    while waiting:
        block = min(waiting, key=lambda b: _away(layout, b, at))
        waiting.remove(block)
        doors = Doors(at, out if not waiting else nowhere)
        order = order_of(layout, block, index, doors)
        if order is not None:
            orders.append(order)
            at = _stopped(layout, order)
    return tuple(orders)


def _away(layout: Layout, block: int, places: Floats) -> float:
    """Return how far a block is from the nearest of some places; 0 where there is none. [m]"""
    if not len(places):
        return 0.0
    return float(shapely.distance(layout.blocks[block].land, shapely.points(places)).min())


def _stopped(layout: Layout, order: Order) -> Floats:
    """Return where an order ends, shape (1, 2). [m]"""
    ends = layout.passes.lines.ends(int(order.piece[-1]))
    return ends[0:1] if order.backward[-1] else ends[1:2]


def _rounds_length(layout: Layout, index: int) -> float:
    """Return the length of an operation's rounds on the headland. [m]"""
    rounds = layout.rounds
    return float(rounds.lines.length[rounds.operation == index].sum())


def _driven(orders: Sequence[Order], rounds: float, carting: Carting | None) -> Driven:
    """Return what an operation drives."""
    stops = STOPS * sum(int((order.turn == Turn.THREE_POINT).sum()) for order in orders)
    return Driven(
        sum(float(order.length.sum()) for order in orders),
        rounds,
        sum(order.empty_length for order in orders),
        carting.length if carting is not None else 0.0,
        stops,
        carting.loads if carting is not None else 0,
    )
