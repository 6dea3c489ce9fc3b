"""
The reference line: the line t = 0 of each block, to lie along again next year.

Two points of a straight line, and beside them what makes them worth keeping: which way it runs,
what the numbers are fixed to, and which plan they belong to. No clock and no path, so equal
layouts give equal bytes.
"""

import hashlib
import json
from typing import Any

import numpy as np
import shapely

from geolayout.errors import PlanError
from geolayout.handover.files.vector import LINE_DECIMALS
from geolayout.land.frames.references import Reference
from geolayout.layout.blocks.block import Block
from geolayout.layout.build import Layout
from geolayout.layout.guides.norths import grid_bearing
from geolayout.layout.shapes.polygons import polygon_parts
from geolayout.plan.guide import Guide
from geolayout.plan.near import near_names

__all__ = ["REFERENCE_FILE", "reference_of", "reference_text"]

REFERENCE_FILE = "reference_line.geojson"
"""Name of the file in an output folder."""

BEARING_DECIMALS = 7
MATCH_LETTERS = 16

FARTHEST_SHIFT = 10_000.0
"""A line shifted farther is on another farm. Our own choice. [m]"""


def reference_text(
    layout: Layout, *, shift: float = 0.0, block: str | None = None, name: str | None = None
) -> str:
    """
    Return the reference lines of a layout as the text of a GeoJSON file by RFC 7946.

    Parameters
    ----------
    layout : Layout
        The layout.
    shift : float, default 0
        How far the lines are moved square to themselves, away from the side that bands are
        counted from; negative towards it. [m]
    block : str, optional
        The one block whose line is wanted; all if nothing is said.
    name : str, optional
        What to call the line; the field's name, and the block's, if nothing is said.

    Returns
    -------
    text : str
        One line for each block, reaching across its land; a straight one has two points.

    Raises
    ------
    PlanError
        If there is no such block, the shift is no distance on a farm, or one name is given to
        several lines.
    """
    if not abs(shift) <= FARTHEST_SHIFT:
        raise PlanError(
            f"The line is to be shifted by {shift:g} m.",
            f"Beyond {FARTHEST_SHIFT:,.0f} m it is on another farm.",
            "Give the shift in metres.",
        )
    chosen = _chosen(layout, block)
    if name is not None and len(chosen) > 1:
        raise PlanError(
            f"The plan has {len(chosen)} blocks and one name is given.",
            "Each line needs a name of its own, to be chosen by.",
            f"Choose one block too, such as {layout.blocks[chosen[0]].name!r}.",
        )
    features = [_feature(layout, index, shift, name) for index in chosen]
    lines = ",\n".join(json.dumps(feature, ensure_ascii=False) for feature in features)
    return f'{{"type": "FeatureCollection", "features": [\n{lines}\n]}}\n'


def reference_of(layout: Layout, guide: Guide) -> Reference | None:
    """
    Return what the coordinates of a guide's lines are fixed to.

    Parameters
    ----------
    layout : Layout
        The layout.
    guide : Guide
        One of its resolved guides.

    Returns
    -------
    reference : Reference or None
        What the file of the line said; else that of the farm's correction service, by which the
        lines are driven; None where neither was said.
    """
    origin = guide.origin
    if origin is not None and origin.line is not None:
        return Reference(origin.frame, origin.epoch) if origin.frame is not None else None
    farm = layout.plan.farm
    return farm.correction.reference if farm is not None and farm.correction is not None else None


def _chosen(layout: Layout, block: str | None) -> list[int]:
    """Return the places of the blocks whose lines are wanted."""
    names = [one.line_name if one.leads else "" for one in layout.blocks]
    if block is None:
        return [i for i, one in enumerate(layout.blocks) if one.leads]
    if block not in names or block == "":
        known = [name for name in names if name]
        raise PlanError(
            f"The line of block {block!r} is wanted.",
            "The plan has no such block.",
            near_names(block, known) if known else "The plan has no blocks: leave it out.",
        )
    return [names.index(block)]


def _feature(layout: Layout, index: int, shift: float, name: str | None) -> dict[str, Any]:
    """Return the line of one block as a feature."""
    block = layout.blocks[index]
    guide = block.guide
    frame = layout.field.frame
    tiers = [one.land for one in layout.blocks if one.tier and one.part_of == block.part_of]
    land = shapely.MultiPolygon(polygon_parts(np.array(tiers))) if tiers else block.land
    (line,) = block.guides.lines(np.array([shift]), land)
    line = max(shapely.get_parts(line), key=shapely.length)
    xy = shapely.get_coordinates(line)
    lonlat = np.round(frame.lonlat(xy), LINE_DECIMALS) + 0.0
    start = (float(lonlat[0, 0]), float(lonlat[0, 1]))
    ahead = float(np.degrees(np.arctan2(*(xy[1] - xy[0]))))
    true = frame.true_bearing((float(xy[0, 0]), float(xy[0, 1])), ahead)
    grid = grid_bearing(guide.model_copy(update={"bearing": true}), start)
    fixed = reference_of(layout, guide)
    properties = {
        "name": name or " ".join(filter(None, [layout.field.name, block.line_name])),
        "block": block.line_name,
        "true_bearing": _bearing(true),
        "grid_bearing": _bearing(grid) if grid is not None else None,
        "grid": guide.grid,
        "length_m": round(float(line.length), 3),
        "frame": fixed.frame if fixed is not None else None,
        "epoch": fixed.epoch if fixed is not None else None,
        "from": guide.from_,
        "shift_m": shift,
        "number_at_anchor": guide.number_at_anchor if shift == 0.0 else None,
        "plan_match": _match(block, guide),
    }
    geometry = {"type": "LineString", "coordinates": lonlat.tolist()}
    return {"type": "Feature", "id": index + 1, "properties": properties, "geometry": geometry}


def _bearing(degrees: float) -> float:
    """Return a bearing as it is written, at least 0 and under 360. [degrees]"""
    return round(degrees, BEARING_DECIMALS) % 360.0


def _match(block: Block, guide: Guide) -> str:
    """Return letters that are equal for equal bands along equal lines, and else differ."""
    lines = guide.model_dump(
        mode="json", include={"bearing", "anchor", "from_", "number_at_anchor"}
    )
    bands = block.pattern.model_dump(mode="json", exclude_unset=True)
    told = json.dumps([lines, bands], sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(told.encode()).hexdigest()[:MATCH_LETTERS]
