"""Which reader a map of rate zones goes to, and keys that do not go with its kind."""

import json
import shutil

import pytest
import shapely
from sample_layouts import SAMPLE_FOLDER

from geolayout import jobs
from geolayout.errors import PlanError

ZONES = """
[rate_zones]
source = "{source}"
{keys}
classes = ["light", "heavy"]
narrowest = {narrowest}
rate = [ {{ sowing = "spring barley", factor = {{ light = 0.9, heavy = 1.1 }} }} ]
"""
RASTER = "windy_bank_conductivity.tif"


@pytest.fixture
def folder(tmp_path):
    for path in SAMPLE_FOLDER.glob("windy_bank*"):
        shutil.copy(path, tmp_path)
    return tmp_path


def zones(folder, source, keys, narrowest=12.0):
    text = (folder / "windy_bank.toml").read_text("utf-8")
    path = folder / "zones.toml"
    table = ZONES.format(source=source, keys=keys, narrowest=narrowest)
    path.write_text(text + table, encoding="utf-8")
    return jobs.read(path).drawn.zones


def soil(folder, middle=15.7015):
    """Write two polygons that meet at a longitude on Windy Bank."""
    shapes = shapely.box(15.69, 46.59, middle, 46.61), shapely.box(middle, 46.59, 15.71, 46.61)
    features = [
        {
            "type": "Feature",
            "properties": {"soil": name, "clay": clay, "note": "invented"},
            "geometry": json.loads(shapely.to_geojson(shape)),
        }
        for shape, name, clay in zip(shapes, ("Light", "Heavy"), (9, 31), strict=True)
    ]
    text = json.dumps({"type": "FeatureCollection", "features": features})
    (folder / "soil.geojson").write_text(text, encoding="utf-8")
    return "soil.geojson"


def test_polygons_and_rasters_each_go_to_their_reader(folder):
    by_words = zones(folder, soil(folder), 'column = "soil"')
    by_numbers = zones(folder, soil(folder), 'column = "clay"\nlimits = [20.0]')
    for one, other in zip(by_words.classes, by_numbers.classes, strict=True):
        assert one.area_m2 == pytest.approx(other.area_m2, rel=1e-9)
        assert one.area_m2 > 10_000.0
    assert zones(folder, RASTER, "limits = [25.0]").uncovered_m2 > 0.0


def test_cells_are_put_together_where_two_go_into_half_a_pass(folder):
    assert not any("Means" in note for note in zones(folder, RASTER, "limits = [25.0]").notes)
    notes = zones(folder, RASTER, "limits = [25.0]", narrowest=48.0).notes
    # cells of 10 m: two go into 24 m
    assert notes[0] == f"Means of 2 x 2 cells of {RASTER} were put into classes."


def test_a_plan_without_rate_zones_has_none(folder):
    assert jobs.read(folder / "windy_bank.toml").drawn.zones is None


@pytest.mark.parametrize(
    ("source", "keys", "match"),
    [
        pytest.param(
            RASTER, 'layer = "a"\nlimits = [25.0]', "a raster, .* and a layer", id="layer"
        ),
        pytest.param(
            RASTER, 'column = "a"\nlimits = [25.0]', "a raster, .* and a column", id="column"
        ),
        pytest.param(
            "soil.geojson", "limits = [25.0]", "no column", id="polygons without a column"
        ),
    ],
)
def test_keys_that_do_not_go_with_the_kind_of_map_are_refused(folder, source, keys, match):
    soil(folder)
    with pytest.raises(PlanError, match=match):
        zones(folder, source, keys)
