"""What was put out against what was to be, product by product and strip by strip."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.appraisal.worked.done import Strand, WorkDone, halves, headings, moving
from geolayout.layout.build import Layout

__all__ = ["PlannedRate", "RateAsSown", "RatesAsSown", "compare_rates"]

SLIVER = 0.05
"""A strip of which no more than this share was worked was met by passes off line. Ours. [-]"""

CRUMB = 1e-3
"""A strip of which no more than this share was worked was not worked: rounding. [-]"""

PER_M2 = {"plants/ha": 1e-4, "seeds/m2": 1.0, "kg/ha": 1e-4, "l/ha": 1e-4}
"""What a rate of 1 puts out on a square metre. [plants, seeds or kg]"""

Key = tuple[str, str, int, str]


@dataclass(frozen=True, slots=True)
class PlannedRate:
    """
    One product of an operation, as planned.

    Attributes
    ----------
    product, unit : str
        Its name and the unit of its rates: plants/ha, seeds/m2 or kg/ha.
    amounts : mapping of int to float
        Rate by piece of ground.
    """

    product: str
    unit: str
    amounts: Mapping[int, float]


@dataclass(frozen=True, slots=True)
class RateAsSown:
    """
    One product on one strip, as planned and as recorded.

    Attributes
    ----------
    product, unit : str
        Its name and the unit of its rates.
    block, band : str
        The strip's block and band; the kind of ground where it is no band.
    number : int
        Its number in the block.
    planned_rate : float
        The area's mean; 0 where the product was not to go. [unit]
    mean_rate, least_rate, most_rate : float or None
        Recorded there, the mean by area; None where nothing was. [unit]
    worked_m2 : float
        Ground that the record covers there, twice where it was worked twice. [m2]
    planned, put_out : float
        How much was to go there, and how much went. [plants, seeds or kg]
    """

    product: str
    unit: str
    block: str
    band: str
    number: int
    planned_rate: float
    mean_rate: float | None
    least_rate: float | None
    most_rate: float | None
    worked_m2: float
    planned: float
    put_out: float


@dataclass(frozen=True, slots=True)
class RatesAsSown:
    """
    What was put out.

    Attributes
    ----------
    strips : tuple of RateAsSown
        By product, then strip by strip.
    beside : dict of str to float
        By product, how much went where none was to go. [plants, seeds or kg]
    unrated_m2 : float
        Ground worked without a rate in the record. [m2]
    """

    strips: tuple[RateAsSown, ...]
    beside: dict[str, float]
    unrated_m2: float


@dataclass(frozen=True, slots=True, eq=False)
class _Spots:
    """Pieces of ground with the rate recorded on each; every column has one entry a piece."""

    ground: NDArray[np.object_]
    rate: NDArray[np.float64]
    product: NDArray[np.object_]


def compare_rates(layout: Layout, planned: Sequence[PlannedRate], work: WorkDone) -> RatesAsSown:
    """
    Hold the rates of work done against the plan.

    Parameters
    ----------
    layout : Layout
        The layout.
    planned : sequence of PlannedRate
        Every product of the operation.
    work : WorkDone
        What was recorded; its products are those of the plan, its rates in their units.

    Returns
    -------
    rates : RatesAsSown
    """
    spots = _spots(work)
    rated = np.isfinite(spots.rate)
    strips: list[RateAsSown] = []
    beside: dict[str, float] = {}
    for one in planned:
        mine = np.flatnonzero(rated & (spots.product == one.product))
        shared = _shared(layout, spots.ground[mine])
        found, astray = _by_strip(layout, one, shared, spots.rate[mine])
        strips += found
        beside[one.product] = astray
    return RatesAsSown(tuple(strips), beside, float(shapely.area(spots.ground[~rated]).sum()))


def _spots(work: WorkDone) -> _Spots:
    """Return the ground of every place, and every area, with its rate."""
    strands = [one for one in map(moving, work.strands) if len(one.xy) > 1]
    ground = [_oblongs(one) for one in strands]
    rate = [one.rate for one in strands]
    product = [np.full(len(one.xy), one.product, dtype=object) for one in strands]
    areas = np.array([one.ground for one in work.areas], dtype=object)
    return _Spots(
        np.concatenate([np.empty(0, dtype=object), *ground, areas]),
        np.concatenate([np.empty(0), *rate, [one.rate for one in work.areas]]),
        np.concatenate(
            [np.empty(0, dtype=object), *product, np.array([a.product for a in work.areas], object)]
        ),
    )


def _oblongs(strand: Strand) -> NDArray[np.object_]:
    """Return the ground that each place of a strand stands for."""
    way = headings(strand)
    back, on = (half[:, None] * way for half in halves(strand))
    aside = strand.width / 2.0 * np.stack([way[:, 1], -way[:, 0]], axis=1)
    corners = [strand.xy - back - aside, strand.xy - back + aside]
    corners += [strand.xy + on + aside, strand.xy + on - aside]
    return np.asarray(shapely.polygons(np.stack(corners, axis=1)), dtype=object)


def _shared(
    layout: Layout, spots: NDArray[np.object_]
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]:
    """Return which spot shares how much with which piece of ground."""
    ground = layout.ground.geometry
    spot, piece = shapely.STRtree(ground).query(spots, "intersects")
    area = shapely.area(shapely.intersection(spots[spot], ground[piece]))
    there = area > 0.0
    return spot[there], piece[there], area[there]


def _by_strip(
    layout: Layout,
    planned: PlannedRate,
    shared: tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]],
    rate: NDArray[np.float64],
) -> tuple[list[RateAsSown], float]:
    """Return one product strip by strip, and how much of it went where none was to go."""
    spot, piece, area = shared
    per_m2 = PER_M2[planned.unit]
    met = np.unique(piece).tolist()
    strips: dict[Key, list[int]] = {}
    for i in sorted({*planned.amounts, *met}):
        strips.setdefault(_strip(layout, i), []).append(i)
    wanted = np.array([i for i, amount in planned.amounts.items() if amount > 0.0], dtype=int)
    astray = ~np.isin(piece, wanted)
    beside = float((rate[spot] * area)[astray].sum()) * per_m2
    found = []
    for key, pieces in strips.items():
        mine = np.isin(piece, pieces)
        whole = shapely.area(layout.ground.geometry[pieces])
        amount = np.array([planned.amounts.get(i, 0.0) for i in pieces])
        was_to_go = float((amount * whole).sum())
        if was_to_go == 0.0 and area[mine].sum() <= SLIVER * whole.sum():
            continue
        here, ground = rate[spot[mine]], area[mine]
        worked = float(ground.sum())
        met_it = worked > CRUMB * float(whole.sum())
        put_out = float((here * ground).sum())
        found.append(
            RateAsSown(
                planned.product,
                planned.unit,
                *key[:3],
                was_to_go / float(whole.sum()),
                put_out / worked if met_it else None,
                float(here.min()) if met_it else None,
                float(here.max()) if met_it else None,
                worked,
                was_to_go * per_m2,
                put_out * per_m2,
            )
        )
    return found, beside


def _strip(layout: Layout, piece: int) -> Key:
    """Return what a piece of ground belongs to: a band by its number, else its kind."""
    ground = layout.ground
    b = int(ground.block[piece])
    name = layout.blocks[b].name if b >= 0 else ""
    kind = str(ground.kind[piece])
    if int(ground.cut[piece]) < 0:
        return name, kind, 0, kind
    return name, str(ground.band[piece]), int(ground.number[piece]), kind
