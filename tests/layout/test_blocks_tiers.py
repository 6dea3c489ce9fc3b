"""Blocks parted along their rows, on 200 m x 100 m whose middle is the origin."""

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import Polygon, affinity, box
from strategies import ENDS, STRIPS, area_of, faults_of_ground, field_of, laid, plan_of

from geolayout.errors import GeolayoutError, LayoutError
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.moved import keep_guides, lines_moved
from geolayout.layout.resolve import resolve_guides

RECTANGLE = box(0, 0, 200, 100)
BLOCK = """
[[block]]
name = "north"
rest = true
pattern = "strips"
tiers = {{ {tiers} }}
"""
MACHINE = """
[[machine]]
name = "roller"
working_width = 6.0
[[operation]]
name = "roll"
machine = "roller"
"""


def tiered(tiers, *parts, land=RECTANGLE, guide='near_edge = "south"', year=None):
    plan = plan_of(STRIPS, BLOCK.format(tiers=tiers), *parts, guide=guide)
    return laid(field_of(land), plan, year=year)


def test_three_tiers_with_gaps_share_the_length():
    # (200 - 2 x 8) / 3 = 61.333 m; 2 gaps of 8 x 100 = 1600 m2
    layout = tiered("count = 3, gap = 8.0")
    assert [block.name for block in layout.blocks] == [f"north tier {k}" for k in (1, 2, 3)]
    areas = [block.land.area for block in layout.blocks]
    assert areas == pytest.approx([6133.333] * 3, abs=0.01)
    assert area_of(layout, reason="between tiers", kind="headland") == pytest.approx(1600, abs=1e-3)
    assert layout.rows.length == pytest.approx(np.full(len(layout.rows), 61.3333), abs=1e-3)
    # 17 bands of 6 m on 100 m, the last 4 m wide, in each
    assert layout.ground.bands == 3 * 17
    assert layout.plan.blocks[0].tiers.places[1] == pytest.approx((69.333333, 130.666667), abs=1e-4)


def test_bands_and_rows_go_on_in_the_next_tier():
    layout = tiered("count = 3, gap = 8.0")
    rows = layout.rows
    first, second = (np.unique(rows.t[rows.block == k]) for k in (0, 1))
    assert first == pytest.approx(second, abs=0)
    assert set(rows.number[rows.block == 2]) == set(range(1, 18))


def test_passes_are_driven_in_each_tier():
    layout = tiered("count = 2", MACHINE)
    # 17 bands, each one pass of 6 m, in two tiers of 100 m
    assert layout.passes.passes == 34
    assert layout.passes.lines.length == pytest.approx(np.full(34, 100.0), abs=1e-3)


def test_tiers_share_the_land_between_the_headlands():
    # 200 - 2 x 12 = 176 m of crop land; (176 - 6) / 2 = 85 m
    layout = tiered("count = 2, gap = 6.0", ENDS)
    assert layout.rows.length == pytest.approx(np.full(len(layout.rows), 85.0), abs=1e-3)
    assert [len(block.ends) for block in layout.blocks] == [1, 1]
    assert [block.headland.area for block in layout.blocks] == pytest.approx([1200.0] * 2, abs=0.1)
    assert faults_of_ground(layout) == []


def test_as_many_tiers_of_a_length_as_fit():
    # 4 x 40 + 3 x 8 = 184; a fifth would end at 232: 16 m are left
    layout = tiered("length = 40.0, gap = 8.0")
    assert len(layout.blocks) == 4
    assert area_of(layout, reason="beyond the last tier") == pytest.approx(1600.0, abs=2)
    assert any(
        one.what == "north: 4 tiers fit at 40 m, and 16.0 m along the rows are left over; "
        "count = 4 would share them out."
        for one in layout.gave_way
    )


def test_tiers_that_fill_the_land_leave_nothing_over():
    layout = tiered("length = 50.0")
    assert len(layout.blocks) == 4
    assert (layout.ground.kind != "left over").all()


def test_what_grows_in_the_gap_is_said_and_told():
    assert set(tiered("count = 2, gap = 8.0").ground.stand) == {"maize", "beans", ""}
    layout = tiered('count = 2, gap = 8.0, stand = "grass"')
    assert area_of(layout, stand="grass") == pytest.approx(800.0, abs=1e-3)


def test_a_season_can_change_one_tier():
    seasons = """
[[season]]
year = 2027
[[season]]
year = 2028
grows = { A = "beans", "north tier 2/A" = "grass" }
"""
    layout = tiered("count = 2", seasons, year=2028)
    stands = [{str(s) for s in layout.ground.stand[(layout.ground.block == k)]} for k in (0, 1)]
    assert stands == [{"beans"}, {"grass", "beans"}]


def test_tiers_on_a_bent_line_are_cut_square_to_it():
    # half a ring: 60 m inside, 120 m outside; the rows at r are pi r long, in two tiers
    angle = np.radians(np.arange(-90, 90.5, 0.5))
    ring = [(r * np.sin(a), r * np.cos(a)) for r, a in [(120, a) for a in angle]]
    inner = [(60 * np.sin(a), 60 * np.cos(a)) for a in angle[::-1]]
    land = Polygon(ring + inner)
    corners = np.array([ring[i] for i in range(0, len(ring), 4)])
    west, south, east, north = land.bounds
    field = field_of(land)
    corners = corners - [(west + east) / 2, (south + north) / 2]
    points = [list(map(float, one)) for one in field.frame.lonlat(corners)]
    plan = plan_of(
        STRIPS,
        BLOCK.format(tiers="count = 2"),
        guide=f'kind = "along"\npoints = {points}\nfrom = "north"\nsmooth = 1.0',
    )
    layout = laid(field, plan)
    assert faults_of_ground(layout) == []
    lengths = [layout.rows.length[layout.rows.block == k].sum() for k in (0, 1)]
    assert lengths[0] == pytest.approx(lengths[1], rel=0.005)
    joint = shapely.intersection(*(block.crop_land.boundary for block in layout.blocks))
    # the cut runs through the middle of the ring, 60 m long
    assert joint.length == pytest.approx(60.0, abs=0.5)
    assert np.abs(shapely.get_coordinates(joint)[:, 0] + (west + east) / 2).max() < 0.5


PROPERTY_LANDS = [RECTANGLE, Polygon([(0, 0), (200, 20), (170, 130), (60, 150)])]


@settings(max_examples=20)
@pytest.mark.parametrize("land", PROPERTY_LANDS, ids=["rectangle", "four slanting sides"])
@given(
    count=st.integers(1, 5),
    gap=st.sampled_from([0.0, 0.004, 3.0, 12.0]),
    bearing=st.floats(0, 179),
    length=st.booleans(),
)
@example(count=3, gap=8.0, bearing=90.0, length=False)
def test_tiers_gaps_and_headland_are_the_field(land, count, gap, bearing, length):
    says = f"length = {20.0 + count}" if length else f"count = {count}"
    guide = f"bearing = {bearing}\nfrom = {side_for(bearing)}"
    layout = tiered(f"{says}, gap = {gap}", ENDS, land=land, guide=guide)
    assert faults_of_ground(layout) == []
    middle = layout.blocks[0].guides
    rows = layout.rows
    for k, (start, end) in enumerate(layout.plan.blocks[0].tiers.places):
        s = middle.along(rows.lines.xy[np.repeat(rows.block == k, np.diff(rows.lines.offsets))])
        if len(s):
            assert s.min() >= start - 0.02 - 1e-9
            assert s.max() <= end + 0.02 + 1e-9


def side_for(bearing):
    """Return a side that bands at a bearing can be counted from."""
    return '"south"' if 45 <= bearing % 180 <= 135 else '"west"'


@pytest.mark.parametrize(
    ("tiers", "guide", "match"),
    [
        pytest.param(
            "length = 250.0",
            'near_edge = "south"',
            r"200\.0 m long along its rows, and a tier of 250 m is asked for",
            id="longer than the land",
        ),
        pytest.param(
            "count = 30, gap = 8.0",
            'near_edge = "south"',
            r"30 tiers with gaps of 8 m are asked for.*No ground is left",
            id="nothing but gaps",
        ),
        pytest.param(
            "count = 2",
            'kind = "contour"\nnumber_at_anchor = 1\nbaseline = [ { points = [[10.0, 52.0], '
            "[10.001, 52.0]], low = -60.0, high = 60.0 } ]",
            r'tiers and a guide of kind = "contour"',
            id="on the contour",
        ),
    ],
)
def test_tiers_that_cannot_be_are_refused_in_a_sentence(tiers, guide, match):
    with pytest.raises(GeolayoutError, match=match):
        tiered(tiers, guide=guide)


def test_tiers_on_lines_that_fall_into_parts_are_refused():
    # a right angle that cannot be followed on its inside splits the land
    field = field_of(box(0, 0, 200, 200))
    corner = np.array([(-100, -100), (-100, 100), (100, 100)], dtype=float)
    points = [list(map(float, one)) for one in field.frame.lonlat(corner)]
    machine = MACHINE.replace("working_width = 6.0", "working_width = 6.0\nturning_radius = 6.0")
    guide = f'kind = "along"\npoints = {points}\nfrom = "north-west"'
    plan = plan_of(STRIPS, machine, BLOCK.format(tiers="count = 2"), guide=guide)
    with pytest.raises(LayoutError, match=r"has tiers, and its lines fall into 2 parts"):
        laid(field, plan)


def test_a_season_that_names_a_tier_too_many_is_refused():
    season = '[[season]]\nyear = 2028\ngrows = { "north tier 9/A" = "beans" }'
    with pytest.raises(LayoutError, match=r"names 'north tier 9'\. 4 tiers fit on block north"):
        tiered("length = 50.0", season)


def resolved(tiers, land):
    return resolve_guides(plan_of(STRIPS, BLOCK.format(tiers=tiers)), field_of(land), Drawn())


def test_the_tiers_of_a_folder_are_kept_where_they_were():
    before = resolved("count = 3, gap = 8.0", RECTANGLE)
    wider = field_of(box(0, 0, 203, 100))  # resurveyed 3 m longer
    again = plan_of(STRIPS, BLOCK.format(tiers="count = 3, gap = 8.0"))
    moved = lines_moved(resolve_guides(again, wider, Drawn()), before, wider)
    assert any("The tiers move by up to" in one for one in moved)
    kept = resolve_guides(keep_guides(again, before), wider, Drawn())
    assert kept.blocks[0].tiers.places == before.blocks[0].tiers.places
    assert lines_moved(kept, before, wider) == ()
    # the last tier reaches to the new edge: nothing is left over
    layout = laid(wider, kept)
    assert (layout.ground.kind != "left over").all()
    assert faults_of_ground(layout) == []


def test_other_tiers_than_before_are_measured_anew():
    before = resolved("count = 3, gap = 8.0", RECTANGLE)
    again = plan_of(STRIPS, BLOCK.format(tiers="count = 2, gap = 8.0"))
    field = field_of(RECTANGLE)
    now = resolve_guides(keep_guides(again, before), field, Drawn())
    assert len(now.blocks[0].tiers.places) == 2
    assert lines_moved(now, before, field) == ("north: There are 2 tiers, and were 3.",)


def test_turning_the_field_turns_the_tiers():
    land = PROPERTY_LANDS[1]
    one = tiered("count = 3, gap = 6.0", land=land)
    other = tiered(
        "count = 3, gap = 6.0",
        land=affinity.rotate(land, 180.0, origin=(0, 0)),
        guide='near_edge = "north"',
    )
    areas = [sorted(block.land.area for block in layout.blocks) for layout in (one, other)]
    assert areas[0] == pytest.approx(areas[1], rel=1e-6)
