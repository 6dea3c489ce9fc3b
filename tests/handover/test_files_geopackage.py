"""GeoPackage: sound as a data base, and two builds of GDAL read what the layout says."""

import sqlite3
from contextlib import closing

import fiona
import numpy as np
import pyogrio
import pytest
import shapely
from lxml import etree
from sample_layouts import SAMPLES, sample_layout

from geolayout.appraisal.cautions import cautions
from geolayout.handover.files.geopackage import (
    feature_tables,
    field_table,
    hazard_table,
    write_geopackage,
)
from geolayout.handover.files.gisstyles import ground_word
from geolayout.handover.tables import ground_table, on_wgs84, rows_table, trees_table
from geolayout.land.readers import read_boundary


def tables_of(layout):
    frame = layout.field.frame
    return {
        "hazards": hazard_table(layout, cautions(layout)),
        "field": field_table(layout),
        **feature_tables(layout),
        "ground": on_wgs84(ground_table(layout), frame),
        "rows": on_wgs84(rows_table(layout), frame),
        "trees": on_wgs84(trees_table(layout), frame),
    }


@pytest.fixture(scope="module", params=SAMPLES)
def package(request, tmp_path_factory):
    path = tmp_path_factory.mktemp("gpkg") / f"{request.param}.gpkg"
    layout = sample_layout(request.param)
    write_geopackage(layout, tables_of(layout), path)
    return request.param, path


def asked(path, question):
    with closing(sqlite3.connect(path)) as file:
        return file.execute(question).fetchall()


def test_it_is_a_sound_data_base(package):
    _, path = package
    assert asked(path, "PRAGMA integrity_check") == [("ok",)]
    assert asked(path, "PRAGMA foreign_key_check") == []
    assert asked(path, "PRAGMA application_id") == [(0x47504B47,)]
    assert asked(path, "PRAGMA user_version") == [(10300,)]
    known = {row[0] for row in asked(path, "SELECT srs_id FROM gpkg_spatial_ref_sys")}
    assert {4326, -1, 0} <= known


def test_both_builds_of_gdal_count_the_same(package):
    name, path = package
    tables = tables_of(sample_layout(name))
    filled = {key for key, table in tables.items() if len(table)} | {"hazards"}
    assert set(fiona.listlayers(path)) - {"layer_styles"} == filled
    for key in filled:
        with fiona.open(path, layer=key) as sheet:
            assert len(sheet) == len(tables[key])
            assert sheet.crs.to_epsg() == 4326
        assert pyogrio.read_info(path, layer=key)["features"] == len(tables[key])


def test_shapes_and_words_come_back(package):
    name, path = package
    layout = sample_layout(name)
    ground = pyogrio.read_dataframe(path, layer="ground")
    local = layout.field.frame.to_local(np.asarray(ground.geometry.array))
    assert shapely.area(local) == pytest.approx(layout.ground.area, rel=1e-5, abs=0.01)
    assert ground["stand"].tolist() == layout.ground.stand.tolist()


def test_every_layer_has_a_look(package):
    _, path = package
    named = {row[0] for row in asked(path, "SELECT f_table_name FROM layer_styles")}
    drawn = {row[0] for row in asked(path, "SELECT table_name FROM gpkg_geometry_columns")}
    assert named == drawn
    for (text,) in asked(path, "SELECT styleQML FROM layer_styles"):
        assert etree.fromstring(text).find("renderer-v2/symbols/symbol/layer/prop") is not None


def test_ground_looks_by_what_grows_on_it(package):
    name, path = package
    (text,) = asked(path, "SELECT styleQML FROM layer_styles WHERE f_table_name = 'ground'")[0]
    categories = etree.fromstring(text).findall("renderer-v2/categories/category")
    ground = sample_layout(name).ground
    met = {ground_word(*pair) for pair in zip(ground.kind, ground.stand, strict=True)}
    named = {one.get("value") for one in categories}
    assert met <= named
    assert {word for word in named if word.startswith("band: ") and word != "band: "} <= met


def test_hazards_are_a_layer_even_where_there_is_none(package):
    name, path = package
    table = pyogrio.read_dataframe(path, layer="hazards")
    known = [one for one in cautions(sample_layout(name)) if one.severity == "hazard" and one.place]
    assert table["sentence"].tolist() == [one.sentence for one in known]
    assert table["acknowledged"].tolist() == [one.acknowledged for one in known]


def test_our_own_reader_gets_the_field_back(package):
    name, path = package
    found = read_boundary(path, layer="field")
    assert found.geometry.equals(sample_layout(name).field.boundary)


def test_the_same_layout_gives_the_same_bytes(package, tmp_path):
    name, path = package
    again = tmp_path / "again.gpkg"
    write_geopackage(sample_layout(name), tables_of(sample_layout(name)), again)
    assert again.read_bytes() == path.read_bytes()
    assert pyogrio.get_gdal_config_option("OGR_CURRENT_DATE") is None
