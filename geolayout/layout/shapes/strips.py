"""Strips of turned land: how far ground reaches along each."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

__all__ = ["reaches"]

CRUMB_AREA = 1e-6
"""Ground below this is rounding, and no reason to drive anywhere. [m2]"""


def reaches(
    turned: BaseGeometry, t0: NDArray[np.float64], t1: NDArray[np.float64]
) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.float64]]:
    """
    Return how far ground reaches along each strip of turned land.

    Parameters
    ----------
    turned : Polygon or MultiPolygon
        Land with x = t and y = s. [m]
    t0, t1 : ndarray, shape (n,)
        Edges of the strips. [m]

    Returns
    -------
    strip : ndarray of int, shape (m,)
        The strip of each stretch, never falling.
    s0, s1 : ndarray, shape (m,)
        Stretches that hold ground, apart from each other. [m]
    """
    if turned.is_empty or not len(t0):
        return np.empty(0, dtype=np.int64), np.empty(0), np.empty(0)
    low, high = turned.bounds[1] - 1, turned.bounds[3] + 1
    edges = zip(t0.tolist(), t1.tolist(), strict=True)
    clipped = [shapely.clip_by_rect(turned, a, low, b, high) for a, b in edges]
    parts, strip = shapely.get_parts(np.array(clipped, dtype=object), return_index=True)
    keep = shapely.area(parts) > CRUMB_AREA
    bounds = shapely.bounds(parts[keep])
    return _merged(strip[keep].astype(np.int64), bounds[:, 1], bounds[:, 3])


def _merged(
    strip: NDArray[np.int64], s0: NDArray[np.float64], s1: NDArray[np.float64]
) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.float64]]:
    """Join the stretches of each strip that overlap: ground side by side is one drive."""
    order = np.lexsort((s0, strip))
    found: list[list[float]] = []
    labels: list[int] = []
    for label, a, b in zip(strip[order], s0[order], s1[order], strict=True):
        if labels and labels[-1] == label and a <= found[-1][1]:
            found[-1][1] = max(found[-1][1], b)
        else:
            labels.append(int(label))
            found.append([float(a), float(b)])
    pairs = np.array(found, dtype=np.float64).reshape(-1, 2)
    return np.array(labels, dtype=np.int64), pairs[:, 0], pairs[:, 1]
