"""The land as the plan speaks of it: field, features, guide, headland, margin, blocks."""

import pytest

from geolayout.errors import PlanError
from geolayout.land.kinds import KINDS
from geolayout.plan.features import Clearance, FeatureSource
from geolayout.plan.ground import Headland
from geolayout.plan.guide import Guide
from geolayout.plan.parse import parse_plan
from geolayout.plan.plan import Plan

BENT = 'kind = "along"\npoints = [[7.0, 52.0], [7.001, 52.0], [7.002, 52.001]]\nfrom = "south"\n'

CONTOUR = """kind = "contour"
baseline = [ { points = [[7.0, 52.0], [7.001, 52.0]], low = -20.0, high = 30.0 } ]
"""

PLAN = """
schema = 1
{keys}
[[pattern]]
name = "p"
bands = [ {{ name = "A", width = 6.0, stand = "none" }} ]
[[machine]]
name = "drill"
working_width = 3.0
turning_radius = 6.5
[[machine]]
name = "roller"
working_width = 6.0
"""


def plan_of(keys: str) -> Plan:
    return parse_plan(PLAN.format(keys=keys))


def guide_of(keys: str) -> Guide:
    return plan_of(f"[guide]\n{keys}").guide


def feature_of(kind: str, keys: str = "") -> FeatureSource:
    return plan_of(f'[[feature]]\nkind = "{kind}"\nsource = "x.geojson"\n{keys}').features[0]


# ---- field


def test_a_field_may_be_left_out():
    field = plan_of("").field
    assert (field.boundary, field.terrain, field.farm, field.height) == (None, None, None, 0.0)


def test_a_field_is_chosen_by_one_column():
    assert plan_of('[field]\nattribute = { parcel = "12" }').field.attribute == {"parcel": "12"}
    with pytest.raises(PlanError, match=r"chosen by 2 columns"):
        plan_of('[field]\nattribute = { a = "1", b = "2" }')


def test_usual_temperatures_stand_beside_a_record_and_not_alone():
    both = 'weather = "station.csv"\nweather_usual = "normals.csv"'
    assert plan_of(f"[field]\n{both}").field.weather_usual == "normals.csv"
    with pytest.raises(PlanError, match=r"normals\.csv, and no weather"):
        plan_of('[field]\nweather_usual = "normals.csv"')


def test_a_field_says_what_lies_within_it_and_how_far_it_is_thinned():
    field = plan_of('[field]\ninner = "hole"\nthin = 0.1').field
    assert (field.inner, field.thin) == ("hole", 0.1)
    assert (plan_of("").field.inner, plan_of("").field.thin) == (None, None)


@pytest.mark.parametrize(
    ("keys", "match"),
    [
        pytest.param('inner = "cut"', "inner", id="a word that is none"),
        pytest.param("thin = -0.1", "thin", id="thinned by less than nothing"),
        pytest.param("thin = 6.0", "thin", id="thinned by 6 m"),
        pytest.param("thin = true", "thin", id="thinned by a yes"),
    ],
)
def test_a_field_is_held_to_its_words_and_bounds(keys, match):
    with pytest.raises(PlanError, match=match):
        plan_of(f"[field]\n{keys}")


# ---- features


@pytest.mark.parametrize("kind", KINDS)
def test_protected_kinds_must_say_how_far_to_keep_clear(kind):
    if not KINDS[kind].protected:
        assert feature_of(kind).clearance == Clearance()
        return
    with pytest.raises(PlanError, match=rf"{kind} has no keep_clear.*0 allowed"):
        feature_of(kind)
    assert feature_of(kind, 'keep_clear = 0\nmeasured_from = "drawn edge"').clearance.all == 0


def test_a_kind_with_a_slip_finds_its_neighbour():
    with pytest.raises(PlanError, match=r"kind 'hegde'.*closed list.*Did you mean 'hedge'"):
        feature_of("hegde")


@pytest.mark.parametrize(
    ("keys", "match"),
    [
        pytest.param("keep_clear = 3.0", r"no measured_from.*centre line", id="from what"),
        pytest.param(
            'keep_clear = 3.0\nmeasured_from = "top of bunk"',
            r"measured_from 'top of bunk'.*'top of bank'",
            id="from nothing known",
        ),
    ],
)
def test_a_distance_starts_from_something(keys, match):
    with pytest.raises(PlanError, match=match):
        feature_of("ditch", keys)


def test_a_number_keeps_everything_clear_and_a_table_says_what():
    here = 'measured_from = "drawn edge"\n'
    assert feature_of("hedge", here + "keep_clear = 3.0").clearance == Clearance(all=3.0)
    mixed = feature_of("overhead line", here + "keep_clear = { trees = 8.0, turning = 5.0 }")
    assert mixed.clearance == Clearance(all=0.0, trees=8.0, turning=5.0)


def test_a_feature_is_called_by_its_name_or_its_kind():
    assert feature_of("fence").label == "fence"
    assert feature_of("fence", 'name = "west fence"').label == "west fence"


# ---- guide


@pytest.mark.parametrize(
    ("keys", "way"),
    [
        ("bearing = 12.5", "bearing"),
        ('near_edge = "north-west"', "near_edge"),
        ("points = [[7.0, 52.0], [7.1, 52.0]]", "points"),
        ('line = "last_year.geojson"', "line"),
        ('choose = "longest edge"', "choose"),
    ],
    ids=["bearing", "near edge", "points", "line", "choose"],
)
def test_a_guide_has_one_direction(keys, way):
    assert guide_of(keys).ways == [way]
    with pytest.raises(PlanError, match=r"given in 2 ways"):
        guide_of(keys + "\n" + ("bearing = 1.0" if way != "bearing" else 'line = "x"'))


@pytest.mark.parametrize(
    ("keys", "match"),
    [
        pytest.param('from = "west"', r"given in 0 ways\..*exactly one", id="no direction"),
        pytest.param(
            "bearing = 1.0\nanchor = [7.0, 52.0]\nstart = 0.0",
            r"anchor and start = 0 m",
            id="two beginnings",
        ),
        pytest.param(
            'line = "x"\nanchor = [7.0, 52.0]', r"anchor and line.*where t = 0 is", id="two origins"
        ),
    ],
)
def test_a_guide_that_contradicts_itself_is_refused(keys, match):
    with pytest.raises(PlanError, match=match):
        guide_of(keys)


@pytest.mark.parametrize(
    ("keys", "resolved"),
    [
        ("bearing = 1.0\nanchor = [7.0, 52.0]\nnumber_at_anchor = 1", True),
        ("bearing = 1.0\nanchor = [7.0, 52.0]", False),
        ("bearing = 1.0", False),
        ('near_edge = "west"', False),
        ('kind = "along"\nnear_edge = "west"\nnumber_at_anchor = 1', False),
        (BENT + "number_at_anchor = 1", True),
        (BENT, False),
        ('kind = "contour"\nnumber_at_anchor = 1', False),
        (CONTOUR + "number_at_anchor = 1", True),
    ],
    ids=[
        "settled",
        "no number yet",
        "no anchor yet",
        "a wish",
        "an edge",
        "a bent line",
        "a bent line without number",
        "a contour",
        "a contour that was found",
    ],
)
def test_a_resolved_guide_leaves_nothing_to_choose(keys, resolved):
    assert guide_of(keys).resolved is resolved


def test_the_key_from_is_read_and_written_under_its_own_name():
    guide = guide_of('bearing = 1.0\nfrom = "west"')
    assert guide.from_ == "west"
    assert guide.model_dump(by_alias=True, exclude_unset=True) == {"bearing": 1.0, "from": "west"}


# ---- headland and margin


def test_there_is_no_headland_unless_one_is_asked_for():
    headland = plan_of("").headland
    assert (headland.where, headland.corners, headland.steep) == ("none", "mitred", 30.0)
    assert plan_of("").headland_width(headland) == 0.0


@pytest.mark.parametrize(
    ("keys", "width"),
    [
        pytest.param("width = 12.0", 12.0, id="metres"),
        pytest.param('passes = 4\nmachine = "drill"', 12.0, id="4 passes of 3 m"),
        pytest.param('width = 12.0\npasses = 4\nmachine = "drill"', 12.0, id="both, and equal"),
        # sqrt(13^2 - 8^2) + 6.5 + 1.5 = 18.25, seven widths of 3 m
        pytest.param('turn = { machine = "drill" }', 21.0, id="a turn into the next pass"),
        # 5 x 3 = 15 m is more than two radii: 6.5 + 1.5 = 8
        pytest.param('turn = { machine = "drill", step = 5 }', 9.0, id="into every fifth pass"),
        pytest.param('turn = { machine = "drill", way = "three-point" }', 9.0, id="back once"),
    ],
)
def test_a_headland_has_a_width_in_metres_or_in_passes(keys, width):
    plan = plan_of(f'[headland]\nwhere = "ends"\n{keys}')
    assert plan.headland_width(plan.headland) == width


@pytest.mark.parametrize(
    ("keys", "match"),
    [
        pytest.param('where = "ends"', r'"ends" and has no width', id="no width"),
        pytest.param("passes = 4", r"passes without a machine", id="passes of nothing"),
        pytest.param('machine = "drill"', r"machine without passes", id="a machine, how often"),
        pytest.param('where = "sides"\nwidth = 3.0', r'where is "sides"', id="nowhere known"),
        pytest.param(
            'where = "ends"\nwidth = 3.0\nturn = { machine = "drill" }',
            r"a turn beside a width",
            id="two widths",
        ),
        pytest.param(
            'where = "ends"\nturn = { machine = "roller" }', r"no turning_radius", id="no radius"
        ),
        pytest.param('turn = { machine = "plough" }', r"names 'plough'", id="no such machine"),
        pytest.param("edge = [ { width = 3.0 } ]", r"both side and near, or neither", id="where"),
        pytest.param(
            'edge = [ { side = "north", near = [7.0, 52.0], width = 3.0 } ]',
            r"both side and near",
            id="an edge said twice",
        ),
        pytest.param(
            'edge = [ { side = "north", width = 3.0, stand = "rye" } ]',
            r"names 'rye'",
            id="no such stand on an edge",
        ),
        pytest.param("steep = 91", r"90 or less", id="steeper than square"),
    ],
)
def test_a_headland_that_says_too_little_or_too_much_is_refused(keys, match):
    with pytest.raises(PlanError, match=match):
        plan_of(f"[headland]\n{keys}")


def test_edges_have_widths_of_their_own_and_a_name_to_be_called_by():
    keys = "edge = [ { side = 'north', width = 3.0 }, { near = [7.0, 52.0], width = 0.0 } ]"
    north, near = plan_of(f"[headland]\n{keys}").headland.edges
    assert (north.label, north.width) == ("the north edge", 3.0)
    assert (near.label, near.width) == ("the edge near 7, 52", 0.0)


@pytest.mark.parametrize(
    "keys",
    ["width = 3.0\nsides = { north = 2.0 }", "", "sides = {}"],
    ids=["both", "none", "empty"],
)
def test_a_margin_has_a_width_or_sides(keys):
    with pytest.raises(PlanError, match=r"both width and sides, or neither"):
        plan_of(f"[margin]\n{keys}")


def test_a_margin_of_sides_is_read():
    margin = plan_of("[margin]\nsides = { north = 3.0, west = 0.0 }").margin
    assert margin.sides == {"north": 3.0, "west": 0.0}


# ---- blocks


@pytest.mark.parametrize(
    ("keys", "times"),
    [
        ("", 0),
        ("rest = false", 0),
        ('rest = true\nland = "x.geojson"', 2),
        ('land = "x.geojson"\npart = { side = "north", width = 9.0 }', 2),
    ],
    ids=["not at all", "rest is false", "twice", "twice too"],
)
def test_a_block_says_once_which_land_it_is(keys, times):
    with pytest.raises(PlanError, match=rf"Block n says {times} times"):
        plan_of(f'[[block]]\nname = "n"\npattern = "p"\n{keys}')


def test_a_block_has_its_own_guide_and_headland_or_the_plans():
    plan = plan_of(
        '[guide]\nbearing = 1.0\n[[block]]\nname = "a"\npattern = "p"\nland = "x"\n'
        'guide = { bearing = 2.0 }\nheadland = { where = "none" }\n'
        '[[block]]\nname = "b"\npattern = "p"\nrest = true'
    )
    assert [plan.guide_of(block).bearing for block in plan.blocks] == [2.0, 1.0]
    assert plan.blocks[0].headland == Headland(where="none")
    assert plan.blocks[1].headland is None
