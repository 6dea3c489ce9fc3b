"""
Which ground gets which rate, widened for a terminal to look up.

An outer row stands a few centimetres from its band's edge, so a pass a hand's breadth off line
would take it into the neighbour's rate of nought. Ground of a rate is therefore widened by a slack,
but only into land that the same operation does not sow at all; see
`geolayout.handover.files.prescription`. A rate is what the machine is set to: ground that an
operation works twice, half the seed each way, has half of the plan's.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.seed.amounts import seed_amounts
from geolayout.errors import LayoutError
from geolayout.handover.files.spreadground import Spread, spreads, whole_pieces
from geolayout.layout.build import Layout
from geolayout.layout.shapes.overlay import common, joined, on_grid, without
from geolayout.plan.stand import Sowing, rate_of

__all__ = [
    "SLACK",
    "UNITS",
    "OperationRates",
    "Product",
    "RateGround",
    "SownBy",
    "operation_rates",
    "products_of",
    "rate_ground",
    "sown_by_operation",
]

SLACK = 0.20
"""How far a rate reaches into land the operation does not sow: twice a hand's breadth. [m]"""

CORNER = 2.0
"""How far a widened corner may reach, in slacks; more than a round one. [-]"""

UNITS = {"plants_per_ha": "plants/ha", "seeds_per_m2": "seeds/m2", "kg_per_ha": "kg/ha"}
"""How the unit of a rate is written."""

RATE_DECIMALS = 3
"""Decimals of a rate in the file, so that equal rates are one zone. [-]"""

SUM_TOLERANCE = 1e-6
"""Share of the field by which the zones may miss it. [-]"""

R = TypeVar("R", float, tuple[float, ...])


@dataclass(frozen=True, slots=True, eq=False)
class RateGround(Generic[R]):
    """
    Ground with one rate, or with one rate of each of several products.

    Attributes
    ----------
    rate : float or tuple of float
        0 where nothing is sown.
    true : Polygon or MultiPolygon
        The ground that is meant. [m]
    wide : Polygon or MultiPolygon
        The ground as the terminal gets it, widened or narrowed by the slack. [m]
    """

    rate: R
    true: BaseGeometry
    wide: BaseGeometry


@dataclass(frozen=True, slots=True)
class SownBy:
    """
    Pieces of ground on which one sowing is sown.

    Attributes
    ----------
    sowing : Sowing
        What is sown.
    pieces : tuple of int
        Indices into the layout's ground, or into its parts where it is crossed with rate zones.
    factors : tuple of float
        By what the rate zones multiply its rate on each. [-]
    """

    sowing: Sowing
    pieces: tuple[int, ...]
    factors: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Product:
    """
    What an operation sows, spreads or sprays.

    Attributes
    ----------
    name, unit : str
        Its name and the unit of its rates, one of ``UNITS`` or "l/ha"; "" where a rate is missing.
    amounts : mapping of int to float
        The rate that the machine is set to, by piece of ground.
    """

    name: str
    unit: str
    amounts: Mapping[int, float]


@dataclass(frozen=True, slots=True, eq=False)
class OperationRates:
    """
    The rates of all products of one operation, in zones that they share.

    Attributes
    ----------
    operation : str
        Its name.
    products : tuple of Product
        Those with a rate wherever they are sown.
    totals : tuple of float
        How much of each product it takes, as the summary has it: rate times true ground, less
        wheel tracks left out. [plants, seeds, kg or l]
    zones : tuple of RateGround
        One rate for each product; the last zone has nought of all.
    """

    operation: str
    products: tuple[Product, ...]
    totals: tuple[float, ...]
    zones: tuple[RateGround[tuple[float, ...]], ...]


def sown_by_operation(layout: Layout) -> Iterator[tuple[str, list[SownBy]]]:
    """Return for each operation that sows something where it sows what."""
    pieces: dict[str, list[int]] = {}
    for i, name in enumerate(layout.ground.stand[whole_pieces(layout)].tolist()):
        pieces.setdefault(name, []).append(i)
    stands = {name: layout.plan.stand(name) for name in pieces}
    for operation in layout.plan.operations:
        sown = [
            SownBy(sowing, tuple(pieces[name]), _factors(layout, sowing, pieces[name]))
            for name, stand in stands.items()
            if stand is not None
            for sowing in stand.sowing
            if sowing.operation == operation.name
        ]
        if sown:
            yield operation.name, sown


def _factors(layout: Layout, sowing: Sowing, pieces: Sequence[int]) -> tuple[float, ...]:
    """Return by what the rate of a sowing is multiplied on each piece."""
    asked = layout.plan.rate_zones
    if layout.zones is None or asked is None:
        return (1.0,) * len(pieces)
    by_class = np.array(asked.factors(sowing))
    return tuple(by_class[layout.zones.zone[np.array(pieces, dtype=int)]].tolist())


def products_of(layout: Layout, sown: Sequence[SownBy]) -> list[Product]:
    """
    Return each product, its unit and its rate by piece of ground.

    The unit is "" where the rate is missing on some ground: nought there would be a lie. Rates
    of one product in two units are two products.
    """
    known: dict[tuple[str, str], dict[int, float]] = {}
    unknown = {entry.sowing.crop for entry in sown if rate_of(entry.sowing) is None}
    whole = whole_pieces(layout).tolist()
    for entry in sown:
        rate = rate_of(entry.sowing)
        crop = entry.sowing.crop
        if rate is None or crop in unknown:
            known.setdefault((crop, ""), {})
            continue
        amounts = known.setdefault((crop, UNITS[rate.unit]), {})
        for piece, factor in zip(entry.pieces, entry.factors, strict=True):
            set_to = rate.amount * factor / _ways(layout, entry.sowing, whole[piece])
            amounts[piece] = round(amounts.get(piece, 0.0) + set_to, RATE_DECIMALS)
    return [Product(*key, amounts) for key, amounts in known.items()]


def _ways(layout: Layout, sowing: Sowing, piece: int) -> int:
    """Return how often a piece of ground is sown; a headland is never crossed."""
    on_bands = layout.ground.kind[piece] in ("band", "tree band")
    return layout.plan.ways_of(sowing) if on_bands else 1


def operation_rates(layout: Layout, slack: float = SLACK) -> tuple[OperationRates, ...]:
    """
    Return the rates of every operation that sows, spreads or sprays something with a rate.

    Parameters
    ----------
    layout : Layout
        A layout.
    slack : float, default 0.20
        How far rates of seed reach into land that their operation does not sow; what is spread or
        sprayed keeps to its ground. [m]

    Returns
    -------
    rates : tuple of OperationRates
        In the order of the plan's operations.
    """
    order = [operation.name for operation in layout.plan.operations]
    found = [*_sown_rates(layout, slack), *_spread_rates(layout)]
    return tuple(sorted(found, key=lambda one: order.index(one.operation)))


def _sown_rates(layout: Layout, slack: float) -> Iterator[OperationRates]:
    """Return the rates of every operation that sows something with a rate."""
    totals = _totals(layout)
    for operation, sown in sown_by_operation(layout):
        products = tuple(product for product in products_of(layout, sown) if product.unit)
        if products:
            pieces = sorted({piece for entry in sown for piece in entry.pieces})
            rates = {
                piece: tuple(product.amounts.get(piece, 0.0) for product in products)
                for piece in pieces
            }
            nought = (0.0,) * len(products)
            sown_rates = {piece: rate for piece, rate in rates.items() if rate != nought}
            zones = rate_ground(layout, sown_rates, pieces, slack, nought)
            taken = tuple(totals.get((operation, one.name, one.unit), 0.0) for one in products)
            yield OperationRates(operation, products, taken, zones)


def _spread_rates(layout: Layout) -> Iterator[OperationRates]:
    """Return the rates of every operation that spreads or sprays something."""
    found: dict[str, list[Spread]] = {}
    for one in spreads(layout):
        found.setdefault(one.operation, []).append(one)
    for operation, both in found.items():
        products = tuple(Product(one.operation, one.unit, one.amounts) for one in both)
        pieces = sorted(both[0].amounts)
        rates = {piece: tuple(one.amounts[piece] for one in both) for piece in pieces}
        zones = rate_ground(layout, rates, pieces, 0.0, (0.0,) * len(both))
        yield OperationRates(operation, products, tuple(one.total for one in both), zones)


def _totals(layout: Layout) -> dict[tuple[str, str, str], float]:
    """Return how much is sown, by operation, crop and unit of the rate."""
    totals: dict[tuple[str, str, str], float] = {}
    for one in seed_amounts(layout):
        stand = layout.plan.stand(one.stand)
        sowing = stand.find(one.sowing) if stand is not None else None
        operation = sowing.operation if sowing is not None else None
        if one.amount is not None and operation is not None:
            key = operation, one.crop, UNITS[one.rate_unit]
            totals[key] = totals.get(key, 0.0) + one.amount
    return totals


def rate_ground(
    layout: Layout, rates: Mapping[int, R], pieces: Sequence[int], slack: float, nought: R
) -> tuple[RateGround[R], ...]:
    """
    Return the ground of every rate, widened into what is not sown.

    Parameters
    ----------
    layout : Layout
        A layout.
    rates : mapping of int to R
        Rate by piece of ground.
    pieces : sequence of int
        All ground that the operation sows.
    slack : float
        How far a rate reaches into land that is not sown. [m]
    nought : R
        The rate elsewhere.

    Returns
    -------
    ground : tuple of RateGround
        The highest rate first, nought last; together they are the field, without overlap.

    Raises
    ------
    LayoutError
        If they are not.
    """
    land = on_grid(layout.field.land)
    zones: list[RateGround[R]] = []
    for rate in sorted(set(rates.values()), reverse=True):
        mine = [piece for piece, amount in rates.items() if amount == rate]
        true = _union(layout, mine)
        reach = shapely.buffer(true, slack, join_style="mitre", mitre_limit=CORNER)
        others = _union(layout, sorted(set(pieces) - set(mine)))
        taken = joined([others, *(zone.wide for zone in zones)])
        # Taken from the reach in one go: ground put together of two overlays has hairs between.
        zones.append(RateGround(rate, true, without(common(reach, land), taken)))
    bare = without(land, joined([zone.true for zone in zones]))
    left = without(land, joined([zone.wide for zone in zones]))
    zones.append(RateGround(nought, bare, left))
    _check_sum([zone.true for zone in zones], land)
    _check_sum([zone.wide for zone in zones], land)
    return tuple(zones)


def _check_sum(areas: Sequence[BaseGeometry], land: BaseGeometry) -> None:
    """Stop before a terminal gets two rates on one piece of ground: overlays can go wrong."""
    total = sum(area.area for area in areas)
    if abs(total - land.area) > SUM_TOLERANCE * land.area:
        raise LayoutError(
            f"The rates of a product cover {total:.1f} m2, the field {land.area:.1f} m2.",
            "Some ground would get two rates, or none.",
            "Move the bands by a centimetre with `start`, and tell us of this field.",
        )


def _union(layout: Layout, pieces: Sequence[int]) -> BaseGeometry:
    """Return pieces of ground as one."""
    ground = layout.ground if layout.zones is None else layout.zones
    return joined(list(ground.geometry[np.array(pieces, dtype=int)]))
