"""Pieces between drawn lines and tiers along the rows, as a plan says them."""

import pytest

from geolayout.errors import PlanError
from geolayout.plan.parse import parse_plan
from geolayout.plan.parts import tier_name

PLAN = """
schema = 1
{keys}
[[stand]]
name = "wheat"
sowing = [ {{ crop = "wheat", {rows}, operation = "drill" }} ]
[[pattern]]
name = "p"
bands = [ {{ name = "A", width = 6.0, stand = "wheat" }} ]
[[machine]]
name = "drill"
working_width = 3.0
[[operation]]
name = "drill"
machine = "drill"
{work}
"""


def plan_of(keys="", rows="spacing = 0.125", work=""):
    return parse_plan(PLAN.format(keys=keys, rows=rows, work=work))


def block_of(keys):
    (block,) = plan_of(f'[[block]]\nname = "b"\npattern = "p"\n{keys}').blocks
    return block


def test_pieces_of_one_file_and_name_share_their_lines():
    lines = ['line = "s.geojson"', 'line = "s.geojson", line_name = "north"']
    keys = [block_of(f"piece = {{ {one}, near = [7.0, 52.0] }}").piece.key for one in lines]
    assert keys == ["s.geojson", "s.geojson north"]


def test_the_area_of_a_block_is_chosen_as_a_shape_of_a_feature_is():
    block = block_of('land = "a.gpkg"\nlayer = "parts"\nattribute = { part = "north" }\nid = 3')
    assert (block.layer, block.id, block.attribute) == ("parts", 3, {"part": "north"})


@pytest.mark.parametrize(
    ("keys", "match"),
    [
        pytest.param("", r"says 0 times.*land, part, piece or rest", id="no land"),
        pytest.param(
            'land = "a"\npiece = { line = "s", near = [7.0, 52.0] }',
            r"says 2 times which land",
            id="two lands",
        ),
        pytest.param('piece = { line = "s" }', r"near", id="which piece"),
        pytest.param(
            'piece = { line = "s", near = [52.0, 107.0] }', r"near", id="a latitude beyond the pole"
        ),
        pytest.param('rest = true\nid = "a"', r"has id and no land", id="an id of nothing"),
        pytest.param(
            'land = "a"\nattribute = { a = 1, b = 2 }', r"chosen by 2 columns", id="two columns"
        ),
        pytest.param("rest = true\ntiers = { }", r"both count and length, or neither", id="how"),
        pytest.param(
            "rest = true\ntiers = { count = 2, length = 9.0 }",
            r"both count and length, or neither",
            id="two ways",
        ),
        pytest.param("rest = true\ntiers = { count = 0 }", r"count", id="no tier"),
        pytest.param("rest = true\ntiers = { length = -4.0 }", r"length", id="a negative length"),
        pytest.param("rest = true\ntiers = { count = 2, gap = -1.0 }", r"gap", id="an overlap"),
        pytest.param(
            'rest = true\ntiers = { count = 2, stand = "wheat" }',
            r"stand = 'wheat' and no gap",
            id="a stand nowhere",
        ),
        pytest.param(
            'rest = true\ntiers = { count = 2, gap = 3.0, stand = "rye" }',
            r"tiers of block b names 'rye'",
            id="a stand unknown",
        ),
        pytest.param(
            "rest = true\ntiers = { count = 2, places = [[0.0, 9.0], [8.0, 20.0]] }",
            r"behind the one before it",
            id="places that overlap",
        ),
        pytest.param(
            "rest = true\ntiers = { count = 3, places = [[0.0, 9.0], [9.0, 20.0]] }",
            r"count = 3 and 2 places",
            id="a place too few",
        ),
    ],
)
def test_a_block_that_contradicts_itself_is_refused(keys, match):
    with pytest.raises(PlanError, match=match):
        block_of(keys)


TIERED = '[[block]]\nname = "n"\npattern = "p"\nrest = true\ntiers = { count = 2 }\n'
SEASON = '[[season]]\nyear = 2028\ngrows = { "%s" = "none" }\n'


def test_a_season_can_name_a_block_and_each_of_its_tiers():
    for key in ("A", "n/A", "n tier 1/A", "n tier 2/A"):
        assert key in plan_of(TIERED + SEASON % key).seasons[0].grows
    with pytest.raises(PlanError, match=r"names 'n tier 3/A'"):
        plan_of(TIERED + SEASON % "n tier 3/A")


def test_how_many_tiers_of_a_length_fit_is_not_known_before_the_field():
    text = TIERED.replace("count = 2", "length = 40.0") + SEASON % "n tier 7/A"
    assert plan_of(text).seasons[0].grows == {"n tier 7/A": "none"}


def test_no_block_is_called_like_a_tier_of_another():
    part = 'part = { side = "north", width = 9.0 }'
    with pytest.raises(PlanError, match=r"called like a tier of block n\."):
        plan_of(TIERED + f'[[block]]\nname = "{tier_name("n", 2)}"\npattern = "p"\n{part}\n')


@pytest.mark.parametrize("angle", [20.0, 45.0, 90.0])
def test_what_is_crossed_is_sown_twice(angle):
    plan = plan_of(work=f'over = "block"\ncrossed = {angle}')
    assert plan.ways_of(plan.stands[0].sowing[0]) == 2
    assert plan_of().ways_of(plan.stands[0].sowing[0]) == 1


@pytest.mark.parametrize(
    ("rows", "work", "match"),
    [
        pytest.param("spacing = 0.1", "crossed = 90.0", r'over = "band"', id="within a band"),
        pytest.param(
            "spacing = 0.1", 'over = "pattern"\ncrossed = 90.0', r'over = "pattern"', id="a repeat"
        ),
        pytest.param("spacing = 0.1", 'over = "block"\ncrossed = 19.0', "crossed", id="too slight"),
        pytest.param("spacing = 0.1", 'over = "block"\ncrossed = 91.0', "crossed", id="too much"),
        pytest.param(
            "at = [0.1], every = 0.5",
            'over = "block"\ncrossed = 90.0',
            r"placed by at, and operation drill is crossed",
            id="a motif of rows",
        ),
    ],
)
def test_a_crossing_that_cannot_be_is_refused(rows, work, match):
    with pytest.raises(PlanError, match=match):
        plan_of(rows=rows, work=work)
