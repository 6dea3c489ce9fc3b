"""Carting: what an operation takes or gathers, where it runs out, and how far it goes to fill."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.appraisal.driving.filling import RunOut, Trip, run_outs, trips
from geolayout.appraisal.driving.order import Order, gateways
from geolayout.appraisal.driving.ways import trips_between
from geolayout.appraisal.seed.amounts import seed_amounts
from geolayout.appraisal.seed.need import seed_needs
from geolayout.appraisal.works import Work, work_of
from geolayout.layout.build import Layout
from geolayout.plan.machines import Operation

__all__ = ["Carting", "Load", "carting_of", "load_of"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Load:
    """
    What an operation takes or gathers, and what its machine holds of it.

    Attributes
    ----------
    per_ha : float
        On its own ground. [unit/ha]
    holds : float
        A full load. [unit]
    unit : {"kg", "l"}
        Of both.
    """

    per_ha: float
    holds: float
    unit: str


@dataclass(frozen=True, slots=True)
class Carting:
    """
    Loads of one operation.

    Attributes
    ----------
    load : Load
        What it holds.
    point : str
        Where it fills or tips: "fill point", "tip point" or "gateway"; "" where none is given.
    run_outs : tuple of RunOut
        Where it is empty, or full, if it drives until then; pieces count from 0 over all blocks.
    trips : tuple of Trip
        If it goes before the piece that it could not finish.
    length : float
        Driven for it, what the turn would have taken not counted off; 0 where no point is given.
        [m]
    """

    load: Load
    point: str
    run_outs: tuple[RunOut, ...]
    trips: tuple[Trip, ...]
    length: float

    @property
    def loads(self) -> int:
        """Loads fetched or brought away between the first and the last piece."""
        return sum(trip.loads for trip in self.trips)


def load_of(layout: Layout, operation: Operation, ground: float) -> Load | None:
    """
    Return what an operation takes on a hectare and its machine holds.

    Parameters
    ----------
    layout : Layout
        The layout.
    operation : Operation
        One of its plan's operations.
    ground : float
        That it works. [m2]

    Returns
    -------
    load : Load or None
        None where rate or hopper is not said.
    """
    machine = layout.plan.machine(operation.machine)
    if operation.litres_per_ha is not None and machine.tank is not None:
        return Load(operation.litres_per_ha, machine.tank, "l")
    if machine.hopper is None:
        return None
    rate = operation.kg_per_ha
    if rate is None:
        rate = _seed_rate(layout, operation, ground)
    return None if not rate else Load(rate, machine.hopper, "kg")


def carting_of(layout: Layout, orders: Sequence[Order], load: Load) -> Carting:
    """
    Return where an operation runs out, and its trips.

    Parameters
    ----------
    layout : Layout
        The layout.
    orders : sequence of Order
        How it drives each block, in turn.
    load : Load
        What it takes and holds.

    Returns
    -------
    carting : Carting
    """
    pieces = np.concatenate([order.piece for order in orders])
    length = np.concatenate([order.length for order in orders])
    passes = layout.passes
    per_metre = load.per_ha / 1e4 * (passes.t1 - passes.t0)[pieces]
    going = trips(length * per_metre, load.holds)
    name, points = _points(layout, orders[0].operation)
    driven = _length(layout, orders, going, points) if len(points) else 0.0
    return Carting(load, name, run_outs(length, per_metre, load.holds), going, driven)


def _seed_rate(layout: Layout, operation: Operation, ground: float) -> float | None:
    """Return the most seed of an operation on a hectare of its ground. [kg/ha]"""
    needs = [
        need
        for need in seed_needs(layout.plan, seed_amounts(layout))
        if need.place == "bands" and need.operation == operation.name
    ]
    if not needs or not ground:
        return None
    mass = 0.0
    for need in needs:
        if need.kg is None:
            return None
        mass += need.kg.high
    return mass / ground * 1e4


def _points(layout: Layout, operation: int) -> tuple[str, Floats]:
    """Return where an operation fills or tips: the points for it, else the gateways."""
    harvest = work_of(layout.plan, layout.plan.operations[operation]) is Work.HARVEST
    kind = "tip point" if harvest else "fill point"
    places = [
        shapely.get_coordinates(feature.geometry.centroid)[0]
        for feature in layout.field.features
        if feature.kind == kind
    ]
    if places:
        return kind, np.reshape(places, (-1, 2))
    gates = gateways(layout, operation)
    return ("gateway", gates) if len(gates) else ("", gates)


def _length(
    layout: Layout, orders: Sequence[Order], going: Sequence[Trip], points: Floats
) -> float:
    """Return how far all trips are: to a point, back, and there and back for further loads. [m]"""
    first, total = 0, 0.0
    for order in orders:
        own = [trip for trip in going if first <= trip.after + 1 < first + len(order)]
        total += _on_block(layout, order, [(t.after - first, t.loads) for t in own], points)
        first += len(order)
    return total


def _on_block(
    layout: Layout, order: Order, going: Sequence[tuple[int, int]], points: Floats
) -> float:
    """Return how far the trips of one block are. [m]"""
    if not going:
        return 0.0
    ends = layout.passes.lines.ends(order.piece)
    rows = np.arange(len(order))
    left, entered = ends[rows, 1 - order.backward], ends[rows, order.backward.astype(int)]
    after = np.array([one for one, _ in going])
    loads = np.array([loads for _, loads in going])
    places = np.concatenate([left[np.maximum(after, 0)], entered[after + 1], left[after + 1]])
    of, n, k = layout.blocks[order.block], len(going), len(points)
    width = (
        float(np.median(of.edges.width)) if of.edges is not None and len(of.edges.width) else 0.0
    )
    found = trips_between(np.concatenate([places, points]), of.land, of.headland, width)
    away = found.length[: 3 * n, 3 * n : 3 * n + k].reshape(3, n, k)
    between = (away[0] + away[1]).min(axis=1) * (after >= 0)
    again = 2.0 * away[2].min(axis=1) * (loads - (after >= 0))
    return float(between.sum() + again.sum())
