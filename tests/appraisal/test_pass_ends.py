"""Which edge each pass ends at, on fields that a reader can draw. All invented."""

import numpy as np
import pytest
from appraisal_layouts import LAND, layout_of, one_stand, worked_by
from shapely import Polygon, affinity

from geolayout.appraisal.pass_ends import edges_met, pass_ends

MAIZE = '{ crop = "maize", spacing = 0.75, operation = "work" }'
PLANTER = worked_by("planter", "working_width = 6.0\nturning_radius = 6.5")


def field(headland="", **place):
    return layout_of(one_stand(MAIZE, "6.0"), PLANTER, headland, **place)


def ends(width):
    return f'[headland]\nwhere = "ends"\nwidth = {width}'


@pytest.mark.parametrize("width", [0.5, 12.0], ids=["narrow", "wide"])
def test_every_pass_of_a_rectangle_ends_in_the_north_and_in_the_south(width):
    layout = field(ends(width))
    met = edges_met(layout, 0, 0)
    assert [(edge.side, edge.width) for edge in met] == [("north", width), ("south", width)]
    assert [edge.angle for edge in met] == pytest.approx([90.0, 90.0], abs=1e-3)
    assert len(pass_ends(layout, 0, 0)) == 20  # 60 / 6 passes, two ends


def test_passes_end_at_edges_without_a_headland():
    assert [(edge.side, edge.width) for edge in edges_met(field(), 0, 0)] == [
        ("north", 0.0),
        ("south", 0.0),
    ]


def test_an_end_that_only_one_pass_has_is_no_turn():
    # A nib 4 m wide, 20 m long, on the north edge: one pass ends on it.
    nib = Polygon(
        [(0, 0), (60, 0), (60, 120), (35, 120), (35, 140), (31, 140), (31, 120), (0, 120)]
    )
    layout = field('[headland]\nwhere = "ends"\nwidth = 2.0', land=nib)
    tops = [end.place[1] for end in pass_ends(layout, 0, 0)]
    assert max(tops) - sorted(tops)[-2] == pytest.approx(20.0, abs=0.01)
    assert len(edges_met(layout, 0, 0)) == 2


def test_the_flattest_edge_of_a_side_counts():
    # The north side is a roof, 72 degrees to the rows in the west, 63 in the east.
    roof = Polygon([(0, 0), (60, 0), (60, 120), (30, 135), (0, 125)])
    north = next(edge for edge in edges_met(field(ends(5.0), land=roof), 0, 0) if edge.width)
    assert north.side == "north"
    assert north.angle == pytest.approx(np.degrees(np.arctan2(30, 15)), abs=0.05)


@pytest.mark.parametrize("turn", [30.0, 135.0])
def test_turning_field_and_rows_together_changes_no_end_and_no_angle(turn):
    roof = Polygon([(0, 0), (60, 0), (60, 120), (30, 135), (0, 125)])
    here = pass_ends(field(ends(5.0), land=roof), 0, 0)
    bearing = 360.0 - turn
    side = {30.0: "west", 135.0: "south-east"}[turn]
    guide = f'bearing = {bearing}\nfrom = "{side}"'
    there = pass_ends(field(ends(5.0), land=affinity.rotate(roof, turn), guide=guide), 0, 0)
    assert len(here) == len(there) == 20
    assert sorted(end.angle for end in here) == pytest.approx(
        sorted(end.angle for end in there), abs=0.02
    )


def test_ends_inside_the_land_are_at_no_edge():
    blocks = (
        '[[block]]\nname = "one"\npattern = "beds"\npart = { side = "south", width = 60.0 }\n'
        '[[block]]\nname = "two"\npattern = "beds"\nrest = true'
    )
    layout = field(blocks, land=LAND)
    assert [edge.side for edge in edges_met(layout, 0, 0)] == ["south"]
    assert [edge.side for edge in edges_met(layout, 1, 0)] == ["north"]
