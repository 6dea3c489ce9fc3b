"""
Rows, bands and trees of one field as GeoJSON features, for a pipe.

They are built column by column without any table of pandas' family: a pipe may bring a thousand
small fields, and tables took two thirds of their time. For layouts without blocks, such as the
quick commands make.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.handover.files.vertices import (
    AREA_DECIMALS,
    LINE_DECIMALS,
    lonlat_areas,
    lonlat_lines,
    rounded,
)
from geolayout.layout.build import Layout

__all__ = ["Features", "band_features", "row_features", "tree_features", "tree_row_features"]

LENGTH_DECIMALS = 3
"""Lengths and areas to the millimetre and to a thousandth of a square metre."""


@dataclass(frozen=True, slots=True, eq=False)
class Features:
    """
    Features of one kind.

    Attributes
    ----------
    kind : str
        What they are.
    columns : mapping of str to ndarray
        Their other properties.
    shapes : ndarray of shapely geometry, shape (n,)
        On WGS 84, longitude first, rounded as files are. [degrees]
    """

    kind: str
    columns: Mapping[str, NDArray[Any]]
    shapes: NDArray[np.object_]

    def __len__(self) -> int:
        """Return the number of features."""
        return len(self.shapes)

    def lines(self, place: Mapping[str, object], first: int) -> list[str]:
        """
        Return each feature on one line, without its end.

        Parameters
        ----------
        place : mapping
            Properties that stand first in every feature.
        first : int
            Id of the first feature.
        """
        head = _members({**place, "kind": self.kind})
        rows = zip(*(column.tolist() for column in self.columns.values()), strict=True)
        drawn = shapely.to_geojson(self.shapes)
        return [
            f'{{"type":"Feature","id":{number},"properties":{{{head},{_members(own)}}},'
            f'"geometry":{shape}}}'
            for number, (own, shape) in enumerate(
                zip(
                    (dict(zip(self.columns, row, strict=True)) for row in rows), drawn, strict=True
                ),
                first,
            )
        ]


def row_features(layout: Layout) -> Features:
    """
    Return the pieces of the crop rows.

    Returns
    -------
    features : Features
        Lines with `row` (counted over the whole field from the near side), `piece`, `crop`,
        `counted` (False under a metre) and `length_m` [m].
    """
    rows = layout.rows
    crops = [
        [sowing.crop for sowing in stand.sowing] if stand is not None else []
        for stand in layout.blocks[0].stands
    ]
    named = [crops[cut][sowing] for cut, sowing in zip(rows.cut, rows.sowing, strict=True)]
    columns: dict[str, NDArray[Any]] = {
        "row": _ranks(np.round(rows.t, LENGTH_DECIMALS + 1)),
        "piece": rows.piece,
        "crop": np.array(named, dtype=object),
        "counted": rows.counts,
        "length_m": np.round(rows.length, LENGTH_DECIMALS),
    }
    lines = lonlat_lines(rows.lines.geometry, layout.field.frame)
    return Features("row", columns, rounded(lines, LINE_DECIMALS))


def band_features(layout: Layout) -> Features:
    """
    Return the bands, tree bands among them.

    Returns
    -------
    features : Features
        Areas with `band`, `number`, `piece`, `trees` (whether it is for trees), `area_m2` [m2].
    """
    ground = layout.ground
    which = np.isin(ground.kind, ["band", "tree band"])
    columns = {
        "band": ground.band[which],
        "number": ground.number[which],
        "piece": ground.piece[which],
        "trees": ground.kind[which] == "tree band",
        "area_m2": np.round(ground.area[which], LENGTH_DECIMALS),
    }
    areas = lonlat_areas(ground.geometry[which], layout.field.frame)
    return Features("band", columns, rounded(areas, AREA_DECIMALS))


def tree_features(layout: Layout) -> Features:
    """
    Return the trees.

    Returns
    -------
    features : Features
        Points with `number` (of the band), `row`, `position`.
    """
    trees = layout.trees
    columns = {"number": trees.number, "row": trees.row, "position": trees.position}
    points = np.asarray(shapely.points(layout.field.frame.lonlat(trees.xy)), dtype=object)
    return Features("tree", columns, rounded(points, LINE_DECIMALS))


def tree_row_features(layout: Layout) -> Features:
    """
    Return a line for each tree row of two trees or more, from its first tree to its last.

    Returns
    -------
    features : Features
        Lines with `number` (of the band), `row`, `trees`, `length_m` [m].
    """
    trees = layout.trees
    order = np.lexsort((trees.position, trees.row))
    row, xy = trees.row[order], trees.xy[order]
    _, first, count = np.unique(row, return_index=True, return_counts=True)
    first, count = first[count > 1], count[count > 1]
    ends = np.stack([xy[first], xy[first + count - 1]], axis=1)
    lines = np.asarray(shapely.linestrings(ends), dtype=object)
    columns = {
        "number": trees.number[order][first],
        "row": row[first],
        "trees": count,
        "length_m": np.round(shapely.length(lines), LENGTH_DECIMALS),
    }
    return Features(
        "tree row", columns, rounded(lonlat_lines(lines, layout.field.frame), LINE_DECIMALS)
    )


def _ranks(values: NDArray[np.float64]) -> NDArray[np.int64]:
    """Return the place of each value among the different ones, from 1."""
    return np.asarray(np.unique(values, return_inverse=True)[1]).ravel() + 1


def _members(properties: Mapping[str, object]) -> str:
    """Return properties as the inside of a JSON object."""
    text = json.dumps(properties, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return text[1:-1]
