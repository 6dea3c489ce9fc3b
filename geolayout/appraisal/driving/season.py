"""Everything driven in one season, operation by operation: order, hours, fuel, carting, doubles."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache, reduce
from operator import add

import numpy as np
import shapely

from geolayout.appraisal.driving.carting import Carting, carting_of, load_of
from geolayout.appraisal.driving.doubled import NOTHING, Doubled, doubled_ground
from geolayout.appraisal.driving.hours import (
    HECTARE,
    Driven,
    Range,
    WorkHours,
    area_capacity,
    field_efficiency,
    hours_driven,
)
from geolayout.appraisal.driving.order import Doors, Floats, Order, gateways, order_of, turner_of
from geolayout.appraisal.driving.published import Published, efficiency_of, fuel_of
from geolayout.appraisal.driving.rounds import (
    NOWHERE,
    RoundsOrder,
    begun_from,
    come_to,
    rounds_order,
    without_way_out,
)
from geolayout.appraisal.driving.speeds import working_speed
from geolayout.appraisal.driving.turnings import Turn
from geolayout.layout.build import Layout
from geolayout.plan.machines import Machine

__all__ = ["Driving", "driving_of"]

Leg = Order | RoundsOrder
"""What is driven in one go: the rows of a block, or the rounds of a headland."""

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
        One for each block it works, in the order driven; none where it only goes round.
    rounds : tuple of RoundsOrder
        One for each headland it works, in the order driven.
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
    rounds: tuple[RoundsOrder, ...]
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
        """What up and back on the rows would drive without working, rounds as they are. [m]"""
        rounds = sum(one.empty_length for one in self.rounds)
        return sum(order.usual for order in self.orders) + rounds

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
        In the order of the plan; operations that drive nothing are left out.

    Notes
    -----
    A layout never changes, so the last two looked at are kept: the screen, the summary, the tables
    and the picture all ask for the same.
    """
    found = (_driving(layout, i) for i in range(len(layout.plan.operations)))
    return tuple(one for one in found if one is not None)


def _driving(layout: Layout, index: int) -> Driving | None:
    """Return how one operation is driven; None where it drives nothing."""
    plan, operation = layout.plan, layout.plan.operations[index]
    machine = plan.machine(operation.machine)
    gates = gateways(layout, index)
    legs = _legs(layout, index, gates)
    if not legs:
        return None
    orders = tuple(leg for leg in legs if isinstance(leg, Order))
    rounds = tuple(leg for leg in legs if isinstance(leg, RoundsOrder))
    doubled = reduce(add, (doubled_ground(layout, one.block, index) for one in orders), NOTHING)
    load = load_of(layout, operation, doubled.own) if orders else None
    carting = None if load is None else carting_of(layout, orders, load)
    driven = _driven(orders, rounds, carting)
    return Driving(
        operation.name,
        machine,
        orders,
        rounds,
        driven,
        hours_driven(machine, driven),
        doubled.own + driven.rounds * machine.working_width,
        doubled,
        carting,
        fuel_of(plan, operation),
        efficiency_of(plan, operation),
        bool(len(gates)),
    )


def _legs(layout: Layout, index: int, gates: Floats) -> list[Leg]:
    """
    Return the orders of one operation on rows and rounds, in the order driven.

    The nearest block is the next. Rounds on a headland that blocks share come before the first of
    them or after the last; those of a block's own headland before or after its rows.
    """
    machine = layout.plan.machine(layout.plan.operations[index].machine)
    out = NOWHERE if machine.far_side_access else gates
    last = begun_from(layout, index, -1, out)
    waiting, at, done = _blocks(layout, index), gates, 0
    legs = _some(rounds_order(layout, (index, -1), ("first", 0), (at, NOWHERE)))
    while waiting:
        at = _stopped(layout, legs[-1]) if legs else at
        block = min(waiting, key=lambda b: _away(layout, b, at))
        waiting.remove(block)
        leave = NOWHERE if waiting else out if last is None else last
        legs += _on_block(layout, (index, block), done, (at, leave))
        done = sum(isinstance(leg, Order) for leg in legs)
    if last is not None:
        legs[-1:] = [without_way_out(leg) for leg in legs[-1:]]
        at = _stopped(layout, legs[-1]) if legs else at
        legs += _some(rounds_order(layout, (index, -1), ("last", done), (at, out)))
    return _from_rounds(legs, turner_of(layout, machine).radius)


def _some(leg: Leg | None) -> list[Leg]:
    """Return a list of what there is."""
    return [] if leg is None else [leg]


def _blocks(layout: Layout, index: int) -> list[int]:
    """Return the blocks that an operation works, on rows or on rounds of their own."""
    passes, rounds = layout.passes, layout.rounds
    own = rounds.block[(rounds.operation == index) & (rounds.block >= 0)]
    both = np.concatenate([passes.block[passes.operation == index], own])
    return [int(block) for block in np.unique(both)]


def _on_block(
    layout: Layout, of: tuple[int, int], done: int, places: tuple[Floats, Floats]
) -> list[Leg]:
    """Return what is driven on one block; ``places`` are where it comes from and goes to."""
    (index, block), (at, leave) = of, places
    legs = _some(rounds_order(layout, of, ("first", done), (at, NOWHERE)))
    at = _stopped(layout, legs[-1]) if legs else at
    last = begun_from(layout, index, block, leave)
    rows = order_of(layout, block, index, Doors(at, leave if last is None else last))
    if last is None:
        return legs + _some(rows)
    if rows is not None:
        legs.append(without_way_out(rows))
        at = _stopped(layout, rows)
    done += rows is not None
    return legs + _some(rounds_order(layout, of, ("last", done), (at, leave)))


def _from_rounds(legs: Sequence[Leg], radius: float) -> list[Leg]:
    """Return legs, rows that follow rounds come to by a quarter turn."""
    before: list[Leg | None] = [None, *legs][: len(legs)]
    return [
        come_to(leg, radius) if isinstance(leg, Order) and isinstance(one, RoundsOrder) else leg
        for one, leg in zip(before, legs, strict=True)
    ]


def _away(layout: Layout, block: int, places: Floats) -> float:
    """Return how far a block is from the nearest of some places; 0 where there is none. [m]"""
    if not len(places):
        return 0.0
    return float(shapely.distance(layout.blocks[block].land, shapely.points(places)).min())


def _stopped(layout: Layout, leg: Leg) -> Floats:
    """Return where an order ends, shape (1, 2). [m]"""
    if isinstance(leg, RoundsOrder):
        return leg.stop[-1:, :2]
    ends = layout.passes.lines.ends(int(leg.piece[-1]))
    return ends[0:1] if leg.backward[-1] else ends[1:2]


def _driven(
    orders: Sequence[Order], rounds: Sequence[RoundsOrder], carting: Carting | None
) -> Driven:
    """Return what an operation drives."""
    every: list[Leg] = [*orders, *rounds]
    stops = STOPS * sum(int((leg.turn == Turn.THREE_POINT).sum()) for leg in every)
    return Driven(
        sum(float(order.length.sum()) for order in orders),
        sum(float(one.length.sum()) for one in rounds),
        sum(float(leg.turn_length[1:].sum()) for leg in every),
        carting.length if carting is not None else 0.0,
        stops,
        carting.loads if carting is not None else 0,
        sum(leg.way for leg in every),
        sum(float(one.corners.sum()) for one in rounds),
    )
