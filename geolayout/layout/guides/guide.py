"""
Guides: a family of level lines that everything else is cut and labelled by.

A guide gives, for any point, its signed distance square to a reference (``across``, t), its order
along it (``along``, s) and its direction there, and for any t the line. Whatever the family, the
rest of the layout asks only these questions.

A guide also turns the land: in the turned frame x is t and y is s, bands are upright rectangles
and rows are upright lines. Across, turned land has its true measure, whatever the family. Along,
and in area, it has it for straight guides only; ``run`` and ``area`` give the measure on the
ground.
"""

from dataclasses import dataclass
from typing import Protocol, TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.layout.shapes.lines import Lines

__all__ = ["Across", "Guides", "Straight"]

REACH = 1.0
"""How far a guide line reaches beyond the land, at least. [m]"""

Points = NDArray[np.float64]
G = TypeVar("G", BaseGeometry, NDArray[np.object_])


class Guides(Protocol):
    """A family of level lines."""

    def across(self, xy: Points) -> Points:
        """Return t of each point, shape (n,): its distance from the reference line. [m]"""

    def along(self, xy: Points) -> Points:
        """Return s of each point, shape (n,): its order along the reference. [m]"""

    def direction(self, xy: Points) -> Points:
        """Return the direction at each point, shape (n,), clockwise from frame north. [degrees]"""

    def span(self, land: BaseGeometry) -> tuple[float, float]:
        """Return the least and greatest t of the land. [m]"""

    def lines(self, t: Points, land: BaseGeometry) -> NDArray[np.object_]:
        """Return the lines at each t, reaching beyond the land, shape (n,)."""

    def paths(self, t: Points, s0: Points, s1: Points) -> Lines:
        """Return the line at each t from s0 to s1, shape (n,)."""

    def run(self, t: Points, s: Points) -> Points:
        """Return how far along the line at each t a place s lies, shape (n,). [m]"""

    def from_run(self, t: Points, run: Points) -> Points:
        """Return the s of the place that lies so far along the line at each t, shape (n,). [m]"""

    def to_turned(self, xy: Points) -> Points:
        """Return (t, s) of points, shape (..., 2). [m]"""

    def from_turned(self, ts: Points) -> Points:
        """Return x, y of points given by (t, s), shape (..., 2). [m]"""

    def turn(self, geometry: G) -> G:
        """Return geometries in the turned frame, x = t and y = s."""

    def turn_back(self, geometry: G) -> G:
        """Return geometries from the turned frame."""

    def area(self, turned: BaseGeometry) -> float:
        """Return the area on the ground of a geometry in the turned frame. [m2]"""

    @property
    def square(self) -> "Across":
        """Lines square to these: their t is the s of these."""


class Across(Protocol):
    """As much of a family of lines as land is cut by."""

    def across(self, xy: Points) -> Points:
        """Return t of each point, shape (n,). [m]"""

    def lines(self, t: Points, land: BaseGeometry) -> NDArray[np.object_]:
        """Return the lines at each t, reaching beyond the land, shape (n,)."""


@dataclass(frozen=True, slots=True)
class Straight:
    """
    Parallel straight lines.

    Attributes
    ----------
    x, y : float
        A point of the line t = 0, where s = 0. [m]
    bearing : float
        Direction in which s grows, clockwise from frame north. [degrees]
    side : float
        1 where t grows to the right of the bearing, -1 where it grows to the left.
    flat : float
        Metres on the plan for a metre of t: below 1 where widths are measured along a slope. [-]
    """

    x: float
    y: float
    bearing: float
    side: float = 1.0
    flat: float = 1.0

    @property
    def forward(self) -> Points:
        """Unit vector in which s grows, shape (2,)."""
        angle = np.radians(self.bearing)
        return np.array([np.sin(angle), np.cos(angle)])

    @property
    def sideways(self) -> Points:
        """Unit vector in which t grows, shape (2,)."""
        east, north = self.forward
        return self.side * np.array([north, -east])

    @property
    def square(self) -> "Straight":
        """Lines square to these: their t is the s of these."""
        return Straight(self.x, self.y, self.bearing - 90.0)

    def across(self, xy: Points) -> Points:
        """Return t of each point, shape (n,). [m]"""
        return np.asarray((xy - [self.x, self.y]) @ self.sideways / self.flat)

    def along(self, xy: Points) -> Points:
        """Return s of each point, shape (n,). [m]"""
        return np.asarray((xy - [self.x, self.y]) @ self.forward)

    def direction(self, xy: Points) -> Points:
        """Return the bearing for each point, shape (n,). [degrees]"""
        return np.full(len(xy), self.bearing)

    def span(self, land: BaseGeometry) -> tuple[float, float]:
        """Return the least and greatest t of the land. [m]"""
        t = self.across(shapely.get_coordinates(land))
        return float(t.min()), float(t.max())

    def lines(self, t: Points, land: BaseGeometry) -> NDArray[np.object_]:
        """Return the lines at each t, reaching beyond the land, shape (n,)."""
        s = self.along(shapely.get_coordinates(land))
        reach = np.array([s.min() - REACH, s.max() + REACH])
        ts = np.stack(np.broadcast_arrays(np.asarray(t)[:, None], reach), axis=-1)
        return np.asarray(shapely.linestrings(self.from_turned(ts)), dtype=object)

    def paths(self, t: Points, s0: Points, s1: Points) -> Lines:
        """Return the line at each t from s0 to s1, shape (n,)."""
        start = self.from_turned(np.stack([t, s0], axis=1))
        return Lines.two_point(start, self.from_turned(np.stack([t, s1], axis=1)))

    def run(self, t: Points, s: Points) -> Points:  # noqa: ARG002  (the same for every line)
        """Return s itself: along straight lines it is a length. [m]"""
        return s

    def from_run(self, t: Points, run: Points) -> Points:  # noqa: ARG002  (as above)
        """Return the length itself: along straight lines it is s. [m]"""
        return run

    def to_turned(self, xy: Points) -> Points:
        """Return (t, s) of points, shape (..., 2). [m]"""
        matrix = np.stack([self.sideways / self.flat, self.forward], axis=1)
        return np.asarray((xy - [self.x, self.y]) @ matrix)

    def from_turned(self, ts: Points) -> Points:
        """Return x, y of points given by (t, s), shape (..., 2). [m]"""
        matrix = np.stack([self.sideways * self.flat, self.forward])
        return np.asarray(ts @ matrix + [self.x, self.y])

    def turn(self, geometry: G) -> G:
        """Return geometries in the turned frame, x = t and y = s."""
        turned: G = shapely.transform(geometry, self.to_turned)
        return turned

    def turn_back(self, geometry: G) -> G:
        """Return geometries from the turned frame."""
        straight: G = shapely.transform(geometry, self.from_turned)
        return straight

    def area(self, turned: BaseGeometry) -> float:
        """Return the area on the plan of a geometry in the turned frame. [m2]"""
        return float(turned.area) * self.flat
