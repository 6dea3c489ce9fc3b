"""
Files by the device that takes them, and the page that says which is for which.

A phone, a GIS, a rover and a terminal each find a folder of their own, one step deep.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path

import geopandas as gpd

from geolayout.appraisal.caution import Caution
from geolayout.handover.files.asked import FLATGEOBUF, GEOPARQUET, write_asked
from geolayout.handover.files.dxf import dxf_bytes, grid_scale
from geolayout.handover.files.geopackage import (
    feature_tables,
    field_table,
    hazard_table,
    write_geopackage,
)
from geolayout.handover.files.gpx import gpx_bytes
from geolayout.handover.files.kml import kml_bytes, kmz_bytes
from geolayout.handover.files.rateground import operation_rates
from geolayout.handover.files.ratemaps import cells_of, classes_bytes, rates_bytes
from geolayout.handover.files.shapelayers import layers_of
from geolayout.handover.matchcode import match_code
from geolayout.handover.pictures.looks import wrapped
from geolayout.handover.taskdata.folder import write_taskdata
from geolayout.handover.words.hazards import hazard_lines
from geolayout.land.frames.mapgrid import MapGrid, map_grid, utm_code
from geolayout.layout.build import Layout

__all__ = ["README", "readme_text", "write_devices"]

README = "README.txt"
"""Name of the page in an output folder."""

WIDEST = 98
"""Letters of the longest line that is wrapped. [-]"""

GPX, KML, KMZ = "phone/field.gpx", "phone/field.kml", "phone/field.kmz"
PACKAGE, RATES, CLASSES = "gis/layout.gpkg", "gis/rates.tif", "gis/ground.tif"


def write_devices(
    layout: Layout,
    cautions: Sequence[Caution],
    tables: Mapping[str, gpd.GeoDataFrame],
    folder: Path,
    asked: Sequence[str] = (),
) -> None:
    """
    Write the files for terminals, phones, a GIS and rovers.

    Parameters
    ----------
    layout : Layout
        A layout.
    cautions : sequence of Caution
        Worst first; hazards with a place are marked in every file.
    tables : mapping of str to GeoDataFrame
        Its layers on WGS 84, by name. [degrees]
    folder : Path
        An existing folder.
    asked : sequence of str
        Words of `geolayout.handover.files.asked.ASKED` for what is written too.
    """
    for name in ("phone", "gis", "rover"):
        (folder / name).mkdir()
    layers = layers_of(layout, cautions)
    kml = kml_bytes(layout, layers)
    (folder / GPX).write_bytes(gpx_bytes(layout, layers))
    (folder / KML).write_bytes(kml)
    (folder / KMZ).write_bytes(kmz_bytes(kml))
    grid = _grid(layout)
    (folder / _drawing(grid)).write_bytes(dxf_bytes(layout, layers, grid))
    every = {
        "hazards": hazard_table(layout, cautions),
        "field": field_table(layout),
        **feature_tables(layout),
        **tables,
    }
    write_geopackage(layout, every, folder / PACKAGE)
    write_asked(asked, every, folder)
    rates = operation_rates(layout)
    cells = cells_of(layout, grid)
    if rates:
        (folder / RATES).write_bytes(rates_bytes(layout, rates, cells))
    (folder / CLASSES).write_bytes(classes_bytes(layout, cells)[0])
    write_taskdata(layout, cautions, rates, folder, asked)


def _grid(layout: Layout) -> MapGrid:
    """Return the map grid of the files in metres."""
    frame = layout.field.frame
    return map_grid(utm_code(frame.lon, frame.lat))


def _drawing(grid: MapGrid) -> str:
    """Return the name of the drawing, which says its grid, as the drawing's head cannot."""
    return f"rover/layout_{grid.code.replace(':', '')}.dxf"


def readme_text(layout: Layout, cautions: Sequence[Caution], files: Sequence[str]) -> str:
    """
    Return the page that says which file is for which device.

    Parameters
    ----------
    layout : Layout
        A layout.
    cautions : sequence of Caution
        Worst first.
    files : sequence of str
        What the folder holds.

    Returns
    -------
    text : str
        The field and its code, hazards first, then a line for each kind of device.
    """
    season = f", harvest {layout.season.year}" if layout.season is not None else ""
    head = f"{layout.field.name}{season}, plan {match_code(layout)}"
    parts = [head, "", *hazard_lines(cautions), "What is for which device:", ""]
    grid = _grid(layout)
    parts += [f"{path}: {told}" for path, told in _lines(grid) if _held(path, files)]
    parts += ["", *_frames(layout, grid)]
    return "\n".join(parts) + "\n"


def _held(path: str, files: Sequence[str]) -> bool:
    """Whether a folder holds a file, or anything in a folder of that name."""
    return any(name == path or name.startswith(path) for name in files)


def _lines(grid: MapGrid) -> tuple[tuple[str, str], ...]:
    """Return what each file is for; what is not there is left out."""
    return (
        (
            "taskdata_4/",
            "tractor terminal, version 4: copy its folder TASKDATA to the medium.",
        ),
        ("taskdata_3/", "older terminal, version 3: the same, with lines but no guidance groups."),
        ("taskdata_3_grid/", "version 3 terminal that shows no drawn zones: rates as cells."),
        ("taskdata_4_grid/", "version 4 terminal that shows no drawn zones: rates as cells."),
        ("taskdata_4_codes/", "the same, where cells that name a zone are wanted."),
        ("taskdata_3_codes/", "the same for version 3."),
        ("prescription/", "terminal that takes shapefiles: rates, one file a product."),
        ("guidance/", "terminal that takes shapefiles: lines, one file an operation."),
        (GPX, "phone or hand-held receiver: hazards, outlines, passes and trees."),
        (KMZ, "phone or globe: the same with names and colours; field.kml is the same unzipped."),
        (PACKAGE, "GIS: every layer with its look, hazards as a layer of their own."),
        (f"{FLATGEOBUF}/", "GIS or browser: every layer as a file that is read by parts."),
        (f"{GEOPARQUET}/", "table programs: every layer as columns."),
        (RATES, "GIS: the rate on every cell, a band for each operation and product."),
        (CLASSES, "GIS: what the ground of every cell is; the numbers are told in its tags."),
        (_drawing(grid), f"rover or drawing office: one layer a kind, metres of {grid.words}."),
        ("ground.geojson", "anything that reads GeoJSON: one .geojson a layer."),
        ("map.png", "paper, the whole field on one sheet."),
        ("driving/", "paper or screen: which pass follows which, a picture an operation."),
        ("sheets/", "paper, sheet by sheet, for who works from them."),
        ("pegs/", "tape or rover: a planting sheet, and every peg with distances and places."),
        ("season.ics", "calendar of a phone: what is done when."),
        ("field_walks.txt", "paper, a page for each walk: what to count, and where."),
        ("years.png", "paper, the field in every season."),
        ("summary.txt", "you: areas, rows, seed, and what to know before you go out."),
        ("plan_resolved.toml", "this program: the plan in figures; it runs again from here."),
        ("handover.zip", "sending on: all of this but summary.json in one file."),
    )


def _frames(layout: Layout, grid: MapGrid) -> list[str]:
    """Return what coordinates are fixed to."""
    farm = layout.plan.farm
    correction = farm.correction if farm is not None else None
    fixed = (
        f"The correction service works in {correction.reference.words}."
        if correction is not None
        else "Nobody said which frame and epoch the correction service works in: ask, once."
    )
    scale = 100 * grid_scale(layout, grid)
    degrees = "Coordinates in degrees are WGS 84, longitude first where it is not said otherwise."
    metres = f"In metres they are {grid.words}; 100 m on the ground are {scale:.3f} m there."
    return [*wrapped(f"{degrees} {fixed}", WIDEST), *wrapped(metres, WIDEST)]
