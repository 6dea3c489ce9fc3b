"""The local frame, against geodesics and published areas."""

import pickle

import numpy as np
import pytest
import shapely
from hypothesis import example, given
from hypothesis import strategies as st
from pyproj import CRS, Geod, Transformer

from geolayout.errors import BoundaryError
from geolayout.land.frames.frame import Frame, geodesic_area, geodesic_length

GEOD = Geod(ellps="WGS84")

ANTARCTICA_LATS = (
    -72.9, -71.9, -74.9, -74.3, -77.5, -77.4, -71.7, -65.9, -65.7, -66.6, -66.9, -69.8, -70, -71,
    -77.3, -77.9, -74.7,
)  # fmt: skip
ANTARCTICA_LONS = (
    -74, -102, -102, -131, -163, 163, 172, 140, 113, 88, 59, 25, -4, -14, -33, -46, -61,
)  # fmt: skip
ANTARCTICA = shapely.Polygon(zip(ANTARCTICA_LONS, ANTARCTICA_LATS, strict=True))
TRAP = shapely.Polygon([(1, 1), (1, 10), (10, 10), (10, 1)], [[(1, 2), (3, 4), (5, 2)]])
PYP = "pyproj repository, tests of Geod"

lons = st.floats(-179.0, 179.0)
lats = st.floats(-70.0, 70.0)  # fields lie between these (common practice, no source)


@pytest.mark.parametrize(
    ("polygon", "area", "tolerance"),
    [
        pytest.param(
            shapely.box(0, 0, 1, 1), 12_308_778_361.469, 0.001,
            id="a square degree, geographiclib-rs documentation",
        ),
        pytest.param(
            shapely.Polygon([(0, 90), (0, 0), (90, 0)]), 63_758_202_715_511, 1,
            id="an eighth of the earth, geographiclib test_geodesic.py",
        ),
        pytest.param(ANTARCTICA, 13_376_856_682_207.4, 0.1, id=f"Antarctica, {PYP}"),
        pytest.param(TRAP, 944_373_881_400.339, 0.001, id=f"a hole with wrong winding, {PYP}"),
        pytest.param(
            shapely.box(0, 52, 0.006, 52.004), 183_390.795, 0.001,
            id="18 ha at 52 north, computed with pyproj 3.7.2",
        ),
        pytest.param(
            shapely.box(11, 48, 11.005, 48.003), 124_460.682, 0.001,
            id="12 ha at 48 north, computed with pyproj 3.7.2",
        ),
    ],
)  # fmt: skip
def test_geodesic_area_matches_published(polygon, area, tolerance):
    assert geodesic_area(polygon) == pytest.approx(area, rel=0, abs=tolerance)


@pytest.mark.parametrize(
    ("geometry", "length", "tolerance"),
    [
        pytest.param(
            shapely.box(0, 0, 1, 1), 443_770.917, 0.001, id="a square degree, geographiclib-rs"
        ),
        pytest.param(
            shapely.Polygon([(0, 90), (0, 0), (90, 0)]), 30_022_685, 1,
            id="an eighth of the earth, geographiclib test_geodesic.py",
        ),
        pytest.param(ANTARCTICA, 14_710_425.4, 0.1, id=f"Antarctica, {PYP}"),
        pytest.param(shapely.LineString([(1, 2), (3, 4)]), 313_588.397, 0.001, id=f"a line, {PYP}"),
        pytest.param(TRAP.exterior, 3_979_008.036, 0.001, id=f"an outer ring, {PYP}"),
        pytest.param(
            shapely.box(0, 52, 0.006, 52.004), 1714.239, 0.001, id="18 ha, pyproj 3.7.2"
        ),
        pytest.param(
            shapely.box(11, 48, 11.005, 48.003), 1413.374, 0.001, id="12 ha, pyproj 3.7.2"
        ),
        pytest.param(shapely.Point(1, 2), 0.0, 0.0, id="a point has no length"),
    ],
)  # fmt: skip
def test_geodesic_length_matches_published(geometry, length, tolerance):
    assert geodesic_length(geometry) == pytest.approx(length, rel=0, abs=tolerance)


def test_length_of_a_polygon_counts_its_holes():
    rings = [TRAP.exterior, *TRAP.interiors]
    assert geodesic_length(TRAP) == pytest.approx(sum(geodesic_length(ring) for ring in rings))


def test_area_of_lines_and_points_is_nothing():
    mixed = shapely.GeometryCollection([shapely.Point(1, 2), shapely.LineString([(0, 0), (1, 1)])])
    assert geodesic_area(mixed) == 0.0


@given(lon=lons, lat=lats, side=st.floats(100.0, 3160.0))  # 3160 m squared is 1,000 ha
@example(lon=10.0, lat=69.9, side=3160.0)
def test_area_in_the_frame_is_the_geodesic_area(lon, lat, side):
    frame = Frame(lon, lat)
    square = shapely.box(-side / 2, -side / 2, side / 2, side / 2)
    drawn = frame.to_geographic(shapely.segmentize(square, side / 20))
    # 1e-6 of the area, and 1e-4 m2 for the rounding of the geodesic sum itself.
    assert geodesic_area(drawn) == pytest.approx(square.area, rel=1e-6, abs=1e-4)


@given(lon=lons, lat=lats, x=st.floats(-1000, 1000), y=st.floats(-1000, 1000))
def test_rows_6_m_apart_are_6_m_apart_on_the_ground(lon, lat, x, y):
    frame = Frame(lon, lat)
    ends = frame.lonlat(np.array([[x, y], [x + 6.0, y], [x, y + 6.0]]))
    for other in ends[1:]:
        assert GEOD.line_length(*zip(ends[0], other, strict=True)) == pytest.approx(6, abs=0.001)


@given(lon=lons, lat=lats, x=st.floats(-5000, 5000), y=st.floats(-5000, 5000))
def test_going_out_and_back_returns_within_a_millionth_of_a_metre(lon, lat, x, y):
    frame = Frame(lon, lat)
    xy = np.array([[x, y]])
    assert np.abs(frame.metres(frame.lonlat(xy)) - xy).max() < 1e-6


@pytest.mark.parametrize("lat", [-45.0, 0.0, 52.0])
def test_the_frame_agrees_with_its_own_definition(lat):
    frame = Frame(11.2345, lat, height=400.0)
    crs = CRS.from_user_input(frame.definition)
    by_crs = Transformer.from_crs("EPSG:4326", crs, always_xy=True)
    lonlat = np.array([[11.24, lat + 0.01], [11.22, lat - 0.005]])
    expected = np.column_stack(by_crs.transform(*lonlat.T))
    assert np.abs(frame.metres(lonlat) - expected).max() < 1e-6


def test_the_origin_is_zero():
    assert np.abs(Frame(10.1, 52.3).metres(np.array([[10.1, 52.3]]))).max() < 1e-9


def test_east_is_x_and_north_is_y():
    (x_east, _), (_, y_north) = Frame(10, 52).metres(np.array([[10.001, 52.0], [10.0, 52.001]]))
    # By geodesic: 0.001 degree of the parallel and of the meridian at 52 north.
    assert x_east == pytest.approx(GEOD.line_length([10, 10.001], [52, 52]), abs=1e-3)
    assert y_north == pytest.approx(GEOD.line_length([10, 10], [52, 52.001]), abs=1e-3)


def test_height_scales_the_frame_by_height_over_radius():
    low, high = Frame(10, 52), Frame(10, 52, height=638.0)
    lonlat = np.array([[10.01, 52.0]])
    # 638 m over 6381 km, the Gaussian radius at 52 north (6378 137 x (1 - f) / (1 - e2 sin2)
    # = 6356 752 / (1 - 0.00669438 x 0.62096) = 6383 288): 638 / 6383 288 = 9.9949e-5
    ratio = high.metres(lonlat)[0, 0] / low.metres(lonlat)[0, 0]
    assert ratio - 1 == pytest.approx(9.9949e-5, rel=1e-4)


def test_the_frame_is_centred_on_the_bounds_rounded():
    assert Frame.centred_on(shapely.box(10.00001, 52.0, 10.00105, 52.00203)) == Frame(
        10.0005, 52.001
    )


def test_ring_order_and_start_do_not_move_the_frame():
    ring = [(10.0, 52.0), (10.013, 52.001), (10.011, 52.009), (10.001, 52.007)]
    frames = {Frame.centred_on(shapely.Polygon(ring[i:] + ring[:i])) for i in range(4)}
    frames |= {Frame.centred_on(shapely.Polygon(ring[::-1]))}
    assert len(frames) == 1


@pytest.mark.parametrize(
    "geometry",
    [
        pytest.param(shapely.Polygon(), id="an empty geometry has no centre"),
        pytest.param(shapely.box(500_000, 5_700_000, 500_100, 5_700_100), id="metres"),
    ],
)
def test_a_frame_needs_a_place_on_earth(geometry):
    with pytest.raises(BoundaryError, match="within 180"):
        Frame.centred_on(geometry)


@given(lon=lons, lat=lats, x=st.floats(-2000, 2000), bearing=st.floats(0, 359.9))
def test_a_bearing_turned_to_the_frame_and_back_is_itself(lon, lat, x, bearing):
    frame = Frame(lon, lat)
    back = frame.true_bearing((x, 100.0), frame.frame_bearing((x, 100.0), bearing))
    assert abs((back - bearing + 180) % 360 - 180) < 1e-9


@given(lat=lats, x=st.floats(-2000, 2000), bearing=st.floats(0, 359.9))
@example(lat=70.0, x=2000.0, bearing=30.0)
def test_a_line_along_a_frame_bearing_leaves_on_the_true_bearing(lat, x, bearing):
    frame = Frame(20.0, lat)
    angle = np.radians(frame.frame_bearing((x, 500.0), bearing))
    start = np.array([x, 500.0])
    ends = frame.lonlat(np.array([start, start + 10 * np.array([np.sin(angle), np.cos(angle)])]))
    azimuth, _, _ = GEOD.inv(*ends[0], *ends[1])
    assert abs((azimuth - bearing + 180) % 360 - 180) < 1e-3


def test_at_the_origin_true_north_is_the_y_axis():
    assert Frame(10, 52).frame_bearing((0, 0), 12.5) == pytest.approx(12.5, abs=1e-9)


def test_convergence_1_km_east_at_52_north():
    # Meridians lean to the west going up the map east of the origin: true north reads under 0.
    # Convergence about (x / R cos lat) sin lat = 1000 / 6.39e6 x tan 52 = 2.003e-4 rad = 0.0115.
    # R is the radius across the meridian, a / sqrt(1 - e2 sin2) = 6391.4 km.
    bearing = Frame(10, 52).frame_bearing((1000, 0), 0.0)
    assert 360 - bearing == pytest.approx(0.01147, abs=5e-5)


def test_shapes_lose_their_height_and_keep_their_kind():
    drawn = np.array([shapely.Point(10, 52, 99), shapely.box(10, 52, 10.1, 52.1)], dtype=object)
    local = Frame(10, 52).to_local(drawn)
    assert [shape.geom_type for shape in local] == ["Point", "Polygon"]
    assert not shapely.has_z(local).any()
    assert isinstance(Frame(10, 52).to_local(drawn[1]), shapely.Polygon)


def test_a_frame_can_be_sent_to_another_process():
    frame = Frame(10.1, 52.3, 20.0)
    assert pickle.loads(pickle.dumps(frame)) == frame  # noqa: S301  # our own bytes


def test_a_frame_of_numpy_numbers_is_the_same_frame():
    plain, numpy_made = Frame(9.0, 52.0), Frame(np.float64(9.0), np.float64(52.0))
    assert numpy_made.definition == plain.definition
    assert numpy_made.metres(np.array([[9.01, 52.01]])) == pytest.approx(
        plain.metres(np.array([[9.01, 52.01]]))
    )
