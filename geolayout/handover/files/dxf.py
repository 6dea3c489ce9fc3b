"""
DXF for a rover or a drawing office: a layer a kind, in metres of a map grid that is named in it.

DXF says no coordinate system, so the name of the file says it, and a text in the drawing. A map
grid is no tape measure: its lengths differ from those on the ground by up to 4 in 10,000.
"""

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.handover.files.shapelayers import DrawnLayer
from geolayout.handover.matchcode import match_code
from geolayout.land.frames.mapgrid import MapGrid
from geolayout.layout.build import Layout

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts import Modelspace

__all__ = ["dxf_bytes", "grid_scale"]

METRES = 6
"""Unit of the drawing, as its head says it."""

LETTER = 2.0
"""Height of letters on the ground. [m]"""

MILLIMETRES = 3
"""Decimals of a metre."""

_COLOURS = {
    "HAZARD": 1,
    "BOUNDARY": 7,
    "FEATURE": 5,
    "KEEP_CLEAR": 30,
    "HEADLAND": 8,
    "BAND": 3,
    "PASS": 9,
    "TREE": 94,
}
"""Numbers of colours, 1 red to 9 grey, of the standard table."""

_NAMED = ("HAZARD", "FEATURE", "BAND")
"""Layers whose shapes have their name beside them."""


def dxf_bytes(layout: Layout, layers: Sequence[DrawnLayer], grid: MapGrid) -> bytes:
    """
    Return a layout as a DXF drawing, version R2010.

    Parameters
    ----------
    layout : Layout
        A layout.
    layers : sequence of DrawnLayer
        Its shapes; hazards are points and texts on the layer HAZARD.
    grid : MapGrid
        Grid of the coordinates.

    Returns
    -------
    content : bytes
        Text in UTF-8, without a date, so that equal layouts give equal bytes.
    """
    import ezdxf  # noqa: PLC0415  # 0.3 s

    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        drawing = ezdxf.new("R2010", units=METRES)
        for layer in layers:
            drawing.layers.add(layer.name, color=_COLOURS[layer.name])
            _draw(drawing.modelspace(), layer, _on_grid(layout, layer, grid))
        _tell(drawing, layout, grid)
        for kind in sorted(drawing.entitydb.dxf_types_in_use()):
            drawing.classes.add_class(kind)  # else in the order of a set, another in each process
        held = io.StringIO()
        drawing.write(held)
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before
    return held.getvalue().encode()


def _on_grid(layout: Layout, layer: DrawnLayer, grid: MapGrid) -> NDArray[np.object_]:
    """Return the shapes of a layer on the grid, to the millimetre."""
    frame = layout.field.frame

    def moved(xy: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.round(grid.places(frame.lonlat(xy)), MILLIMETRES)

    return np.asarray(shapely.transform(layer.shapes, moved), dtype=object)


def _draw(space: "Modelspace", layer: DrawnLayer, shapes: NDArray[np.object_]) -> None:
    """Draw a layer."""
    on = {"layer": layer.name}
    for name, shape in zip(layer.names, shapes, strict=True):
        dimension = int(shapely.get_dimensions(shape))
        if dimension == 0:
            space.add_point(shapely.get_coordinates(shape)[0].tolist(), dxfattribs=on)
        lines = shapely.get_rings(shape) if dimension == 2 else [shape] if dimension else []
        for line in lines:
            xy = shapely.get_coordinates(line)
            closed = bool((xy[0] == xy[-1]).all())
            space.add_lwpolyline(xy[: len(xy) - closed].tolist(), close=closed, dxfattribs=on)
        if layer.name in _NAMED:
            place = shapely.get_coordinates(shapely.point_on_surface(shape))[0].tolist()
            space.add_text(name, height=LETTER, dxfattribs={**on, "insert": place})


def _tell(drawing: "Drawing", layout: Layout, grid: MapGrid) -> None:
    """Write the grid, its scale and the match code south of the field."""
    drawing.layers.add("TEXT", color=7)
    west, south, _, _ = layout.field.land.bounds
    (place,) = grid.places(layout.field.frame.lonlat(np.array([(west, south - 5 * LETTER)])))
    scale = grid_scale(layout, grid)
    lines = (
        f"{layout.field.name}, plan {match_code(layout)}",
        f"Coordinates: {grid.words}, metres, east and north; no heights.",
        f"100 m on the ground are {100 * scale:.3f} m in this drawing.",
    )
    for k, line in enumerate(lines):
        spot = (round(float(place[0]), 3), round(float(place[1]) - 2 * k * LETTER, 3))
        drawing.modelspace().add_text(
            line, height=LETTER, dxfattribs={"layer": "TEXT", "insert": spot}
        )


def grid_scale(layout: Layout, grid: MapGrid) -> float:
    """
    Return metres of the grid for a metre of the field's own frame, in its middle.

    Returns
    -------
    scale : float
        Mean of east and north. [-]
    """
    reach = 100.0
    xy = np.array([(-reach, 0.0), (reach, 0.0), (0.0, -reach), (0.0, reach)])
    west, east, south, north = grid.places(layout.field.frame.lonlat(xy))
    return float(np.hypot(*(east - west)) + np.hypot(*(north - south))) / (4 * reach)
