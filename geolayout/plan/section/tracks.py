"""Wheel tracks across the section, and the rows that are left out under them."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from geolayout.plan.machines import Machine
from geolayout.plan.plan import Plan
from geolayout.plan.section.passes import PassPlaces
from geolayout.plan.section.rows import RowPlaces
from geolayout.plan.slack import EDGE_SLACK
from geolayout.plan.stand import Stand

__all__ = ["TOUCH", "sown_places", "track_places", "tracks_beside"]

TOUCH = EDGE_SLACK / 10
"""A row this near the edge of a track is beside it. [m]"""


def track_places(plan: Plan, operation: int, passes: PassPlaces) -> NDArray[np.float64]:
    """
    Return the middles of the wheel tracks of an operation, two a pass.

    Parameters
    ----------
    plan : Plan
        The plan; the operation's machine has a track width.
    operation : int
        Index of the operation in the plan.
    passes : PassPlaces
        Passes across the section.

    Returns
    -------
    t : ndarray, shape (2 n,)
        Distances from the anchor; none where the machine has no track width. [m]
    """
    machine = plan.machine(plan.operations[operation].machine)
    mine = passes.operation == operation
    centre = (passes.reach0 + passes.reach1)[mine] / 2
    return np.sort(tracks_beside(centre, machine))


def tracks_beside(centres: NDArray[np.float64], machine: Machine) -> NDArray[np.float64]:
    """Return the middles of the wheel tracks beside centres, none without a track width. [m]"""
    if machine.track_width is None:
        return np.empty(0)
    half = machine.track_width / 2
    return np.concatenate([centres - half, centres + half])


def sown_places(
    plan: Plan, stands: Sequence[Stand | None], rows: RowPlaces, passes: PassPlaces
) -> NDArray[np.bool_]:
    """
    Tell which row places are sown, leaving out the wheel tracks that each sowing skips.

    Parameters
    ----------
    plan : Plan
        The plan.
    stands : sequence of Stand or None
        What grows on each cut.
    rows : RowPlaces
        Rows across the section.
    passes : PassPlaces
        Passes across the section.

    Returns
    -------
    sown : ndarray of bool, shape (n,)
    """
    sown = np.ones(len(rows.t), dtype=bool)
    for i, operation in enumerate(plan.operations):
        skipping = _skipping(stands, rows, operation.name)
        if not skipping.any():
            continue
        tyre = plan.machine(operation.machine).tyre_width or 0.0
        tracks = track_places(plan, i, passes)
        sown[skipping] &= _distance(rows.t[skipping], tracks) >= tyre / 2 - TOUCH
    return sown


def _skipping(stands: Sequence[Stand | None], rows: RowPlaces, operation: str) -> NDArray[np.bool_]:
    """Tell which rows belong to a sowing that skips an operation's tracks."""
    skips = {
        (i, j)
        for i, stand in enumerate(stands)
        for j, sowing in enumerate(stand.sowing if stand is not None else ())
        if operation in sowing.skip
    }
    if not skips:
        return np.zeros(len(rows.t), dtype=bool)
    pairs = zip(rows.cut.tolist(), rows.sowing.tolist(), strict=True)
    return np.array([pair in skips for pair in pairs], dtype=bool)


def _distance(t: NDArray[np.float64], places: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how far each t lies from the nearest of sorted places. [m]"""
    if not len(places):
        return np.full(len(t), np.inf)
    edges = np.concatenate([[-np.inf], places, [np.inf]])
    right = np.searchsorted(places, t)
    return np.asarray(np.minimum(t - edges[right], edges[right + 1] - t))
