"""The edges taken as ends, shared out among blocks and tiers that lie along them."""

from collections.abc import Sequence
from dataclasses import replace

import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.layout.headlands.edges import EdgeRun

__all__ = ["ends_beside"]

TOUCH = 0.05
"""An edge this near to land lies along it. Our own choice. [m]"""

LEAST = 1.0
"""Less edge than this is a corner that two pieces of land share. Our own choice. [m]"""


def ends_beside(runs: Sequence[EdgeRun], land: BaseGeometry) -> tuple[EdgeRun, ...]:
    """
    Return the parts of runs of edges that a piece of land lies along.

    Parameters
    ----------
    runs : sequence of EdgeRun
        Edges of a larger piece of land.
    land : Polygon or MultiPolygon
        A part of that land. [m]

    Returns
    -------
    runs : tuple of EdgeRun
        A run that lies along other land too is cut to what is beside this; its side, angle and
        corners stay those of the whole.
    """
    if not runs or land.is_empty:
        return ()
    grown = shapely.buffer(land, TOUCH)
    return tuple(own for run in runs for own in _own(run, grown))


def _own(run: EdgeRun, grown: BaseGeometry) -> list[EdgeRun]:
    """Return a run as it is where all of it lies in grown land, else the parts that do."""
    met = shapely.intersection(run.line, grown)
    if met.length >= run.line.length - LEAST:
        return [run]
    merged = shapely.line_merge(met) if met.geom_type == "MultiLineString" else met
    parts = [part for part in shapely.get_parts(merged) if part.length >= LEAST]
    return [replace(run, line=part, length=float(part.length)) for part in parts]
