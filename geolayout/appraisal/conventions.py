"""How the figures of a layout are meant, said on every output with the layout's own values."""

import numpy as np
import shapely

from geolayout.appraisal.growing import band_label, sown
from geolayout.appraisal.places import COMPASS, listed
from geolayout.layout.blocks.block import Block
from geolayout.layout.build import Layout
from geolayout.layout.guides.norths import grid_bearing
from geolayout.plan.ground import Headland, HeadlandEdge

__all__ = ["conventions", "row_way"]

MOST_OFFSETS = 6
"""First rows of more sowings than this are left to the rows' own file."""


def conventions(layout: Layout) -> tuple[str, ...]:
    """
    Return the conventions of a layout as sentences, filled with its own values.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    sentences : tuple of str
        Eight: areas, bearings, rows, band widths, tree counts, headland, words for directions,
        and the age of coordinates.
    """
    return (
        _areas(layout),
        _bearings(layout),
        _rows(layout),
        _widths(),
        _trees(layout),
        _headlands(layout),
        _directions(layout),
        _age(layout),
    )


def _areas(layout: Layout) -> str:
    """Say how areas are measured, and by how much the two measures differ."""
    field = layout.field
    height = field.frame.height
    raised = f", scaled to {height:g} m above the ellipsoid" if height else ""
    difference = field.land.area - field.area
    return (
        f"The area of record, {field.area / 1e4:.4f} ha, is geodesic, on the ellipsoid; all other "
        "areas are measured on the plane of the field's own frame, transverse Mercator of scale 1 "
        f"at its centre{raised}, where the field measures {abs(difference):.2f} m2 "
        f"{'more' if difference >= 0 else 'less'}."
    )


def _true_bearings(layout: Layout) -> dict[str, float]:
    """Return the true bearing of each block's rows at its anchor. [degrees]"""
    frame = layout.field.frame
    return {block.name: frame.true_bearing(block.anchor, block.bearing) for block in layout.blocks}


def _bearings(layout: Layout) -> str:
    """Say which north bearings start from, and what the rows' bearings are."""
    rows = [
        f"{round(bearing, 2) % 360.0:.2f} degrees{f' in block {name}' if name else ''}"
        for name, bearing in _true_bearings(layout).items()
    ]
    return (
        f"Bearings count clockwise from true north at the anchor, neither grid nor magnetic; rows "
        f"run at {listed(rows)}{_by_grid(layout)}. Lines are handed over by their two end points "
        "in WGS 84; a bearing alone tells a terminal neither where nor from which north."
    )


def _by_grid(layout: Layout) -> str:
    """Return the bearings from the north of the map grids that the plan asks for."""
    words = []
    for block in layout.blocks:
        guide = block.guide
        lon, lat = layout.field.frame.lonlat(np.array([block.anchor]))[0].tolist()
        bearing = grid_bearing(guide, (lon, lat))
        if bearing is not None:
            where = f" in block {block.name}" if block.name else ""
            words.append(f"{round(bearing, 2) % 360.0:.2f} degrees of {guide.grid}{where}")
    return f", which is by grid north {listed(words)}" if words else ""


def _rows(layout: Layout) -> str:
    """Say where a row is, and how far the first row of each sowing stands from the edge."""
    first: dict[str, float] = {}
    for entry in sown(layout):
        block = layout.blocks[entry.block]
        cut, places = block.section.cuts[entry.cut], block.rows
        t = places.t[(places.cut == entry.cut) & (places.sowing == entry.index)]
        label = f"{entry.sowing.label} in band {band_label(layout, entry.block, cut.band)}"
        if len(t) and not cut.note:
            first.setdefault(label, float(t.min()) - cut.t0)
    offsets = [f"{label} {offset:.3f} m" for label, offset in first.items()]
    own = f": {'; '.join(offsets)}" if 0 < len(offsets) <= MOST_OFFSETS else ""
    return (
        "A row's place is the middle of its plants, and its first row counts from the band's edge "
        f"to there{own}."
    )


def _widths() -> str:
    """Say what a band's width holds."""
    return (
        "A band's width is all its ground from border to border, its part of the gap to the "
        "neighbour included; rates and areas are of that ground. Territory by half gaps stands "
        "beside it where two stands meet."
    )


def _trees(layout: Layout) -> str:
    """Say how trees are counted."""
    firsts = {
        band.trees.first_distance
        for block in layout.blocks
        for band in block.pattern.bands
        if band.trees is not None
    }
    starts = listed([f"{first:g} m" for first in sorted(firsts)])
    where = f", the first {starts} from the start of each piece" if firsts else ""
    return (
        f"Trees are counted like fence posts on each clipped piece of row{where}"
        f" ({len(layout.trees)} stand); trees per hectare are a density and never an order."
    )


def _headlands(layout: Layout) -> str:
    """Say where the headlands lie and how they go round corners."""
    own = [block.headland for block in layout.plan.blocks if block.headland is not None]
    used = own if own and len(own) == len(layout.plan.blocks) else [layout.plan.headland, *own]
    words = [_headland(layout, headland) for headland in used]
    return (
        f"Headland: {'; '.join(dict.fromkeys(words))}. It is measured square to the outer edges of "
        "land that can be driven on, so nothing that is kept free carries the turn."
    )


def _headland(layout: Layout, headland: Headland) -> str:
    """Say where one headland lies, how it goes round corners, and when it is worked."""
    parts = [_usual(layout, headland), *(_along(edge) for edge in headland.edges)]
    where = ", ".join(part for part in parts if part)
    if not where:
        return "none"
    corners = f"{headland.corners} at corners that point into the field"
    return f"{where}, {corners}, worked {headland.worked}"


def _usual(layout: Layout, headland: Headland) -> str:
    """Say where a headland lies and how wide it is, but for edges with a width of their own."""
    if headland.where == "none":
        return ""
    where = "at the ends of the rows only" if headland.where == "ends" else "all round"
    return f"{where}, {layout.plan.headland_width(headland):g} m wide"


def _along(edge: HeadlandEdge) -> str:
    """Say how wide a headland is along an edge with a width of its own."""
    return f"{edge.width:g} m along {edge.label}" if edge.width else f"none along {edge.label}"


def _directions(layout: Layout) -> str:
    """Say what a direction of rows means, and which way these run."""
    words = []
    for bearing in _true_bearings(layout).values():
        to = round(bearing / 45.0) % 8
        words.append(f"from {COMPASS[(to + 4) % 8]} to {COMPASS[to]}")
    ways = listed(words)
    return f"North-south rows run from north to south; these run, to the nearest eighth, {ways}."


def _age(layout: Layout) -> str:
    """Say how old the coordinates are and what they hang on."""
    farm = layout.plan.farm
    correction = farm.correction if farm is not None else None
    if correction is not None:
        service = f" {correction.service}" if correction.service else ""
        asked = f", asked on {correction.asked}" if correction.asked else ""
        return (
            "Coordinates are longitude and latitude as the boundary came, its date not known here; "
            f"the correction service{service} works in {correction.reference.words}{asked}, so "
            "hold the lines against one known point before they are used, and again each year."
        )
    return (
        "Coordinates are WGS 84 longitude and latitude as the boundary came; its date and the "
        "correction service it was taken with are not known here, so hold the lines against one "
        "known point before they are used, and again each year."
    )


def row_way(layout: Layout, block: Block) -> str:
    """
    Say which way the rows of a block run: one bearing, or those between which bent ones run.

    Parameters
    ----------
    layout : Layout
        The layout.
    block : Block
        One of its blocks.
    """
    if block.guide.bearing is not None:
        return f"{block.guide.bearing:.2f} degrees from true north"
    if block.guide.kind == "round":
        return "round and round, along the edge"
    frame = layout.field.frame
    xy = shapely.get_coordinates(block.guides.lines(np.zeros(1), block.land))
    ends = [
        frame.true_bearing(block.anchor, float(block.guides.direction(xy[[i]])[0])) for i in (0, -1)
    ]
    first, last = (f"{end:.1f}" for end in ends)
    if first == last:
        return f"{first} degrees from true north"
    return f"a bent line, from {first} to {last} degrees from true north"
