"""What a key may not be is said as a plain sentence, with the place, the value and the way out."""

import re

import pytest

from geolayout.errors import PlanError
from geolayout.plan.faults import as_written
from geolayout.plan.parse import parse_plan

BASE = """
schema = 1
{top}
[guide]
{guide}
[[stand]]
name = "beans"
sowing = [ {{ crop = "field beans", {sowing} }} ]
[[pattern]]
name = "strips"
bands = [ {{ name = "A", stand = "beans", {band} }} ]
{more}
"""
SOUND = {
    "top": "",
    "guide": "bearing = 0.0",
    "sowing": "spacing = 0.25",
    "band": "width = 6.0",
    "more": "",
}
JARGON = re.compile(
    r"\b(tuple|dict|dictionary|instance|integer|boolean|string|float|validation|input"
    r"|field required|constrained|None|True|False|literal)\b|\[key\]"
)


def plan_text(**parts: str) -> str:
    return BASE.format(**{**SOUND, **parts})


def feature(keys: str) -> dict[str, str]:
    return {
        "more": f'[[feature]]\nkind = "hedge"\nsource = "h.geojson"\n'
        f'measured_from = "drawn edge"\n{keys}'
    }


def machine(keys: str) -> dict[str, str]:
    return {"more": f'[[machine]]\nname = "drill"\nworking_width = 3.0\n{keys}'}


# part of the plan, found, why, what to do
WRONG = [
    pytest.param(
        {"band": 'width = "6"'},
        'In pattern "strips", bands "A": width is "6".',
        "It must be a number or 'rest'.",
        "Write it without quotes.",
        id="a number in quotes",
    ),
    pytest.param(
        {"band": 'width = "rset"'},
        'width is "rset".',
        "a number or 'rest'",
        "Did you mean 'rest'?",
        id="a word with a slip",
    ),
    pytest.param(
        {"band": "width = true"},
        "width is true.",
        "a number or 'rest'",
        "Change width.",
        id="true for a width",
    ),
    pytest.param({"band": "width = 0"}, "width is 0.", "more than 0", "Change", id="no width"),
    pytest.param(
        {"band": "width = -6.0"}, "width is -6.0.", "more than 0", "Change", id="a width below 0"
    ),
    pytest.param(
        {"band": "width = nan"}, "width is nan.", "a finite number", "Change", id="not a number"
    ),
    pytest.param(
        {"band": "width = inf"},
        "width is inf.",
        "a finite number",
        "Change",
        id="a boundless width",
    ),
    pytest.param(
        {"band": "width = 1e9"}, "width is 1000000000.0.", "100000 or less", "Change", id="too wide"
    ),
    pytest.param(
        {"band": 'width = 6.0, whole = "yes"'},
        'whole is "yes".',
        "true or false",
        "without quotes",
        id="yes in quotes",
    ),
    pytest.param(
        {"band": "width = 6.0, whole = 1"},
        "whole is 1.",
        "true or false",
        "Change",
        id="1 for true",
    ),
    pytest.param(
        {"band": "width = 6.0, trees = 5.0"},
        "trees is 5.0.",
        "a table",
        "Put its keys in braces: trees = { ... }.",
        id="a number for a table",
    ),
    pytest.param(
        {"band": "width = 6.0, trees = { in_row_spacing = 5.0, species = 3 }"},
        'bands "A", trees: species is 3.',
        "words in quotes or a list",
        "",
        id="a number for a word or a list of words",
    ),
    pytest.param(
        {"sowing": "rows = 2.5"}, "rows is 2.5.", "a whole number", "Change rows.", id="half a row"
    ),
    pytest.param({"sowing": "rows = 0"}, "rows is 0.", "1 or more", "Change rows.", id="no row"),
    pytest.param(
        {"sowing": "at = 0.25"},
        "at is 0.25.",
        "a list",
        "at = [ ... ]",
        id="one place, no brackets",
    ),
    pytest.param(
        {"sowing": 'at = [0.1, "b"]'},
        'In stand "beans", sowing "field beans": at 2 is "b".',
        "a number",
        "Change at.",
        id="a word in a list of numbers",
    ),
    pytest.param(
        {"sowing": 'place = "scattered"'},
        'place is "scattered".',
        "'rows', 'broadcast' or 'standing'",
        "There are: rows, broadcast, standing.",
        id="a word that is none of a few",
    ),
    pytest.param(
        {"sowing": 'spacing = 0.25, when = { date = "soon" }'},
        'date is "soon".',
        "a day",
        "Write it as 2027-04-20, without quotes.",
        id="no day",
    ),
    pytest.param(
        {"sowing": "spacing = 0.25, when = { date = 07:30:00 }"},
        "date is 07:30:00.",
        "a day",
        "Write it as 2027-04-20",
        id="an hour for a day",
    ),
    pytest.param(
        {"sowing": "spacing = 0.25, rate = 4"},
        "rate is 4.",
        "a table",
        "rate = {",
        id="a bare rate",
    ),
    pytest.param(
        {"sowing": 'spacing = 0.25, mix = { early = "half" }'},
        "mix: early is",
        "a number",
        "Change early.",
        id="a share in words",
    ),
    pytest.param(
        {"sowing": 'spacing = 0.25, name = ""'},
        'name is "".',
        "at least one letter",
        "Change name.",
        id="an empty name",
    ),
    pytest.param(
        {"guide": "bearing = 360.0"}, "In guide: bearing", "less than 360", "", id="a full turn"
    ),
    pytest.param(
        {"guide": "bearing = -1"}, "bearing is -1.", "0 or more", "Change", id="a bearing below 0"
    ),
    pytest.param(
        {"guide": "points = [[7.0, 52.0]]"},
        "In guide: points has too few values.",
        "a line is two places or more.",
        "[[7.25, 52.5], [7.26, 52.5]]",
        id="a line of one place",
    ),
    pytest.param(
        {"guide": "points = [[7.0, 52.0], [7.1, 52.0], [7.2, 52.0]]"},
        "The straight guide has 3 points.",
        "two",
        'kind = "along"',
        id="a line of three places",
    ),
    pytest.param(
        {"guide": 'bearing = 1.0\nanchor = [7.0, "52"]'},
        'anchor 2 is "52".',
        "a number",
        "without quotes",
        id="a latitude in quotes",
    ),
    pytest.param(
        {"guide": "bearing = 1.0\nanchor = [500000.0, 52.0]"},
        "anchor 1 is 500000.0.",
        "180 or less",
        "Change anchor.",
        id="metres for degrees",
    ),
    pytest.param(
        {"guide": "bearing = 1.0\nanchor = [7.0, nan]"},
        "anchor 2 is nan.",
        "a finite number",
        "",
        id="a latitude that is no number",
    ),
    pytest.param(
        {"top": "[headland]\nsteep = 0"}, "In headland: steep", "1 or more", "", id="a flat end"
    ),
    pytest.param(
        {"top": "[margin]\nsides = { up = 3.0 }"},
        "In margin, sides: up is not known.",
        "'north', 'east', 'south' or 'west'",
        "There are: north, east, south, west.",
        id="a side that is none",
    ),
    pytest.param(
        {"more": "[[season]]\nyear = 27"},
        "In season 27: year is 27.",
        "1900 or more",
        "",
        id="27 AD",
    ),
    pytest.param(
        {"more": "[[season]]\nyear = 2027\ngrows = { A = 3 }"},
        "In season 2027, grows: A is 3.",
        "words in quotes",
        "Change A.",
        id="a number for a stand",
    ),
    pytest.param(
        feature("keep_clear = -3.0"),
        'In feature "hedge": keep_clear is -3.0.',
        "0 or more or a table",
        "Change keep_clear.",
        id="a distance below 0",
    ),
    pytest.param(
        feature('keep_clear = { trees = "3" }'),
        'In feature "hedge", keep_clear: trees is "3".',
        "a number",
        "Write it without quotes.",
        id="a distance in quotes, deep in a table",
    ),
    pytest.param(
        machine("header = 6.0"), "header is 6.0.", "a table", "header = { ... }", id="a bare header"
    ),
    pytest.param(
        {"top": "[field]\nid = 1.5"},
        "In field: id is 1.5.",
        "words in quotes or a whole number",
        "Change id.",
        id="half an id",
    ),
    pytest.param(
        {"more": '[[acknowledged]]\nhazard = "water"\nwho = "the grower"'},
        "In acknowledged 1: date is missing.",
        "",
        "Add date.",
        id="nobody says when",
    ),
    pytest.param(
        {"top": "machine = []\nacknowledged = 3"},
        "acknowledged is 3.",
        "a list",
        "acknowledged = [ ... ]",
        id="a number for a list of tables",
    ),
]


@pytest.mark.parametrize(("parts", "found", "why", "remedy"), WRONG)
def test_a_value_that_cannot_be_is_said_plainly(parts, found, why, remedy):
    with pytest.raises(PlanError) as caught:
        parse_plan(plan_text(**parts))
    assert found in caught.value.found
    assert why in caught.value.why
    assert remedy in caught.value.remedy
    assert not JARGON.search(str(caught.value)), caught.value
    assert all(part == "" or part[-1] in ".?)" for part in vars(caught.value).values())


def test_the_sound_plan_that_all_of_these_spoil_is_sound():
    assert parse_plan(plan_text()).guide.bearing == 0.0


def test_the_first_of_several_faults_is_told_and_the_others_are_counted():
    with pytest.raises(PlanError, match=r"width is -1\..*\(1 more fault lies behind it\.\)"):
        parse_plan(plan_text(band="width = -1", more="[[season]]\nyear = 27"))
    with pytest.raises(PlanError, match=r"\(2 more faults lie behind it\.\)"):
        parse_plan(plan_text(band="width = -1, whole = 3", more="[[season]]\nyear = 27"))


def test_a_list_with_a_faulty_entry_is_one_fault():
    with pytest.raises(PlanError) as caught:
        parse_plan(plan_text(band="width = -1"))
    assert "more fault" not in str(caught.value)


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (True, "true"),
        (False, "false"),
        ("6.0", '"6.0"'),
        (6.0, "6.0"),
        ({"a": 1}, "a table"),
        ([1, 2], "a list"),
        ([], "an empty list"),
    ],
    ids=str,
)
def test_values_are_shown_about_as_the_file_has_them(value, written):
    assert as_written(value) == written
