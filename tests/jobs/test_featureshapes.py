"""Features of a plan: chosen in a file, named in the plan, kept clear by a default."""

import json

import numpy as np
import pytest

from geolayout.errors import BoundaryError, FileError
from geolayout.jobs import lay, read
from geolayout.jobs.featureshapes import drawn_feature, feature_shapes
from geolayout.land.features import KeepClear
from geolayout.land.frames.frame import Frame
from geolayout.plan.features import FeatureSource

FRAME = Frame(10.0, 52.0)


def lonlat(*xy):
    return FRAME.lonlat(np.array([xy], dtype=float))[0].tolist()


def drawn(kind, coordinates, **properties):
    return {
        "type": "Feature",
        "properties": properties,
        "geometry": {"type": kind, "coordinates": coordinates},
    }


def write_collection(path, *features):
    path.write_text(json.dumps({"type": "FeatureCollection", "features": list(features)}))


@pytest.fixture
def waters(tmp_path):
    """A file with two ditches and a fence, invented."""
    lines = [
        drawn("LineString", [lonlat(-60, y), lonlat(60, y)], name=name, typ=kind)
        for name, y, kind in [("a", -50, "Graben"), ("b", 50, "Graben"), ("c", 0, "Zaun")]
    ]
    write_collection(tmp_path / "lines.geojson", *lines)
    return tmp_path


def source(**keys):
    return FeatureSource.model_validate({"kind": "fence", **keys})


@pytest.mark.parametrize(
    ("keys", "names"),
    [
        ({}, ["a", "b", "c"]),
        ({"attribute": {"typ": "Graben"}}, ["a", "b"]),
        ({"id": "c"}, ["c"]),
        ({"id": "a", "attribute": {"typ": "Graben"}}, ["a"]),
    ],
    ids=["all", "by a column", "by a name", "by both"],
)
def test_shapes_are_chosen_in_a_file(waters, keys, names):
    shapes = feature_shapes(source(source="lines.geojson", **keys), waters)
    assert [name for name, _ in shapes] == names


def test_a_choice_that_meets_nothing_is_refused(waters):
    wanted = source(source="lines.geojson", attribute={"typ": "Hecke"})
    with pytest.raises(FileError, match=r"No shape of .* answers to typ = Hecke"):
        feature_shapes(wanted, waters)


@pytest.mark.parametrize(
    ("keys", "kind"),
    [
        ({"at": [10.0, 52.0]}, "Point"),
        ({"points": [[10.0, 52.0], [10.1, 52.0]]}, "LineString"),
        ({"points": [[10.0, 52.0], [10.1, 52.0], [10.1, 52.1]], "closed": True}, "Polygon"),
    ],
    ids=["a place", "a line", "an area"],
)
def test_shapes_are_drawn_in_the_plan(tmp_path, keys, kind):
    ((name, shape),) = feature_shapes(source(**keys), tmp_path)
    assert (name, shape.geom_type) == ("", kind)


def test_a_default_is_kept_and_remembered():
    hedge = FeatureSource.model_validate({"kind": "hedge", "points": [[0.7, 52.3], [0.8, 52.3]]})
    ((_, shape),) = feature_shapes(hedge, None)
    kept = drawn_feature(hedge, "", shape, "England")
    assert kept.keep_clear == KeepClear(all=2.0)
    assert (kept.measured_from, kept.default_from) == ("centre line", "England 2024")


def test_a_default_for_trees_leaves_the_crop_alone():
    brook = FeatureSource.model_validate(
        {"kind": "watercourse", "points": [[8.0, 52.3], [8.1, 52.3]], "half_width": 1.0}
    )
    ((_, shape),) = feature_shapes(brook, None)
    kept = drawn_feature(brook, "", shape, "Germany")
    assert kept.keep_clear == KeepClear(trees=5.0)
    assert kept.measured_from == "top of bank"


def test_the_plan_goes_before_the_default():
    hedge = FeatureSource.model_validate(
        {"kind": "hedge", "at": [0.7, 52.3], "keep_clear": 0, "measured_from": "centre line"}
    )
    ((_, shape),) = feature_shapes(hedge, None)
    kept = drawn_feature(hedge, "", shape, "England")
    assert (kept.keep_clear, kept.default_from) == (KeepClear(), "")


PLAN = """schema = 1
[field]
boundary = "home.geojson"
{field}
{features}
[guide]
bearing = 0.0
from = "west"
[[pattern]]
name = "p"
bands = [ {{ name = "A", width = 6.0, stand = "none" }} ]
"""


def laid(folder, features, field=""):
    ring = [lonlat(x, y) for x, y in [(-60, -100), (60, -100), (60, 100), (-60, 100), (-60, -100)]]
    write_collection(folder / "home.geojson", drawn("Polygon", [ring]))
    (folder / "plan.toml").write_text(PLAN.format(features=features, field=field))
    return lay(read(folder / "plan.toml"))


def test_a_feature_of_the_plan_takes_ground(tmp_path):
    x, y = lonlat(0, 0)
    layout = laid(tmp_path, f'[[feature]]\nkind = "tree"\nat = [{x}, {y}]\nradius = 5.0')
    taken = layout.ground.area[layout.ground.kind == "obstacle"].sum()
    assert taken == pytest.approx(3.1416 * 25, rel=0.01)  # a crown of 5 m


def test_the_default_of_a_country_takes_ground(tmp_path):
    west, east = lonlat(-60, 0), lonlat(60, 0)
    hedge = f'[[feature]]\nkind = "hedge"\npoints = [{west}, {east}]'
    layout = laid(tmp_path, hedge, 'country = "England"')
    taken = layout.ground.area[layout.ground.kind == "keep-clear"].sum()
    assert taken == pytest.approx(120 * 4, rel=0.001)  # 2 m on each side of 120 m


def test_a_feature_of_the_plan_far_away_is_a_mistake(tmp_path):
    with pytest.raises(BoundaryError, match=r"fence in the plan lies .* km from the field"):
        laid(tmp_path, '[[feature]]\nkind = "fence"\nat = [11.0, 52.0]')
