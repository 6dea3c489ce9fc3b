"""Headlands with widths of their own by edge, against sums done on paper. All fields invented."""

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st
from shapely import Polygon, affinity, box
from strategies import (
    STRIPS,
    area_of,
    bearings,
    faults_of_ground,
    faults_of_rows_and_trees,
    feature_beside,
    field_of,
    laid,
    lands,
    plan_of,
    real_boundaries,
    real_fields,
    refused,
)

from geolayout.errors import LayoutError
from geolayout.layout.headlands.edge_widths import (
    HeadlandWish,
    edge_widths,
    land_by_width,
    told_runs,
    widths_of_rings,
)
from geolayout.layout.headlands.edges import describe_runs, thinned_rings
from geolayout.layout.headlands.headland import round_headland
from geolayout.plan.ground import Headland

RECTANGLE = box(0, 0, 200, 100)
ELL = Polygon([(0, 0), (200, 0), (200, 100), (100, 100), (100, 200), (0, 200)])
FOUR = (("north", 24.0, "oats"), ("east", 18.0, "rye"), ("south", 12.0, "vetch"))
COVER = "\n".join(
    f'[[stand]]\nname = "{name}"\nsowing = [ {{ crop = "{name}", place = "broadcast" }} ]'
    for name in ("oats", "rye", "vetch", "flowers")
)
GUIDE = 'bearing = 90.0\nfrom = "south"'
FEW = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def east(xy):
    """Rows that run east everywhere. [degrees]"""
    return np.full(len(xy), 90.0)


def wish(*edges, where="none", width=0.0, places=None, corners="mitred"):
    """A headland with entries by side or by a point in metres."""
    given_edges = [
        {"width": far, **({"side": side} if isinstance(side, str) else {"near": (0.0, 0.0)})}
        for side, far in edges
    ]
    keys = {"where": where, "edge": given_edges, "corners": corners}
    headland = Headland.model_validate({**keys, **({"width": width} if width else {})})
    points = tuple(None if isinstance(side, str) else side for side, _ in edges)
    return HeadlandWish(headland, width if where != "none" else 0.0, places or points)


def kept(land, asked):
    """The land kept by a headland."""
    return land_by_width(land, widths_of_rings(land, asked, east), asked.headland.corners)


def told(land, asked):
    """The edges as they are told."""
    return describe_runs(told_runs(widths_of_rings(land, asked, east), asked))


# Sums on paper


def test_four_widths_on_a_rectangle():
    # 200 x 100 - (200 - 18 - 6) x (100 - 24 - 12) = 20,000 - 176 x 64 = 8,736 m2
    asked = wish(("north", 24.0), ("east", 18.0), ("south", 12.0), ("west", 6.0))
    assert kept(RECTANGLE, asked).area == pytest.approx(8736.0, rel=1e-12)


def test_each_stand_has_its_edge_and_the_first_entry_the_corner():
    # north 200 x 24 = 4,800; east 18 x (100 - 24) = 1,368; south 12 x (200 - 18) = 2,184;
    # west, with the headland's own stand, 6 x (100 - 24 - 12) = 384: 8,736 m2 together
    entries = ", ".join(
        f'{{ side = "{side}", width = {width}, stand = "{stand}" }}' for side, width, stand in FOUR
    )
    west = '{ side = "west", width = 6.0 }'
    headland = f'[headland]\nwhere = "none"\nstand = "flowers"\nedge = [ {entries}, {west} ]'
    layout = laid(field_of(RECTANGLE), plan_of(STRIPS, headland, COVER, guide=GUIDE))
    found = {name: area_of(layout, kind="headland", stand=name) for name in ("oats", "rye")}
    found |= {name: area_of(layout, kind="headland", stand=name) for name in ("vetch", "flowers")}
    sums = {"oats": 4800.0, "rye": 1368.0, "vetch": 2184.0, "flowers": 384.0}
    assert found == pytest.approx(sums, rel=1e-5)
    pieces = layout.ground.piece[layout.ground.kind == "headland"]
    assert sorted(pieces.tolist()) == [1, 2, 3, 4]


@pytest.mark.parametrize(
    ("corners", "corner"),
    [
        pytest.param("mitred", 144.0, id="mitred 12 x 12"),
        pytest.param("rounded", 12.0**2 * np.pi / 4, id="rounded, a quarter of a circle"),
    ],
)
def test_the_narrower_headland_goes_round_a_corner_that_points_inwards(corners, corner):
    # North edges 24 m, east edges 12 m of an L. North: 2 x 100 x 24 = 4,800. East: the outer one
    # 12 x (100 - 24) = 912, the inner one 12 x (100 - 24) = 912. The corner at 12 m.
    asked = wish(("north", 24.0), ("east", 12.0), corners=corners)
    assert kept(ELL, asked).area == pytest.approx(6624.0 + corner, abs=0.5)


def test_entries_act_on_the_ends_and_elsewhere():
    # Rows run east. West keeps the headland's 12 m: 12 x 100. East has its own 20 m: 20 x 100.
    # North, no end, gets 6 m: 6 x (200 - 12 - 20) = 1,008.
    asked = wish(("east", 20.0), ("north", 6.0), where="ends", width=12.0)
    assert kept(RECTANGLE, asked).area == pytest.approx(1200 + 2000 + 1008, rel=1e-12)
    assert sorted(told(RECTANGLE, asked)) == [
        "east edge, 100.0 m, 20.0 m wide, meets the rows at 90 degrees",
        "north edge, 200.0 m, 6.0 m wide, meets the rows at 0 degrees",
        "west edge, 100.0 m, 12.0 m wide, meets the rows at 90 degrees",
    ]


def test_a_width_of_nothing_takes_a_headland_away():
    # All round 10 m but for the south: 2 x 10 x 100 + 10 x (200 - 20) = 3,800 m2
    asked = wish(("south", 0.0), where="all round", width=10.0)
    assert kept(RECTANGLE, asked).area == pytest.approx(3800.0, rel=1e-12)


def test_of_two_entries_that_take_one_edge_the_first_counts():
    asked = wish(("north", 6.0), ((100.0, 104.0), 24.0))
    assert kept(RECTANGLE, asked).area == pytest.approx(200 * 6.0, rel=1e-12)


def test_a_point_takes_the_edge_that_goes_on_over_small_turns_and_stops_at_corners():
    # The north side bends by 11 degrees at x = 100: one edge. Its corners turn by about 84.
    bent = Polygon([(0, 0), (200, 0), (200, 100), (100, 120), (0, 100)])
    entry = widths_of_rings(bent, wish(((20.0, 110.0), 6.0)), east)[0]
    assert int((entry.width == 6.0).sum()) == 2
    sharp = Polygon([(0, 0), (200, 0), (200, 100), (100, 160), (0, 100)])  # 62 degrees at the top
    entry = widths_of_rings(sharp, wish(((20.0, 118.0), 6.0)), east)[0]
    assert int((entry.width == 6.0).sum()) == 1


@pytest.mark.parametrize("corners", ["mitred", "rounded"])
@pytest.mark.parametrize("land", [RECTANGLE, ELL], ids=["rectangle", "ell"])
def test_the_same_width_on_every_side_is_a_headland_all_round(land, corners):
    sides = [(side, 12.0) for side in ("north", "east", "south", "west")]
    around = round_headland(land, 12.0, corners=corners)
    both = kept(land, wish(*sides, corners=corners))
    assert shapely.symmetric_difference(around, both).area < 1e-6


def test_edges_are_in_the_table_with_width_angle_and_side():
    asked = wish(("north", 24.0), where="ends", width=12.0)
    rings = widths_of_rings(RECTANGLE, asked, east)
    edges = edge_widths(RECTANGLE, rings, asked, east)
    table = dict(zip(edges.side.tolist(), edges.width.tolist(), strict=True))
    assert table == {"north": 24.0, "east": 12.0, "south": 0.0, "west": 12.0}
    assert dict(zip(edges.side.tolist(), edges.is_end.tolist(), strict=True))["west"]


def test_round_obstacles_takes_the_headlands_own_width():
    # A shed 20 x 20 gets 12 m all round, mitred: 44 x 44 - 400 = 1,536 m2; the ends have 20 m
    shed = feature_beside(RECTANGLE, "building", box(90, 40, 110, 60))
    headland = (
        '[headland]\nwhere = "ends"\nwidth = 12.0\nround_obstacles = true\n'
        'edge = [ { side = "west", width = 20.0 }, { side = "east", width = 20.0 } ]'
    )
    layout = laid(field_of(RECTANGLE, [shed]), plan_of(STRIPS, headland, guide=GUIDE))
    assert area_of(layout, kind="headland") == pytest.approx(1536 + 2 * 20 * 100, rel=1e-5)


# What must never change it


@given(start=st.integers(0, 5), turn=st.floats(0, 360), reverse=st.booleans())
@FEW
def test_neither_start_nor_winding_nor_turning_changes_it(start, turn, reverse):
    asked = wish(((40.0, 203.0), 24.0), ((203.0, 50.0), 9.0), where="all round", width=12.0)
    xy = np.roll(shapely.get_coordinates(ELL)[:-1], start, axis=0)
    land = Polygon(xy[::-1] if reverse else xy)
    places = [affinity.rotate(shapely.Point(one), turn, origin=(0, 0)) for one in asked.places]
    moved = HeadlandWish(asked.headland, 12.0, tuple((one.x, one.y) for one in places))
    there = affinity.rotate(land, turn, origin=(0, 0))
    back = affinity.rotate(kept(there, moved), -turn, origin=(0, 0))
    assert shapely.symmetric_difference(back, kept(ELL, asked)).area < 1e-4


EDGES = st.lists(
    st.tuples(
        st.sampled_from(["north", "east", "south", "west"]),
        st.sampled_from([0.0, 3.0, 7.5, 12.0]),
        st.sampled_from(["oats", "rye", "vetch"]),
    ),
    min_size=1,
    max_size=4,
)


@given(
    land=lands, bearing=bearings, edges=EDGES, where=st.sampled_from(["none", "ends", "all round"])
)
@example(land=ELL, bearing=0.0, edges=[("north", 12.0, "oats")], where="ends")
@FEW
def test_ground_stays_a_partition(land, bearing, edges, where):
    entries = ", ".join(
        f'{{ side = "{side}", width = {width}, stand = "{stand}" }}' for side, width, stand in edges
    )
    headland = f'[headland]\nwhere = "{where}"\nwidth = 5.0\nedge = [ {entries} ]'
    side = ["west", "north", "east", "south"][round(bearing / 90.0) % 4]
    plan = plan_of(STRIPS, headland, COVER, guide=f'bearing = {bearing}\nfrom = "{side}"')
    field = field_of(land)
    error = refused(laid, field, plan)
    assume(error is None or "No edge of the land" in error.found or "No band" in error.found)
    assume(error is None)
    layout = laid(field, plan)
    assert faults_of_ground(layout) == []
    assert faults_of_rows_and_trees(layout) == []


def check_real(fields):
    """Lay four edges out on real fields; every fault by field."""
    headland = (
        '[headland]\nwhere = "ends"\nwidth = 8.0\nedge = [ { side = "north", width = 12.0, '
        'stand = "oats" }, { side = "east", width = 4.0, stand = "rye" }, '
        '{ side = "south", width = 0.0 } ]'
    )
    plan = plan_of(STRIPS, headland, COVER, guide='choose = "longest edge"')
    faults, sound = {}, 0
    for field in fields:
        try:
            layout = laid(field, plan, rounds=False)
        except LayoutError:
            continue
        sound += 1
        wrong = faults_of_ground(layout)
        if wrong:
            faults[field.name] = wrong
    assert faults == {}
    assert sound > len(fields) / 2


def test_edges_of_real_fields():
    check_real(real_fields(60, seed=44))


@pytest.mark.every_field
@pytest.mark.parametrize("tenth", range(10))
def test_edges_of_every_real_field(tenth):
    check_real(real_fields(len(real_boundaries()), seed=1)[tenth::10])


# What is refused


@pytest.mark.parametrize(
    ("entry", "part", "words"),
    [
        pytest.param("near = [10.02, 52.0]", "found", "m away from every edge", id="far away"),
        pytest.param("near = [52.0, 10.0]", "remedy", "in that order", id="numbers swapped"),
        pytest.param('side = "west"', "found", "No edge of the land faces west", id="no such side"),
    ],
)
def test_an_entry_that_names_no_edge_is_refused_in_one_sentence_each(entry, part, words):
    kite = Polygon([(0, 50), (0.01, 49.99), (200, 0), (200, 100)])  # its west side is a point
    headland = f'[headland]\nwhere = "none"\nedge = [ {{ {entry}, width = 6.0 }} ]'
    error = refused(laid, field_of(kite), plan_of(STRIPS, headland, guide=GUIDE))
    assert isinstance(error, LayoutError)
    assert words in getattr(error, part)
    assert all(getattr(error, one).count(". ") == 0 for one in ("found", "why", "remedy"))


def test_widths_that_leave_no_band_say_what_share_of_them_would():
    # 100 m of land between 60 m and 60 m; at 83 % 49.8 m twice leaves 0.4 m, at 84 % nothing
    sides = '{ side = "north", width = 60.0 }, { side = "south", width = 60.0 }'
    headland = f'[headland]\nwhere = "none"\nedge = [ {sides} ]'
    error = refused(laid, field_of(RECTANGLE), plan_of(STRIPS, headland, guide=GUIDE))
    assert "60 m on the north edge and 60 m on the south edge" in error.found
    assert "at 83 % of that" in error.remedy


@pytest.mark.parametrize(
    "speck",
    [
        pytest.param([(-20.0, -20.0), (-20.0 + 4e-7, -20.0), (-20.0, -20.0 + 4e-7)], id="a speck"),
        pytest.param([(-20.0, -20.0), (-10.0, -20.0), (-10.0, -20.0 + 1e-7)], id="a thread"),
    ],
)
def test_what_keeping_clear_leaves_of_no_size_has_no_edges(speck):
    land = shapely.MultiPolygon([shapely.box(0, 0, 100, 50), shapely.Polygon(speck)])
    rings = thinned_rings(land)
    assert len(rings) == 1
    assert shapely.Polygon(rings[0].xy).area == pytest.approx(5000.0)
