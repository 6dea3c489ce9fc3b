"""Rounds of a layout: who drives them, along which edges, and on fields as they are."""

from math import pi

import numpy as np
import pytest
import shapely
from shapely import Polygon, box
from strategies import field_of, laid, plan_of, real_boundaries, real_fields, refused

from geolayout.layout.headlands.headland_rounds import works_headland
from geolayout.layout.headlands.rounds import NEARER

RECTANGLE = box(0, 0, 200, 100)
PATTERN = '[[pattern]]\nname = "one"\nbands = [ { name = "A", width = 6.0, stand = "maize" } ]'
DRILL = """
[[machine]]
name = "drill"
working_width = 6.0
{radius}
[[operation]]
name = "drill grass"
machine = "drill"
stands = ["grass"]
"""
RADIUS = "turning_radius = 6.5"


def headland(where="all round", *more, width=12.0):
    return "\n".join(
        ["[headland]", f'where = "{where}"', f"width = {width}", 'stand = "grass"', *more]
    )


def plan(*parts, radius=RADIUS, guide='near_edge = "south"'):
    return plan_of(PATTERN, DRILL.format(radius=radius), *parts, guide=guide)


def rounds_of(land, *parts, radius=RADIUS):
    return laid(field_of(land), plan(*parts, radius=radius)).rounds


def test_an_operation_drives_where_it_lists_the_headlands_stand_or_sows_it():
    sown = (
        '[[stand]]\nname = "oats"\n'
        'sowing = [ { crop = "oats", spacing = 0.25, operation = "drill grass" } ]'
    )
    given = plan(sown)
    works = [works_headland(given, stand) for stand in ("grass", "oats", "maize", "")]
    assert works == [[0], [0], [], []]


def test_a_headland_of_two_widths_has_two_closed_rounds():
    # 6 m each: sides of 194 and 94, then of 182 and 82, each less (8 - 2 pi) 6.5 at its corners
    rounds = rounds_of(RECTANGLE, headland())
    expected = [2 * (194 + 94) - (8 - 2 * pi) * 6.5, 2 * (182 + 82) - (8 - 2 * pi) * 6.5]
    assert rounds.lines.length == pytest.approx(expected, abs=0.01)
    assert rounds.number.tolist() == [1, 2]
    assert rounds.closed.all()
    assert rounds.t.tolist() == pytest.approx([3.0, 9.0])
    assert set(rounds.worked) == {"last"}
    assert rounds.beyond_edge.tolist() == [0.0, 0.0]


def test_rounds_worked_first_say_so():
    assert set(rounds_of(RECTANGLE, headland("all round", 'worked = "first"')).worked) == {"first"}


def test_without_a_turning_radius_there_are_no_rounds():
    assert len(rounds_of(RECTANGLE, headland(), radius="")) == 0


def test_a_headland_that_grows_nothing_has_no_rounds():
    assert len(rounds_of(RECTANGLE, '[headland]\nwhere = "all round"\nwidth = 12.0')) == 0


def test_ends_have_open_runs_from_side_to_side():
    # Rows run along the south edge, so the ends are the west and east edges of 100 m.
    rounds = rounds_of(RECTANGLE, headland("ends"))
    assert rounds.lines.length == pytest.approx([100.0] * 4, abs=0.01)
    assert not rounds.closed.any()
    assert sorted(zip(rounds.number.tolist(), rounds.piece.tolist(), strict=True)) == [
        (1, 1),
        (1, 2),
        (2, 1),
        (2, 2),
    ]


def test_a_run_reaches_the_last_ground_of_its_strip_at_a_slanting_side():
    # The north side rises 1 m a metre from 100 m in the west to 200 m. At the east end the run
    # at 3 m reaches the north side's height at the far edge of its strip: 200 m, 3 m beyond it.
    land = Polygon([(0, 0), (100, 0), (100, 200), (0, 100)])
    rounds = rounds_of(land, headland("ends", "steep = 60"))
    east = rounds.lines.ends(np.arange(len(rounds)))[:, :, 0].mean(axis=1) > 0
    first = (rounds.number == 1) & east
    assert rounds.lines.length[first] == pytest.approx([200.0], abs=0.02)
    assert rounds.beyond_edge[first] == pytest.approx([3.0], abs=0.02)


def test_an_obstacle_near_the_edge_parts_the_rounds_within_the_machines_reach():
    # A hole of 4 x 4 m whose near side is 5 m from the south edge: the round at 3 m reaches to
    # 6 m and is parted, and so is that at 9 m, which reaches down to 6 m, the hole to 9 m.
    rounds = rounds_of(RECTANGLE - box(98, 5, 102, 9), headland())
    assert rounds.number.tolist() == [1, 2]
    assert not rounds.closed.any()


def test_rounds_about_an_obstacle_come_where_the_headland_goes_round_it():
    # A hole of 20 x 10 m: runs that meet in corners at 3 m, a loop of 60 + 18 pi at 9 m.
    land = box(0, 0, 300, 200) - box(140, 90, 160, 100)
    rounds = rounds_of(land, headland("all round", "round_obstacles = true"))
    about = rounds.obstacle == 1
    assert rounds.lines.length[about & (rounds.number == 2)] == pytest.approx(
        [60 + 18 * pi], abs=0.01
    )
    assert rounds.lines.length[about & (rounds.number == 1)].sum() == pytest.approx(84, abs=0.02)


def test_where_one_edge_has_no_headland_rounds_are_cut_there():
    edge = '[[headland.edge]]\nside = "north"\nwidth = 0.0'
    rounds = rounds_of(RECTANGLE, headland() + "\n" + edge)
    top = max(shapely.get_coordinates(rounds.lines.geometry)[:, 1])
    assert not rounds.closed.any()
    assert len(rounds) == 2
    assert top == pytest.approx(50.0 - 3.0, abs=3.1)  # up to the corner, not along the north


def test_two_blocks_share_the_rounds_of_the_plans_headland():
    blocks = (
        '[[block]]\nname = "w"\npattern = "one"\npart = { side = "west", width = 90.0 }\n'
        '[[block]]\nname = "rest"\npattern = "one"\nrest = true'
    )
    rounds = rounds_of(RECTANGLE, headland(), blocks)
    assert rounds.block.tolist() == [-1, -1]
    assert rounds.closed.all()


def verdict(field, where):
    """Say what is wrong with a field's rounds, "" where nothing is."""
    given = plan(headland(where), guide='choose = "longest edge"')
    if refused(laid, field, given) is not None:
        return ""
    layout = laid(field, given)
    lines = layout.rounds.lines.geometry
    edge = shapely.boundary(
        shapely.union_all(
            shapely.polygons(shapely.get_exterior_ring(shapely.get_parts(layout.layers.drivable)))
        )
    )
    near = shapely.distance(lines, edge) < 3.0 - NEARER - 0.01
    if where == "all round" and near.any():
        return "a round is nearer to the edge than it may be"
    return "" if shapely.is_valid(lines).all() else "a line is not sound"


@pytest.mark.parametrize("where", ["all round", "ends"])
def test_rounds_of_15_real_fields(where):
    faults = {field.name: verdict(field, where) for field in real_fields(15, seed=44)}
    assert {name: fault for name, fault in faults.items() if fault} == {}


@pytest.mark.every_field
@pytest.mark.parametrize("where", ["all round", "ends"])
@pytest.mark.parametrize("tenth", range(10))
def test_rounds_of_every_tenth_real_field(where, tenth):
    # Rounds cost more than all the rest of a layout: 380 fields, not every one
    fields = real_fields(len(real_boundaries()) // 10, seed=1)[tenth::10]
    faults = {field.name: verdict(field, where) for field in fields}
    assert {name: fault for name, fault in faults.items() if fault} == {}
