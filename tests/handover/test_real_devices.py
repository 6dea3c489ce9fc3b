"""
Every kind of file of real fields, each read by a reader that did not write it.

No real field is kept in this repository. Where there is no folder of them the tests skip.
FlatGeobuf and GeoParquet are read in `test_askedfiles`, what is in task data in
`test_taskdata_folder`.
"""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import NamedTuple

import fiona
import gpxpy
import numpy as np
import pyogrio
import pytest
import shapefile
import shapely
import tifffile
from fastkml import KML
from isoxml.util.isoxml_io import isoxml_from_path
from sample_layouts import SAMPLES, STRIPS, sample_layout
from shapely.geometry import shape
from strategies import no_faults_on, real_fields
from taskdata_checks import own_faults, schema_faults

from geolayout.handover.devices import write_devices
from geolayout.handover.files.asked import ASKED
from geolayout.handover.files.prescription import prescriptions, write_guidance, write_prescriptions
from geolayout.handover.files.rateground import operation_rates
from geolayout.handover.files.ratemaps import cells_of
from geolayout.handover.files.vector import LINE_DECIMALS, write_geojson
from geolayout.handover.tables import (
    ground_table,
    guidance_table,
    on_wgs84,
    passes_table,
    rows_table,
    trees_table,
)
from geolayout.handover.taskdata.folder import ASKED_FOLDERS, FOLDERS
from geolayout.land.frames.mapgrid import map_grid, utm_code
from geolayout.layout.build import Layout
from geolayout.plan.parse import parse_plan

PLAN = parse_plan(
    STRIPS.replace("width = 10.0", "width = 12.0").replace(
        'bearing = 0.0\nfrom = "west"', 'choose = "longest edge"'
    )
    + '[[machine]]\nname = "sprayer"\nworking_width = 24.0\n'
    + '[[operation]]\nname = "spray"\nmachine = "sprayer"\nover = "block"\nlitres_per_ha = 200.0\n'
)


class Case(NamedTuple):
    """A layout, its layers by name, and the folder that they were written into."""

    layout: Layout
    tables: dict
    folder: Path

    @property
    def driven(self):
        """Lines that are driven: passes, and rounds on headlands."""
        return len(self.layout.passes) + len(self.layout.rounds)


def written(layout, folder):
    """Write everything that a device takes; return the layers that it is of."""
    makers = (ground_table, rows_table, trees_table, passes_table)
    tables = {
        make.__name__.removesuffix("_table"): on_wgs84(make(layout), layout.field.frame)
        for make in makers
    }
    for name, table in tables.items():
        write_geojson(table, folder / f"{name}.geojson", LINE_DECIMALS)
    for name, write in (("prescription", write_prescriptions), ("guidance", write_guidance)):
        (folder / name).mkdir()
        write(layout, folder / name, ())
    write_devices(layout, (), tables, folder, ASKED)
    return tables


def of_geojson(case):
    for name, table in case.tables.items():
        with fiona.open(case.folder / f"{name}.geojson") as sheet:
            if len(sheet) != len(table):
                yield f"{name}.geojson holds {len(sheet)} of {len(table)}"


def of_shapefiles(case):
    paths = in_order(case.folder / "prescription")
    for path, one in zip(paths, prescriptions(case.layout), strict=True):
        with shapefile.Reader(str(path), encoding="utf-8") as reader:
            drawn = [shape(row.shape.__geo_interface__) for row in reader.shapeRecords()]
            rates = [record["RATE"] for record in reader.records()]
        zones = [zone for zone in one.zones if not zone.wide.is_empty]
        if rates != pytest.approx([zone.rate for zone in zones], abs=1e-3):
            yield f"{path.name} has the rates {rates}"
        local = shapely.area(case.layout.field.frame.to_local(np.array(drawn)))
        if not np.allclose(local, [zone.wide.area for zone in zones], rtol=2e-5, atol=0.1):
            yield f"{path.name} has other ground"
    driven = [case.layout.passes.operation, case.layout.rounds.operation]
    worked = np.unique(np.concatenate(driven)).tolist()
    for path, i in zip(in_order(case.folder / "guidance"), worked, strict=True):
        with shapefile.Reader(str(path), encoding="utf-8") as reader:
            if len(reader) != len(guidance_table(case.layout, i)):
                yield f"{path.name} has not all lines"


def in_order(folder):
    """Return shapefiles in the order of the page beside them, which is that of the plan."""
    page = folder / "README.txt"
    said = page.read_text("utf-8").splitlines() if page.exists() else []
    return [folder / line.split(": ")[0] for line in said if ".shp: " in line]


def of_the_phone(case):
    gpx = gpxpy.parse((case.folder / "phone" / "field.gpx").read_text("utf-8"))
    if [track.type for track in gpx.tracks].count("PASS") != case.driven:
        yield "field.gpx has not all passes"
    text = (case.folder / "phone" / "field.kml").read_text("utf-8").split("\n", 1)[1]
    (document,) = KML.from_string(text).features
    found = {one.name: len(list(one.features)) for one in document.features}
    bands = int(np.isin(case.layout.ground.kind, ["band", "tree band"]).sum())
    if (found.get("Bands", 0), found.get("Passes", 0)) != (bands, case.driven):
        yield f"field.kml holds {found}"


def of_the_drawing(case):
    (path,) = (case.folder / "rover").glob("*.dxf")
    layers = pyogrio.read_dataframe(path, layer="entities")["Layer"].tolist()
    if layers.count("PASS") != case.driven:
        yield f"{path.name} has {layers.count('PASS')} lines of {case.driven}"


def of_the_package(case):
    path = case.folder / "gis" / "layout.gpkg"
    with closing(sqlite3.connect(path)) as file:
        if file.execute("PRAGMA integrity_check").fetchall() != [("ok",)]:
            yield "layout.gpkg is no sound data base"
    for name, table in case.tables.items():
        if len(table):
            with fiona.open(path, layer=name) as sheet:
                if len(sheet) != len(table):
                    yield f"layout.gpkg has {len(sheet)} of {len(table)} {name}"


def of_the_rasters(case):
    """Rates times cells are rates times ground, but for the cells that an edge crosses."""
    frame = case.layout.field.frame
    cells = cells_of(case.layout, map_grid(utm_code(frame.lon, frame.lat)))
    classes = tifffile.imread(case.folder / "gis" / "ground.tif")
    if classes.shape != (cells.rows, cells.columns):
        yield "ground.tif has other cells"
    meant = [
        sum(zone.rate[k] * zone.true.area for zone in one.zones)
        for one in operation_rates(case.layout)
        for k in range(len(one.products))
    ]
    if not meant:
        return
    for k, (band, amount) in enumerate(zip(bands_of(case.folder), meant, strict=True)):
        total = float(band[band > 0].sum()) * cells.cell**2
        if abs(total - amount) > 0.01 * amount + 5.0 * float(band.max()):  # 5 m2 on small fields
            yield f"band {k} of rates.tif sums to {total}, the ground to {amount}"


def bands_of(folder):
    """Return the bands of the rates, the full size of each."""
    with tifffile.TiffFile(folder / "gis" / "rates.tif") as file:
        page = file.pages[0]
        values = page.asarray()
    if page.axes == "YX":
        return values[None]
    return np.moveaxis(values, -1, 0) if page.axes == "YXS" else values


def of_task_data(case):
    for version in (*FOLDERS, *ASKED_FOLDERS):
        inner = case.folder / version / "TASKDATA"
        if not inner.exists() and not operation_rates(case.layout):
            continue
        yield from own_faults(inner, near=case.layout.field.boundary.bounds)
        if version.startswith("taskdata_4"):
            yield from schema_faults(inner / "TASKDATA.XML")
        data, _ = isoxml_from_path(inner, read_bin_files=True)
        if len(data.tasks) != len(case.layout.plan.operations):
            yield f"{version} has {len(data.tasks)} tasks"


READERS = (
    of_geojson,
    of_shapefiles,
    of_the_phone,
    of_the_drawing,
    of_the_package,
    of_the_rasters,
    of_task_data,
)


def faults(layout, folder):
    """Say what a reader finds that is not as the layout has it."""
    case = Case(layout, written(layout, folder), folder)
    return [fault for read in READERS for fault in read(case)]


def check(fields, folder):
    """Look at every file of every field that the plan fits on."""
    no_faults_on(fields, PLAN, folder, faults)


def test_every_file_of_three_real_fields_is_read(tmp_path):
    check(real_fields(3, seed=1973), tmp_path)


@pytest.mark.every_field
@pytest.mark.parametrize("part", range(10))
def test_every_file_of_200_real_fields_is_read(part, tmp_path):
    check(real_fields(200, seed=2000)[part::10], tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
def test_every_file_of_every_sample_is_read(name, tmp_path):
    assert faults(sample_layout(name), tmp_path) == []
