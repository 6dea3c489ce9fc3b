"""
The GeoPackage in a GIS that people have: QGIS itself opens it and draws it with the stored looks.

QGIS has a Python of its own, so the map is drawn in another process. Where there is none the tests
skip (Debian: python3-qgis). GEOLAYOUT_PICTURES names a folder that keeps the maps to look at.
"""

import json
import os
import shutil
import subprocess
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from pyproj import Transformer
from sample_layouts import sample_layout

from geolayout.appraisal.cautions import cautions
from geolayout.handover.files.geopackage import (
    feature_tables,
    field_table,
    hazard_table,
    write_geopackage,
)
from geolayout.handover.files.gisstyles import style_of
from geolayout.handover.pictures.looks import OTHER_LOOKS, ground_looks
from geolayout.handover.tables import (
    edges_table,
    ground_table,
    headland_table,
    on_wgs84,
    passes_table,
    rounds_table,
    rows_table,
    trees_table,
    turns_table,
)

SCRIPT = """
import json, os, sys
from qgis.core import (QgsApplication, QgsCoordinateReferenceSystem, QgsMapRendererSequentialJob,
                       QgsMapSettings, QgsRectangle, QgsVectorLayer)
from qgis.PyQt.QtCore import QSize
from qgis.PyQt.QtGui import QColor

asked = json.load(open(sys.argv[1]))
QgsApplication.setPrefixPath("/usr", True)
app = QgsApplication([], False)
app.initQgis()
layers = [QgsVectorLayer(f"{asked['file']}|layername={n}", n, "ogr") for n in asked["layers"]]
told = {}
for layer in layers:
    renderer = layer.renderer()
    told[layer.name()] = {
        "valid": layer.isValid(), "count": layer.featureCount(), "look": renderer.type(),
        "labels": layer.labelsEnabled(),
        "from": layer.minimumScale() * layer.hasScaleBasedVisibility(),
        "loaded": layer.loadDefaultStyle()[1]}
views = []
for view in asked["views"]:
    settings = QgsMapSettings()
    settings.setLayers(layers)
    settings.setBackgroundColor(QColor("#ffffff"))
    settings.setOutputSize(QSize(1000, 1000))
    settings.setOutputDpi(view["dpi"])
    settings.setDestinationCrs(QgsCoordinateReferenceSystem("EPSG:3857"))
    settings.setExtent(QgsRectangle(*view["bounds"]))
    settings.setFlag(QgsMapSettings.Antialiasing, False)
    job = QgsMapRendererSequentialJob(settings)
    job.start()
    job.waitForFinished()
    image = job.renderedImage()
    image.save(view["picture"])
    found = {}
    for y in range(image.height()):
        for x in range(image.width()):
            name = QColor(image.pixel(x, y)).name()
            found[name] = found.get(name, 0) + 1
    views.append({"scale": settings.scale(), "pixels": found})
print("TOLD" + json.dumps({"layers": told, "views": views}))
sys.stdout.flush()
os._exit(0)  # its own way out frees what Python still holds, and crashes
"""

NAMES = ("pond_piece", "wire_field", "crooked_hedge")


@cache
def gis_python():
    """Return a Python that has QGIS, or skip."""
    of_the_system = shutil.which("python3", path="/usr/bin:/usr/local/bin")
    for program in filter(None, (of_the_system, shutil.which("python3"))):
        tried = subprocess.run(
            [program, "-c", "import qgis.core"], check=False, capture_output=True, env=plain()
        )
        if tried.returncode == 0:
            return program
    pytest.skip("no Python has QGIS (Debian: python3-qgis)")


def plain(**more):
    """Return the environment without what is set for this Python and its libraries."""
    strange = ("PYTHON", "GDAL", "PROJ", "LD_", "VIRTUAL_ENV")
    kept = {name: value for name, value in os.environ.items() if not name.startswith(strange)}
    return {**kept, "QT_QPA_PLATFORM": "offscreen", **more}


def tables_of(layout):
    """Return the layers from the top of a map to its ground, hazards first."""
    drawn = {
        make.__name__.removesuffix("_table"): on_wgs84(make(layout), layout.field.frame)
        for make in (trees_table, passes_table, rounds_table, turns_table, rows_table)
    }
    features = feature_tables(layout)
    areas = {
        "headland_edges": on_wgs84(edges_table(layout), layout.field.frame),
        "field": field_table(layout),
        "headland": on_wgs84(headland_table(layout), layout.field.frame),
        "ground": on_wgs84(ground_table(layout), layout.field.frame),
    }
    return {"hazards": hazard_table(layout, cautions(layout)), **features, **drawn, **areas}


def square(lonlat, half, to_metres):
    east, north = to_metres.transform(*lonlat)
    return [east - half, north - half, east + half, north + half]


@pytest.fixture(scope="module", params=NAMES)
def opened(request, tmp_path_factory):
    """Open a sample's GeoPackage, draw the whole field and 30 m of it, and tell the colours."""
    program = gis_python()
    layout = sample_layout(request.param)
    folder = tmp_path_factory.mktemp(request.param)
    tables = tables_of(layout)
    path = folder / "layout.gpkg"
    write_geopackage(layout, tables, path)
    west, south, east, north = layout.field.boundary.bounds
    to_metres = Transformer.from_crs("EPSG:4326", "EPSG:3857", always_xy=True)
    whole = square([(west + east) / 2, (south + north) / 2], 350.0, to_metres)
    some_row = tables["rows"].geometry.iloc[len(tables["rows"]) // 2]
    near = square(some_row.centroid.coords[0], 15.0, to_metres)
    kept = Path(os.environ.get("GEOLAYOUT_PICTURES", folder))
    views = [
        {"bounds": bounds, "dpi": dpi, "picture": str(kept / f"{request.param}_{name}.png")}
        for name, bounds, dpi in (("whole", whole, 96), ("near", near, 300))
    ]
    names = [name for name, table in tables.items() if len(table) or name == "hazards"]
    asked = folder / "asked.json"
    told = {"file": str(path), "layers": names, "views": views}
    asked.write_text(json.dumps(told))
    (folder / "draw.py").write_text(SCRIPT)
    (folder / "run").mkdir(mode=0o700)
    done = subprocess.run(
        [program, str(folder / "draw.py"), str(asked)],
        check=False,
        capture_output=True,
        text=True,
        env=plain(XDG_RUNTIME_DIR=str(folder / "run"), QGIS_CUSTOM_CONFIG_PATH=str(folder)),
    )
    assert "TOLD" in done.stdout, done.stderr
    return layout, tables, json.loads(done.stdout.split("TOLD", 1)[1])


def tints(layout):
    """Return the tint of each stand that covers a twentieth of the field or more."""
    shares = {}
    for (kind, stand), look in ground_looks(layout.ground).items():
        mine = np.isin(layout.ground.kind, ["band", "tree band"]) & (layout.ground.stand == stand)
        if kind == "band" and layout.ground.area[mine].sum() > 0.05 * layout.field.area:
            shares[stand] = look.tint
    return shares


def test_every_layer_opens_with_the_look_that_is_stored(opened):
    _, tables, told = opened
    for name, layer in told["layers"].items():
        assert layer["valid"], name
        assert layer["count"] == len(tables[name])
        assert layer["loaded"], name
        style = style_of(name, {})
        assert layer["look"] == ("categorizedSymbol" if name == "ground" else "singleSymbol")
        assert layer["labels"] == (name == "hazards")
        assert layer["from"] == style.from_scale, name


def test_every_stand_is_seen_on_the_whole_field_in_the_tint_of_the_paper_map(opened):
    layout, _, told = opened
    pixels = told["views"][0]["pixels"]
    assert len(tints(layout)) > 0
    for stand, tint in tints(layout).items():
        assert pixels.get(tint, 0) > 500, stand


def test_hazards_are_red_on_the_whole_field_where_there_are_some(opened):
    _, tables, told = opened
    red = told["views"][0]["pixels"].get("#d00000", 0)
    assert (red > 50) == (len(tables["hazards"]) > 0)


def test_rows_come_when_one_goes_near_and_do_not_drown_the_field(opened):
    _, _, told = opened
    whole, near = told["views"]
    assert whole["scale"] > style_of("rows", {}).from_scale > near["scale"]
    assert "#7a9a01" not in whole["pixels"]
    assert near["pixels"]["#7a9a01"] > 500


def test_obstacles_are_grey_but_for_the_lines_that_lie_on_them(opened):
    layout, _, told = opened
    obstacles = layout.ground.area[layout.ground.kind == "obstacle"].sum()
    grey = told["views"][0]["pixels"].get(OTHER_LOOKS["obstacle"].tint, 0)
    # 700 m over 1,000 pixels in a projection that stretches by 1 / cos(latitude).
    drawn = grey * (0.7 * np.cos(np.radians(layout.field.frame.lat))) ** 2
    assert 0.2 * obstacles <= drawn <= 1.1 * obstacles
