"""KML and KMZ: valid, and what other readers find in them lies where the layout has it."""

import io
import zipfile
from functools import cache

import fastkml.validator
import numpy as np
import pyogrio
import pytest
import shapely
from fastkml import KML
from sample_layouts import SAMPLES, sample_layout

from geolayout.appraisal.cautions import cautions
from geolayout.handover.files.kml import TITLES, kml_bytes, kmz_bytes
from geolayout.handover.files.shapelayers import LAYERS, layers_of
from geolayout.land.readers import read_boundary


@cache
def written(name):
    layout = sample_layout(name)
    return kml_bytes(layout, layers_of(layout, cautions(layout)))


def folders(name):
    """Return placemarks by folder, as another reader finds them."""
    data = KML.from_string(written(name).decode().split("\n", 1)[1])
    (document,) = data.features
    return {folder.name: list(folder.features) for folder in document.features}


@pytest.mark.parametrize("name", SAMPLES)
def test_it_is_valid(name, tmp_path):
    path = tmp_path / "field.kml"
    path.write_bytes(written(name))
    assert fastkml.validator.validate(file_to_validate=path) is True


def test_every_layer_has_a_title():
    assert set(TITLES) == set(LAYERS)


@pytest.mark.parametrize("name", ["pond_piece", "wire_field", "poplar_ground"])
def test_another_reader_finds_every_band_tree_and_pass(name):
    layout, found = sample_layout(name), folders(name)
    bands = layout.ground.geometry[np.isin(layout.ground.kind, ["band", "tree band"])]
    areas = [shapely.geometry.shape(mark.geometry) for mark in found["Bands"]]
    assert layout.field.frame.to_local(np.array(areas)).size == len(bands)
    for area, band in zip(areas, bands, strict=True):
        assert layout.field.frame.to_local(area).area == pytest.approx(band.area, rel=1e-4)
    assert len(found.get("Trees", [])) == len(layout.trees)
    assert len(found["Passes"]) == len(layout.passes) + len(layout.rounds)


@pytest.mark.parametrize("name", ["wire_field", "ridge_road"])
def test_hazards_come_first_and_say_all(name):
    known = [one for one in cautions(sample_layout(name)) if one.severity == "hazard" and one.place]
    found = folders(name)
    assert next(iter(found)) == "Hazards"
    for mark, hazard in zip(found["Hazards"], known, strict=True):
        assert mark.name.startswith("HAZARD")
        assert hazard.sentence in mark.description
        assert hazard.acknowledged in mark.description


def test_gdal_reads_each_folder_as_a_layer(tmp_path):
    path = tmp_path / "field.kmz"
    path.write_bytes(kmz_bytes(written("pond_piece")))
    names = [name for name, _ in pyogrio.list_layers(path)]
    assert names == [TITLES[k] for k in LAYERS if TITLES[k] in folders("pond_piece")]


def test_our_own_reader_gets_the_field_back(tmp_path):
    path = tmp_path / "field.kmz"
    path.write_bytes(kmz_bytes(written("pond_piece")))
    found = read_boundary(path, layer="Field")
    drawn = sample_layout("pond_piece").field.boundary
    assert found.geometry.symmetric_difference(drawn).area < 1e-6 * drawn.area


def test_a_kmz_holds_one_file_with_a_fixed_date():
    with zipfile.ZipFile(io.BytesIO(kmz_bytes(written("pond_piece")))) as archive:
        (inner,) = archive.infolist()
        assert inner.filename == "doc.kml"
        assert inner.date_time == (1980, 1, 1, 0, 0, 0)
        assert archive.read(inner) == written("pond_piece")
