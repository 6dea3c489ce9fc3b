"""Lines stay straight and neighbours stay together on the way to degrees."""

import itertools

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from sample_layouts import SAMPLES, sample_layout

from geolayout.handover.files.vertices import (
    MOST_BOW,
    bow,
    grid_step,
    lonlat_areas,
    lonlat_lines,
    sound,
)
from geolayout.land.frames.frame import Frame

FRAME = Frame(10.0, 52.0)


def off_the_straight(line, meant, frame):
    """Return how far a line that is straight in degrees lies off the meant one in metres."""
    lonlat = shapely.get_coordinates(line)
    share = np.linspace(0, 1, 33)[:, None]
    pieces = [a + share * (b - a) for a, b in itertools.pairwise(lonlat)]
    return shapely.distance(shapely.points(frame.metres(np.concatenate(pieces))), meant).max()


# R is 6.39e6 m in the prime vertical at 52 degrees; L^2 tan(lat) / (8 R):
# 300^2 x 1.280 / (8 x 6.39e6) = 2.25 mm and 1000^2 x 1.280 / (8 x 6.39e6) = 25.0 mm
@pytest.mark.parametrize(
    ("length", "millimetres"),
    [pytest.param(300.0, 2.3, id="300 m"), pytest.param(1000.0, 25.0, id="1 km")],
)
def test_bow_of_a_line_due_east_is_that_of_the_formula(length, millimetres):
    found = bow(np.array([length]), np.array([0.0]), 52.0)[0] * 1000
    assert found == pytest.approx(millimetres, rel=0.03)


def test_a_line_due_north_does_not_bow():
    assert bow(np.array([0.0]), np.array([1000.0]), 52.0)[0] == 0.0


@given(
    angle=st.floats(0.0, 360.0),
    length=st.floats(10.0, 1500.0),
    lat=st.sampled_from([-65.0, 0.0, 52.0]),
)
@example(angle=54.7, length=1000.0, lat=52.0)
@example(angle=90.0, length=1000.0, lat=52.0)
@settings(max_examples=60, deadline=None)
def test_no_piece_of_a_line_bows_more_than_a_millimetre(angle, length, lat):
    frame = Frame(10.0, lat)
    step = length / 2 * np.array([np.sin(np.radians(angle)), np.cos(np.radians(angle))])
    meant = shapely.LineString([-step, step])
    drawn = lonlat_lines(np.array([meant]), frame)[0]
    assert off_the_straight(drawn, meant, frame) <= 1.01 * MOST_BOW


def test_a_short_line_keeps_its_two_points():
    drawn = lonlat_lines(np.array([shapely.LineString([(0, 0), (50, 0)])]), FRAME)
    assert len(shapely.get_coordinates(drawn)) == 2


def test_a_line_that_would_bow_four_millimetres_is_cut_in_two():
    # 390 m: 390^2 x 1.280 / (8 x 6.335e6) = 3.84 mm; in halves a quarter of it, 0.96 mm
    drawn = lonlat_lines(np.array([shapely.LineString([(-195, 0), (195, 0)])]), FRAME)
    assert len(shapely.get_coordinates(drawn)) == 3


@pytest.mark.parametrize("lat", [-70.0, -30.0, 0.0, 45.0, 65.0])
def test_a_piece_across_a_cell_of_the_grid_bows_less_than_a_millimetre(lat):
    angle = np.radians(np.arange(0, 90.5, 0.5))
    across = np.sqrt(2) * grid_step(lat)
    assert bow(across * np.sin(angle), across * np.cos(angle), lat).max() <= MOST_BOW * 1.001


def test_areas_that_share_part_of_an_edge_get_the_same_vertices_on_it():
    #   _________        the long area has no corner where the two short ones meet; without one
    #  |____|____|       of its own a slit opens there
    #  |_________|
    areas = np.array(
        [shapely.box(0, 0, 700, 40), shapely.box(0, 40, 313, 90), shapely.box(313, 40, 700, 90)]
    )
    turned = shapely.transform(areas, lambda xy: xy @ np.array([[0.8, 0.6], [-0.6, 0.8]]))
    drawn = lonlat_areas(turned, FRAME)
    long, *short = (set(map(tuple, shapely.get_coordinates(area))) for area in drawn)
    assert len(long & short[0]) >= 3
    assert len(long & short[1]) >= 3
    assert shapely.union_all(drawn).area == pytest.approx(shapely.area(drawn).sum(), rel=1e-12)


@given(
    cuts=st.lists(st.floats(-400.0, 400.0), min_size=1, max_size=6, unique=True),
    seed=st.integers(0, 99),
)
@settings(max_examples=30, deadline=None)
def test_a_partition_stays_one(cuts, seed):
    turn = np.random.default_rng(seed).uniform(0, 2 * np.pi)
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    edges = [-500.0, *sorted({round(cut, 3) for cut in cuts}), 500.0]
    bands = [shapely.box(a, -300, b, 250) for a, b in itertools.pairwise(edges)]
    areas = np.array([*bands, shapely.box(-500, 250, 500, 300)])
    drawn = lonlat_areas(shapely.transform(areas, lambda xy: xy @ matrix), FRAME)
    whole = shapely.union_all(drawn)
    assert whole.geom_type == "Polygon"
    assert not whole.interiors
    assert abs(shapely.area(drawn).sum() / whole.area - 1) < 1e-12


def test_rings_run_as_the_standard_says():
    ring = shapely.Polygon([(0, 0), (0, 90), (90, 90), (90, 0)], [[(20, 20), (40, 20), (40, 40)]])
    drawn = lonlat_areas(np.array([ring]), FRAME)[0]
    assert drawn.exterior.is_ccw
    assert not drawn.interiors[0].is_ccw


def test_many_parts_stay_one_entry():
    both = shapely.MultiPolygon([shapely.box(0, 0, 9, 9), shapely.box(20, 0, 29, 9)])
    drawn = lonlat_areas(np.array([both, shapely.box(40, 0, 50, 9)]), FRAME)
    assert [shapely.get_num_geometries(area) for area in drawn] == [2, 1]


def test_nothing_gives_nothing():
    nothing = np.empty(0, dtype=object)
    assert not len(lonlat_lines(nothing, FRAME))
    assert not len(lonlat_areas(nothing, FRAME))


def test_an_area_that_touches_itself_is_parted():
    bow_tie = shapely.Polygon([(0, 0), (2, 2), (2, 0), (0, 2)])
    parted = sound(np.array([bow_tie]))[0]
    assert parted.is_valid
    assert parted.area == pytest.approx(2.0)  # two triangles of 2 x 1 / 2


@pytest.mark.parametrize("name", SAMPLES)
def test_the_ground_of_a_sample_field_has_no_slit_and_no_overlap(name):
    layout = sample_layout(name)
    drawn = lonlat_areas(layout.ground.geometry, layout.field.frame)
    assert shapely.is_valid(drawn).all()
    whole = shapely.union_all(drawn)
    assert abs(shapely.area(drawn).sum() / whole.area - 1) < 1e-12
    holes = sum(len(part.interiors) for part in shapely.get_parts(whole))
    assert holes == sum(len(part.interiors) for part in shapely.get_parts(layout.field.land))
