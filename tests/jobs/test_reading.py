"""How a plan's words about its boundary reach the field; all invented."""

import json
import shutil

import numpy as np
import pytest
import shapely
from shapely import Polygon, box

from geolayout import jobs
from geolayout.errors import BoundaryError, FileError
from geolayout.jobs.reading import read_plan
from geolayout.jobs.writing import write
from geolayout.land.frames.frame import Frame

FRAME = Frame(10.0, 56.0)  # in Denmark

PLAN = """schema = 1
[field]
boundary = "home.geojson"
{field}
[guide]
bearing = 0.0
from = "west"
[[stand]]
name = "beans"
sowing = [ {{ crop = "beans", spacing = 0.25 }} ]
[[pattern]]
name = "strips"
bands = [ {{ name = "A", width = 12.0, stand = "beans" }} ]
{more}
"""

DITCH = """[[feature]]
kind = "ditch"
source = "ditch.geojson"
half_width = 1.0
keep_clear = 2.0
measured_from = "top of bank"
"""


def geojson(path, *shapes):
    rows = [
        {"type": "Feature", "properties": {}, "geometry": shapely.geometry.mapping(shape)}
        for shape in shapes
    ]
    path.write_text(json.dumps({"type": "FeatureCollection", "features": rows}), encoding="utf-8")


def read(folder, shapes, *, field="", more=""):
    geojson(folder / "home.geojson", *shapes)
    (folder / "home.toml").write_text(PLAN.format(field=field, more=more), encoding="utf-8")
    return jobs.read(folder / "home.toml")


def kinds(job):
    return [finding.kind for finding in job.field.findings]


HOME = FRAME.to_geographic(box(-60, -100, 60, 100))
POND = FRAME.to_geographic(box(-10, -10, 10, 10))


@pytest.mark.parametrize(
    ("inner", "area"),
    [
        # 120 m x 200 m, less 20 m x 20 m or not.
        pytest.param("hole", 24_000 - 400, id="cut out"),
        pytest.param("field", 24_000, id="left in"),
    ],
)
def test_a_shape_within_the_field_is_what_the_plan_says(tmp_path, inner, area):
    job = read(tmp_path, [HOME, POND], field=f'inner = "{inner}"')
    assert job.field.area == pytest.approx(area, abs=0.1)


def test_a_shape_within_the_field_is_asked_about(tmp_path):
    with pytest.raises(BoundaryError, match='inner = "hole"'):
        read(tmp_path, [HOME, POND])


def swapped(shape):
    return shapely.transform(shape, lambda lonlat: lonlat[:, ::-1])


def test_a_field_in_its_country_once_its_axes_are_exchanged_is_refused(tmp_path):
    with pytest.raises(BoundaryError, match="latitude first"):
        read(tmp_path, [swapped(HOME)], field='country = "Denmark"')


def test_a_field_outside_its_country_is_told(tmp_path):
    assert kinds(read(tmp_path, [HOME], field='country = "Denmark"')) == []
    assert kinds(read(tmp_path, [HOME], field='country = "Spain"')) == ["outside the country"]


def test_a_feature_with_its_axes_exchanged_is_told_apart_from_one_far_away(tmp_path):
    ditch = FRAME.to_geographic(shapely.LineString([(60, -100), (60, 100)]))
    geojson(tmp_path / "ditch.geojson", swapped(ditch))
    with pytest.raises(BoundaryError, match="latitude comes first") as refusal:
        read(tmp_path, [HOME], more=DITCH)
    assert "km from the field" in refusal.value.found
    assert "longitude first" in refusal.value.remedy
    geojson(tmp_path / "ditch.geojson", shapely.transform(ditch, lambda lonlat: lonlat + 3.0))
    with pytest.raises(BoundaryError, match="keep nothing clear"):
        read(tmp_path, [HOME], more=DITCH)


def dense(corners, stray):
    """A round field of 10 ha whose corners stray to either side of its edge."""
    angle = np.linspace(0, 2 * np.pi, corners, endpoint=False)
    radius = 180 + np.random.default_rng(1).normal(0, stray, corners)
    ring = np.column_stack((radius * np.cos(angle), radius * np.sin(angle)))
    return FRAME.to_geographic(Polygon(ring))


@pytest.mark.parametrize(
    ("field", "said"),
    [
        pytest.param("", ["thinned"], id="nothing is said"),
        pytest.param("thin = 0.1", ["thinned"], id="by 10 cm"),
        pytest.param("thin = 0.0", [], id="never"),
    ],
)
def test_a_dense_boundary_is_thinned_as_the_plan_says(tmp_path, field, said):
    job = read(tmp_path, [dense(4000, 0.02)], field=field)
    assert kinds(job) == said


@pytest.mark.parametrize("field", ["", "thin = 0.0", "thin = 0.1"])
def test_a_thinned_field_runs_again_from_its_folder_with_the_same_corners(tmp_path, field):
    job = read(tmp_path, [dense(4000, 0.02)], field=field)
    write(job, jobs.lay(job), tmp_path / "out")
    shutil.move(tmp_path / "out", tmp_path / "elsewhere")
    again = jobs.read(tmp_path / "elsewhere" / "plan_resolved.toml")
    assert kinds(again) == []
    before, after = (shapely.get_coordinates(one.field.boundary) for one in (job, again))
    assert after == pytest.approx(before, abs=1e-9)


def test_a_folder_is_no_plan_and_names_the_one_in_it(tmp_path):
    with pytest.raises(FileError, match=r"is a folder.*Name a file in it"):
        read_plan(tmp_path)
    (tmp_path / "plan_resolved.toml").write_text("schema = 1\n", encoding="utf-8")
    with pytest.raises(FileError, match=r"Name plan_resolved\.toml in it"):
        read_plan(tmp_path)
