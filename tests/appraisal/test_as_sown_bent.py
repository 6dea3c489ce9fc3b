"""Work done on rounds, along bent lines and on the contour, held against its plan. All invented."""

import numpy as np
import pytest
import shapely
from hills import on_hill
from strategies import field_of, laid, plan_of
from work_records import as_planned, operation_of, strand

from geolayout.appraisal.worked import places as work_places
from geolayout.appraisal.worked.as_sown import compare_work
from geolayout.appraisal.worked.done import WorkDone
from geolayout.appraisal.worked.places import _legs_of
from geolayout.appraisal.worked.planned import planned_work

STRIPS = """
[headland]
where = "ends"
width = 12.0
[[stand]]
name = "oats"
sowing = [ { crop = "oats", spacing = 0.25, operation = "drill" } ]
[[pattern]]
name = "p"
bands = [ { name = "A", width = 6.0, stand = "oats" } ]
[[machine]]
name = "seeder"
working_width = 6.0
turning_radius = 6.5
[[operation]]
name = "drill"
machine = "seeder"
over = "block"
"""
ALL_ROUND = STRIPS.replace('"ends"', '"all round"')
LAND = shapely.box(0, 0, 160, 140)
BENT = 'kind = "along"\npoints = {points}\nfrom = "west"'


def along_a_bend():
    """Give rows along a line that turns 20 m aside over 140 m."""
    field = field_of(LAND)
    y = np.linspace(-90.0, 90.0, 13)
    drawn = np.stack([-60.0 + 20.0 * np.cos(y / 60.0), y], axis=1)
    points = field.frame.lonlat(drawn).tolist()
    return laid(field, plan_of(STRIPS, guide=BENT.format(points=points)))


def on_the_contour():
    """Give rows on the level of a cone whose top lies 300 m to the west."""
    hill = on_hill(lambda x, y: 100 - 0.08 * np.hypot(x + 300, y), LAND)
    return laid(hill, plan_of(STRIPS, guide='kind = "contour"\nsmooth = 0.5'))


def round_and_round():
    return laid(field_of(LAND), plan_of(ALL_ROUND, guide='kind = "round"'))


@pytest.fixture(scope="module")
def layouts():
    return {
        "along": along_a_bend(),
        "contour": on_the_contour(),
        "round": round_and_round(),
    }


KINDS = pytest.mark.parametrize("kind", ["along", "contour", "round"])


def compared(layout, work):
    return compare_work(layout, operation_of(layout, "drill"), work)


@KINDS
def test_work_as_planned_comes_back_clean(layouts, kind):
    layout = layouts[kind]
    sown = compared(layout, driven(layout, 0.0))
    # Places cut the corners of what they lie on: 0.01 % on bends, 0.1 % on rounds.
    share = 1e-3 if kind == "round" else 1e-4
    assert sown.planned_m2 > 10_000.0
    assert sown.missed_m2 <= share * sown.planned_m2
    assert sown.doubled_m2 <= share * sown.planned_m2
    assert (sown.missed, sown.doubled, sown.wrong) == ((), (), ())
    assert sown.mean_across_m == pytest.approx(0.0, abs=0.005)
    # Lines reach beyond slanting ends; what lies there is not on crop land.
    assert all(one.worked_m <= one.planned_m + 0.1 for one in sown.passes)
    worked = sum(one.worked_m for one in sown.passes)
    assert worked == pytest.approx(sum(one.planned_m for one in sown.passes), rel=0.06)


def begun_on_a_straight(line):
    """Return a round that begins in the middle of its longest leg, as a driver would begin it."""
    xy = shapely.get_coordinates(line)[:-1]
    longest = int(np.argmax(np.hypot(*(np.roll(xy, -1, axis=0) - xy).T)))
    xy = np.roll(xy, -longest - 1, axis=0)
    middle = (xy[-1:] + xy[:1]) / 2.0
    return shapely.LineString(np.concatenate([middle, xy, middle]))


def driven(layout, right):
    """Return work with every pass moved to the right, square to each of its stretches."""
    passes = layout.passes
    mine = np.flatnonzero(passes.operation == operation_of(layout, "drill"))
    lines = passes.lines.geometry[mine]
    lines = np.array([begun_on_a_straight(one) if one.is_closed else one for one in lines])
    moved = shapely.offset_curve(lines, -right, join_style="mitre") if right else lines
    strands = []
    for line in moved:
        count = max(round(line.length / 0.5), 2)
        far = line.length * (np.arange(count) + 0.5) / count
        xy = shapely.get_coordinates(shapely.line_interpolate_point(line, far))
        strands.append(strand(xy, 6.0))
    return WorkDone(tuple(strands))


@KINDS
@pytest.mark.parametrize("right", [0.10, 0.20, -0.30])
def test_passes_off_line_show_by_how_much_and_which_way(layouts, kind, right):
    layout = layouts[kind]
    sown = compared(layout, driven(layout, right))
    assert sown.mean_across_m == pytest.approx(right, abs=0.01)
    long = [one for one in sown.passes if one.worked_m > 20.0]
    assert [one.mean_across_m for one in long] == pytest.approx([right] * len(long), abs=0.03)


@KINDS
def test_a_pass_nobody_drove_is_a_gap(layouts, kind):
    layout = layouts[kind]
    work = as_planned(layout, "drill", step=1.0)
    clean = compared(layout, work)
    longest = max(range(len(work.strands)), key=lambda k: len(work.strands[k].xy))
    left = [one for k, one in enumerate(work.strands) if k != longest]
    sown = compared(layout, WorkDone(tuple(left)))
    operation = operation_of(layout, "drill")
    planned = planned_work(layout, operation)
    ground = planned.passes[int(planned.which[longest])].ground
    line = planned.lines[longest]
    # One piece of the pass: its own ground lies within half a width of its line.
    own = shapely.intersection(ground, shapely.buffer(line, 3.0, cap_style="flat")).area
    assert sown.missed_m2 - clean.missed_m2 == pytest.approx(own, rel=0.02)
    assert sown.missed
    (gone,) = [one for one in sown.passes if one.missed_m2 > 0.5 * own]
    assert gone.number == planned.passes[int(planned.which[longest])].number


@KINDS
def test_ground_of_passes_sums_to_what_is_missed_and_doubled(layouts, kind):
    layout = layouts[kind]
    sown = compared(layout, driven(layout, 0.20))  # crumbs under 1 dm2 are no pass's
    assert sum(one.missed_m2 for one in sown.passes) == pytest.approx(
        sown.missed_m2, rel=0.02, abs=1.0
    )
    assert sum(one.doubled_m2 for one in sown.passes) == pytest.approx(
        sown.doubled_m2, rel=0.02, abs=1.0
    )


@KINDS
def test_the_ground_of_an_operation_is_that_of_its_passes(layouts, kind):
    layout = layouts[kind]
    planned = planned_work(layout, operation_of(layout, "drill"))
    several = [one.ground for one in planned.passes]
    whole = shapely.union_all(several, grid_size=1e-6)
    for b, ground in planned.ground.items():
        assert shapely.difference(ground, whole, grid_size=1e-6).area < 0.01, b
    corners = whole.area - sum(ground.area for ground in planned.ground.values())
    assert corners == pytest.approx(0.0, abs=1.0) if kind != "round" else corners >= 0.0


@KINDS
def test_the_search_by_legs_finds_what_whole_lines_would(layouts, kind):
    layout = layouts[kind]
    lines = planned_work(layout, operation_of(layout, "drill")).lines
    rng = np.random.default_rng(7)
    xy = rng.uniform(-70.0, 70.0, (400, 2))
    points = shapely.points(xy)
    legs = _legs_of(lines)
    leg = legs.nearest(xy)
    apart = np.array([[line.distance(point) for line in lines] for point in points])
    found = apart[np.arange(len(xy)), legs.line[leg]]
    assert found == pytest.approx(apart.min(axis=1), abs=1e-9)
    assert (np.abs(legs.beside(leg, xy)) <= found + 1e-9).all()
    assert np.array_equal(work_places._nearest(lines, points), legs.line[leg])
