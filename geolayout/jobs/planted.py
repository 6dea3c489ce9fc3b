"""Trees as planted, and trees that failed, read back and held against their layout."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.appraisal.trees.as_planted import (
    AsPlanted,
    Failure,
    RowLosses,
    compare_planted,
    losses,
)
from geolayout.errors import FileError, PlanError
from geolayout.handover.files.tablecsv import told_cell
from geolayout.jobs.job import Job, lay
from geolayout.land.files.table import Line, Table, read_table
from geolayout.land.readers import read_shapes
from geolayout.layout.build import Layout

__all__ = ["failures_of", "known_failures", "planted_of", "read_failures", "read_points"]

TABLES = (".csv", ".tsv", ".txt")
"""Endings of tables of points."""

FARTHEST = 1000.0
"""Points that all lie farther from the field are those of another one. Our own choice. [m]"""

MOST_YEARS = 200.0
"""Trees are not looked at beyond so many years after planting. [years]"""

_LON, _LAT = ("lon", "longitude"), ("lat", "latitude")
_POSITION = ("position", "tree")
_AFTER = ("replaced_after_years",)
_YES = {"yes", "y", "true", "1", "x"}
_NO = {"no", "n", "false", "0", ""}


def planted_of(
    job: Job, path: Path, *, season: int | None = None, reach: float | None = None
) -> AsPlanted:
    """
    Compare surveyed points with the trees of a plan.

    Parameters
    ----------
    job : Job
        The plan and its field.
    path : Path
        File of points.
    season : int, optional
        Harvest year; the plan's first season if nothing is said.
    reach : float, optional
        How far a point may lie from its tree; half the in-row spacing if nothing is said. [m]

    Raises
    ------
    PlanError
        If the plan has no trees.
    FileError
        If the file cannot be read, holds no points, or points of another place.
    """
    layout = _planted(lay(job, season), job)
    points = layout.field.frame.metres(read_points(path))
    near = shapely.dwithin(layout.field.land, shapely.points(points), FARTHEST)
    if not near.any():
        raise FileError(
            f"No point of {path.name} lies within {FARTHEST / 1000:g} km of the field.",
            "They were taken somewhere else, or longitude and latitude are swapped.",
            "Look at the first line of the file.",
        )
    return compare_planted(layout, points, reach)


def failures_of(job: Job, path: Path, *, season: int | None = None) -> tuple[RowLosses, ...]:
    """
    Tally the failures of a file by row.

    Parameters
    ----------
    job : Job
        The plan and its field.
    path : Path
        A table with the columns row and position (or tree), and block, replaced and
        replaced_after_years where needed.
    season : int, optional
        Harvest year; the plan's first season if nothing is said.

    Raises
    ------
    PlanError
        If the plan has no trees.
    FileError
        If the table cannot be read, or names a tree that the plan does not have.
    """
    layout = _planted(lay(job, season), job)
    return losses(layout, known_failures(layout, path))


def known_failures(layout: Layout, path: Path) -> list[Failure]:
    """
    Return the failures of a table, each of a tree of a layout.

    Parameters
    ----------
    layout : Layout
        The layout.
    path : Path
        A table; see `failures_of`.

    Raises
    ------
    FileError
        If the table cannot be read, or names a tree that the layout does not have.
    """
    failures = read_failures(path)
    trees = layout.trees
    names = [block.name for block in layout.blocks]
    keys = zip(trees.block.tolist(), trees.row.tolist(), trees.position.tolist(), strict=True)
    known = {(names[b], row, position) for b, row, position in keys}
    for one in failures:
        if (one.block, one.row, one.position) not in known:
            where = f" of block {one.block}" if one.block else ""
            raise FileError(
                f"{path.name} names tree {one.position} of row {one.row}{where}.",
                "The plan has no such tree.",
                "Look it up in the peg list; several blocks need a column block.",
            )
    return failures


def _planted(layout: Layout, job: Job) -> Layout:
    """Return a layout that has trees."""
    if not len(layout.trees):
        raise PlanError(
            f"{job.path.name} plants no trees.",
            "There is nothing to hold points against.",
            "Give a band trees, or name another plan.",
        )
    return layout


def read_points(path: Path) -> NDArray[np.float64]:
    """
    Return the points of a file, shape (n, 2), longitude first. [degrees]

    Parameters
    ----------
    path : Path
        A table with the columns lon and lat on WGS 84, or any file of points that features are
        read from: GeoJSON, GeoPackage, shapefile, GPX waypoints.

    Raises
    ------
    FileError
        If it cannot be read or holds anything but points.
    """
    if path.suffix.lower() in TABLES:
        return _points_of_table(path)
    shapes = [shape for _, shape in read_shapes(path)]
    points = shapely.get_parts(np.array(shapes, dtype=object)) if shapes else np.array([])
    if not len(points) or (shapely.get_type_id(points) != 0).any():
        raise FileError(
            f"{path.name} holds {'other shapes than points' if len(points) else 'no shapes'}.",
            "One point a tree is wanted.",
            "Export the surveyed points alone.",
        )
    return np.asarray(shapely.get_coordinates(points))


def read_failures(path: Path) -> list[Failure]:
    """
    Return the failures of a table.

    Raises
    ------
    FileError
        If it cannot be read, or a cell is no number or no yes or no.
    """
    table = _table(path, (("row",), _POSITION))
    row, position = _column(table, ("row",)), _column(table, _POSITION)
    block, replaced = _column(table, ("block",)), _column(table, ("replaced",))
    after = _column(table, _AFTER)
    return [
        Failure(
            _whole(line, row, path),
            _whole(line, position, path),
            told_cell(line.cells[block]) if block >= 0 else "",
            replaced >= 0 and _yes(line, replaced, path),
            _years(line, after, path) if after >= 0 and line.cells[after] else 0.0,
        )
        for line in table.lines
    ]


def _points_of_table(path: Path) -> NDArray[np.float64]:
    """Return the points of a table of longitudes and latitudes."""
    table = _table(path, (_LON, _LAT))
    columns = (_column(table, _LON), _column(table, _LAT))
    found = [[_number(line, column, path) for column in columns] for line in table.lines]
    points = np.array(found, dtype=np.float64).reshape(-1, 2)
    if not len(points) or (np.abs(points) > [180.0, 90.0]).any():
        raise FileError(
            f"{path.name} holds {'a point off the earth' if len(points) else 'no points'}.",
            "Longitude runs to 180 and latitude to 90 degrees.",
            "Give longitude and latitude on WGS 84 in degrees.",
        )
    return points


def _table(path: Path, wanted: Sequence[Sequence[str]]) -> Table:
    """Read a table that has one of each of several names among its columns."""

    def known(cells: Sequence[str]) -> bool:
        lower = {cell.lower() for cell in cells}
        return all(lower & set(names) for names in wanted)

    try:
        content = path.read_bytes()
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise FileError(
            f"{path} cannot be read.", f"The system says: {why}.", "Name another file."
        ) from None
    return read_table(content, path.name, known)


def _column(table: Table, names: Sequence[str]) -> int:
    """Return the place of the first column of some names, -1 where there is none."""
    lower = [name.lower() for name in table.columns]
    return next((lower.index(name) for name in names if name in lower), -1)


def _number(line: Line, column: int, path: Path) -> float:
    """Return a cell as a number."""
    try:
        return float(line.cells[column].replace(",", "."))
    except ValueError:
        raise _no_figure(line, column, path, "a number") from None


def _whole(line: Line, column: int, path: Path) -> int:
    """Return a cell as a whole number."""
    try:
        return int(line.cells[column])
    except ValueError:
        raise _no_figure(line, column, path, "a whole number") from None


def _years(line: Line, column: int, path: Path) -> float:
    """Return a cell as a number of years, none of them before the planting."""
    years = _number(line, column, path)
    if not 0.0 <= years <= MOST_YEARS:
        raise _no_figure(line, column, path, f"a number of years from 0 to {MOST_YEARS:g}")
    return years


def _yes(line: Line, column: int, path: Path) -> bool:
    """Return a cell as yes or no."""
    word = line.cells[column].lower()
    if word not in _YES | _NO:
        raise _no_figure(line, column, path, "yes or no")
    return word in _YES


def _no_figure(line: Line, column: int, path: Path, wanted: str) -> FileError:
    """Return the refusal of a cell."""
    return FileError(
        f"Line {line.number} of {path.name} has {line.cells[column]!r} in column {column + 1}.",
        f"It must be {wanted}.",
        "Mend that line.",
    )
