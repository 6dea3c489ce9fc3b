"""Many lines in two arrays, so that a million rows cost megabytes and not objects."""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any, TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray

__all__ = ["Lines", "frozen", "joined_columns", "whole_numbers"]

A = TypeVar("A", bound=NDArray[Any])


def frozen(array: A) -> A:
    """Return the array, no longer writeable."""
    array.setflags(write=False)
    return array


def whole_numbers(column: NDArray[Any]) -> NDArray[np.int32]:
    """Return a read-only column of whole numbers."""
    return frozen(np.asarray(column, dtype=np.int32))


def joined_columns(several: Sequence[Any], *but: str) -> dict[str, Any]:
    """Return the columns of several values of one kind joined, by name, all but some."""
    names = [field.name for field in fields(several[0]) if field.name not in but]
    return {
        name: frozen(np.concatenate([getattr(value, name) for value in several])) for name in names
    }


@dataclass(frozen=True, slots=True, eq=False)
class Lines:
    """
    Lines of any number of vertices.

    Attributes
    ----------
    xy : ndarray of float, shape (m, 2)
        Vertices of all lines, one line after the other. [m]
    offsets : ndarray of int, shape (n + 1,)
        Where each line begins in `xy`, and where the last one ends.
    """

    xy: NDArray[np.float64]
    offsets: NDArray[np.int64]

    def __len__(self) -> int:
        """Return the number of lines."""
        return len(self.offsets) - 1

    @classmethod
    def two_point(cls, start: NDArray[np.float64], end: NDArray[np.float64]) -> "Lines":
        """Return straight lines from starts to ends, each of shape (n, 2)."""
        xy = np.stack([start, end], axis=1).reshape(-1, 2)
        return cls(frozen(xy), frozen(np.arange(0, len(xy) + 1, 2)))

    @classmethod
    def joined(cls, several: Sequence["Lines"]) -> "Lines":
        """Return the lines of several sets, in order."""
        xy = np.concatenate([np.empty((0, 2)), *(lines.xy for lines in several)])
        counts = [np.diff(lines.offsets) for lines in several]
        offsets = np.concatenate([[0], np.cumsum(np.concatenate([np.empty(0, int), *counts]))])
        return cls(frozen(xy), frozen(offsets.astype(np.int64)))

    def ends(self, which: int | np.integer[Any] | NDArray[np.integer[Any]]) -> NDArray[np.float64]:
        """Return the first and the last vertex of a line, shape (2, 2), or of lines. [m]"""
        first, last = self.offsets[which], self.offsets[np.asarray(which) + 1] - 1
        return np.asarray(self.xy[np.stack([first, last], axis=-1)])

    @property
    def geometry(self) -> NDArray[np.object_]:
        """The lines as geometries, made afresh, shape (n,)."""
        index = np.repeat(np.arange(len(self)), np.diff(self.offsets))
        return np.asarray(shapely.linestrings(self.xy, indices=index), dtype=object)

    @property
    def length(self) -> NDArray[np.float64]:
        """Length of each line, shape (n,). [m]"""
        step = np.hypot(*np.diff(self.xy, axis=0).T) if len(self.xy) else np.empty(0)
        run = np.concatenate([[0.0], np.cumsum(step)])
        ends = np.maximum(self.offsets[1:] - 1, 0)
        return np.asarray(run[ends] - run[self.offsets[:-1]]) if len(self) else np.empty(0)
