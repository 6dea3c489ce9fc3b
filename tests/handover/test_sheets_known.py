"""Known points lie where somebody can stand, in degrees and metres that agree."""

import pytest
import shapely
from pyproj import Geod
from sample_layouts import SAMPLES, STRIPS, paper_layout, sample_layout

from geolayout.handover.sheets.known import known_points, utm_code


@pytest.mark.parametrize(
    ("lon", "lat", "code"),
    [
        # Zone limits of UTM, 6 degrees each from 180 west; exceptions of zones 32 and 31 to 37:
        # Defense Mapping Agency, "The Universal Grids", TM 8358.2, 1989 (from memory).
        pytest.param(-179.9, 10.0, 32601, id="the first zone"),
        pytest.param(179.9, 10.0, 32660, id="the last zone"),
        pytest.param(180.0, 10.0, 32601, id="on the date line"),
        pytest.param(2.9, 60.0, 32631, id="west of Norway"),
        pytest.param(3.0, 60.0, 32632, id="south Norway"),
        pytest.param(8.9, 78.0, 32631, id="Svalbard, west"),
        pytest.param(9.0, 78.0, 32633, id="Svalbard, middle"),
        pytest.param(-60.0, -30.0, 32721, id="south of the equator"),
    ],
)
def test_zone_of_a_place(lon, lat, code):
    assert utm_code(lon, lat) == code


@pytest.mark.parametrize("name", SAMPLES)
def test_every_point_can_be_stood_on(name):
    layout = sample_layout(name)
    drivable = shapely.union_all([block.land for block in layout.blocks]).buffer(1e-3)
    for point in known_points(layout):
        assert drivable.contains(shapely.Point(point.xy)), point


def test_the_points_by_hand():
    """60 by 120 m about the middle, strips of 6 m from the west: the first border is at -24 m."""
    south, north = known_points(paper_layout())
    assert (south.name, north.name) == ("peg 1", "peg 2")
    assert south.border == north.border == (1, 2)
    assert south.xy == pytest.approx((-24.0, -58.0), abs=1e-3)
    assert north.xy == pytest.approx((-24.0, 58.0), abs=1e-3)
    assert south.apart == pytest.approx(116.0, abs=1e-3)


def test_the_tape_between_them_is_that_on_the_ellipsoid():
    one, other = known_points(sample_layout("pond_piece"))
    _, _, geodesic = Geod(ellps="WGS84").inv(one.lon, one.lat, other.lon, other.lat)
    assert one.apart == other.apart == pytest.approx(geodesic, abs=0.001)


def test_metres_of_the_zone_by_hand():
    """On the zone's own meridian the easting is 500,000 m; northing from the equator."""
    north, _ = sorted(known_points(paper_layout()), key=lambda point: -point.lat)
    assert north.zone == "32 N"
    # 10 degrees east is 1 degree east of the meridian of zone 32: 111,320 m x cos 52 x 0.9996.
    assert 565_000 < north.easting < 569_500
    assert 5_760_000 < north.northing < 5_765_000


BLOCKS = """
[[block]]
name = "north"
pattern = "strips"
part = { side = "north", width = 60.0 }
[[block]]
name = "south"
pattern = "strips"
part = { side = "south", width = 60.0 }
"""


def test_every_block_has_points_of_its_own():
    points = known_points(paper_layout(STRIPS + BLOCKS))
    assert [point.block for point in points] == ["north", "north", "south", "south"]
    assert [point.name for point in points] == ["peg 1", "peg 2", "peg 3", "peg 4"]


def test_rings_have_no_ends_to_stand_on():
    text = STRIPS.replace("bearing = 0.0", 'kind = "round"').replace('from = "west"\n', "")
    text = text.replace("working_width", "turning_radius = 4.0\nworking_width")
    assert known_points(paper_layout(text)) == ()
