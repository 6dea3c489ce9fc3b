"""From the text of a plan file to a plan, or to a sentence that names what is near."""

from pathlib import Path

import pytest
from strategies import refused

from geolayout.errors import PlanError
from geolayout.plan.farm import FarmFile
from geolayout.plan.machines import Machine
from geolayout.plan.parse import farm_file, parse_farm, parse_plan

PLANS = Path(__file__).parents[1] / "plans"

GUIDE = "[guide]\nbearing = 0.0\n"
STANDS = """
[[stand]]
name = "maize"
sowing = [ { crop = "maize", spacing = 0.75, operation = "plant" } ]
[[stand]]
name = "beans"
sowing = [ { crop = "field beans", spacing = 0.25 } ]
"""
PATTERN = """
[[pattern]]
name = "strips"
bands = [
  { name = "A", width = 6.0, stand = "maize" },
  { name = "B", width = 6.0, stand = "beans" },
]
"""
MACHINES = """
[[machine]]
name = "planter"
working_width = 6.0
[[operation]]
name = "plant"
machine = "planter"
"""
SOUND = "schema = 1\n" + GUIDE + STANDS + PATTERN + MACHINES
TREES = """
[[pattern]]
name = "alleys"
bands = [ { name = "T", width = 3.0, trees = { in_row_spacing = 5.0 } } ]
"""


def test_a_sound_plan_is_read():
    plan = parse_plan(SOUND)
    assert plan.version == 1
    assert [stand.name for stand in plan.stands] == ["maize", "beans"]
    assert plan.machine("planter").working_width == 6.0


def test_the_complete_plan_is_read():
    text = (PLANS / "complete.toml").read_text("utf-8")
    plan = parse_plan(text, farm=parse_farm((PLANS / farm_file(text)).read_text("utf-8")))
    assert len(plan.blocks) == 6
    assert plan.machine("roller").working_width == 6.0


# ---- what is no plan


@pytest.mark.parametrize(
    ("text", "match"),
    [
        pytest.param(
            "x = ", r"cannot be read.*not written in TOML.*quotes round words", id="no TOML"
        ),
        pytest.param("", r"no schema.*Begin the file with schema = 1", id="nothing at all"),
        pytest.param(
            "schema = 2", r"schema = 2\. This version reads schema = 1", id="a later plan"
        ),
        pytest.param('schema = "1"', r'schema = "1"', id="a schema in quotes"),
        pytest.param("schema = true", r"schema = true\.", id="true is not 1"),
        pytest.param("schema = 1", r"^pattern is missing\. +Add pattern\.", id="no pattern"),
        pytest.param("schema = 1\npattern = []", r"pattern is an empty list", id="an empty list"),
        pytest.param(
            "schema = 1\nstand = 3\npattern = 4", r"stand is 3\. It must be a list", id="3"
        ),
        pytest.param("schema = 1\n[[a]]\nb = 1\n[[a", r"cannot be read", id="a broken heading"),
        pytest.param("schema = 1\nschema = 1", r"cannot be read", id="a key twice"),
    ],
)
def test_what_is_no_plan_is_said_first(text, match):
    with pytest.raises(PlanError, match=match):
        parse_plan(text)


# ---- unknown keys, anywhere


@pytest.mark.parametrize(
    ("more", "match"),
    [
        pytest.param("[[patern]]\nname = 'x'", r"^patern is not known.*'pattern'", id="top level"),
        pytest.param("[field]\nboundry = 'x'", r"boundry.*'boundary'", id="field"),
        pytest.param("[headland]\nwidht = 3.0", r"In headland: widht.*'width'", id="headland"),
        pytest.param("[margin]\nwide = 3.0", r"wide is not known.*'width'.*'sides'", id="margin"),
        pytest.param(
            "[[feature]]\nkind='fence'\nsource='x'\nclear=1", r"clear.*'layer'", id="feature"
        ),
        pytest.param(
            "[[machine]]\nname='x'\nworking_width=3.0\nrow_space=1",
            r'machine "x": row_space.*\'row_spacing\'',
            id="machine",
        ),
        pytest.param(
            "[[machine]]\nname='x'\nworking_width=3.0\nheader={wide=1}",
            r"header: wide",
            id="header",
        ),
        pytest.param(
            "[[operation]]\nname='x'\nmachine='planter'\nofset=1",
            r"ofset.*'offset'",
            id="operation",
        ),
        pytest.param(
            "[[block]]\nname='x'\npattern='strips'\nrest=true\nguides={}",
            r"guides.*'guide'",
            id="block",
        ),
        pytest.param(
            "[[block]]\nname='x'\npattern='strips'\npart={side='north',wide=3}",
            r"part: wide.*'side' or 'width'",
            id="part",
        ),
        pytest.param("[[season]]\nyear=2027\ngrow={}", r"season 2027: grow.*'grows'", id="season"),
        pytest.param(
            "[[acknowledged]]\nhazard='x'\nwho='y'\nwhen=2027-01-01",
            r"when is not known",
            id="acknowledged",
        ),
        pytest.param(
            "[[stand]]\nname='s'\nsowing=[{crop='x', spacng=0.2}]",
            r'stand "s", sowing "x": spacng.*\'spacing\'',
            id="sowing",
        ),
        pytest.param(
            "[[stand]]\nname='s'\nsowing=[{crop='x', spacing=0.2, rate={kg_ha=4}}]",
            r"rate: kg_ha.*'kg_per_ha'",
            id="rate",
        ),
        pytest.param(
            "[[stand]]\nname='s'\nsowing=[{crop='x', spacing=0.2, when={stag='V5'}}]",
            r"when: stag.*'stage'",
            id="when",
        ),
    ],
)
def test_unknown_keys_are_errors_that_list_near_ones(more, match):
    with pytest.raises(PlanError, match=match):
        parse_plan(SOUND + more)


@pytest.mark.parametrize(
    ("pattern", "match"),
    [
        pytest.param("remaind = 'cut'", r'pattern "strips": remaind.*\'remainder\'', id="pattern"),
        pytest.param("trial = { treatment = [] }", r"trial: treatment.*'treatments'", id="trial"),
    ],
)
def test_unknown_keys_of_a_pattern_are_errors(pattern, match):
    text = SOUND.replace('name = "strips"', f'name = "strips"\n{pattern}')
    with pytest.raises(PlanError, match=match):
        parse_plan(text)


@pytest.mark.parametrize(
    ("band", "match"),
    [
        pytest.param("tree = {}", r'bands "A": tree is not known.*\'trees\'', id="band"),
        pytest.param("trees = { in_row = 5.0 }", r"trees: in_row.*'in_row_spacing'", id="trees"),
        pytest.param(
            "trees = { in_row_spacing = 5.0, setback = { edge = 3.0 } }",
            r"setback: edge.*There are: boundary, headland, feature",
            id="setback",
        ),
    ],
)
def test_unknown_keys_of_a_band_are_errors(band, match):
    text = SOUND.replace('name = "A", width = 6.0', f'name = "A", width = 6.0, {band}')
    with pytest.raises(PlanError, match=match):
        parse_plan(text)


# ---- names that point at nothing


@pytest.mark.parametrize(
    ("old", "new", "match"),
    [
        pytest.param('stand = "beans"', 'stand = "beens"', r"Band B.*'beens'.*'beans'", id="band"),
        pytest.param('machine = "planter"', 'machine = "planer"', r"'planter'", id="operation"),
        pytest.param('operation = "plant"', 'operation = "plan"', r"'plant'", id="sowing"),
    ],
)
def test_a_name_with_a_slip_finds_its_neighbour(old, new, match):
    with pytest.raises(PlanError, match=match):
        parse_plan(SOUND.replace(old, new))


@pytest.mark.parametrize(
    ("more", "match"),
    [
        pytest.param(
            "[headland]\nstand='gras'", r"The headland names 'gras'", id="headland's stand"
        ),
        pytest.param(
            "[headland]\npasses=2\nmachine='drill'", r"headland names 'drill'", id="its machine"
        ),
        pytest.param("[margin]\nwidth=1.0\nstand='gras'", r"margin names 'gras'", id="margin"),
        pytest.param(
            "[[block]]\nname='n'\npattern='strip'\nrest=true", r"'strip'.*'strips'", id="pattern"
        ),
        pytest.param(
            "[[season]]\nyear=2027\ngrows={C='beans'}", r"season 2027 names 'C'", id="a band"
        ),
        pytest.param(
            "[[season]]\nyear=2027\ngrows={A='bean'}", r"names 'bean'.*'beans'", id="a stand"
        ),
        pytest.param(
            "[[season]]\nyear=2027\ngrows={'north/A'='beans'}", r"'north/A'", id="a block's band"
        ),
        pytest.param(
            "[[season]]\nyear=2027\ngrows={rest='beans'}", r"names 'rest'", id="a rest that is not"
        ),
        pytest.param(
            "[[operation]]\nname='hoe'\nmachine='planter'\nstands=['bean']",
            r"Operation hoe names 'bean'.*'beans'",
            id="an operation's stand",
        ),
        pytest.param(
            "[[stand]]\nname='s'\nsowing=[{crop='x', spacing=0.2, skip=['spray']}]",
            r"skip of x in stand s names 'spray'",
            id="an operation to skip",
        ),
    ],
)
def test_names_that_point_at_nothing_are_errors(more, match):
    with pytest.raises(PlanError, match=match):
        parse_plan(SOUND + more)


@pytest.mark.parametrize(
    ("keys", "match"),
    [
        pytest.param(
            "repeats = 1\nrest = 'bean'", r"rest of pattern strips names 'bean'", id="rest"
        ),
        pytest.param("close_with = 'C'", r"closes with 'C'.*Its bands are: A, B", id="close_with"),
    ],
)
def test_names_of_a_pattern_that_point_at_nothing_are_errors(keys, match):
    with pytest.raises(PlanError, match=match):
        parse_plan(SOUND.replace('name = "strips"', f'name = "strips"\n{keys}'))


@pytest.mark.parametrize(
    ("treatments", "rest", "match"),
    [
        pytest.param('["maize", "bean"]', '"beans"', r"trial.*'bean'.*'beans'", id="a treatment"),
        pytest.param(
            '["maize", "beans"]', '"gras"', r"trial's rest.*'gras'", id="the trial's rest"
        ),
    ],
)
def test_names_of_a_trial_that_point_at_nothing_are_errors(treatments, rest, match):
    trial = (
        f"[[pattern]]\nname='t'\ntrial={{treatments={treatments}, replicates=2, plot_width=6.0, "
        f"harvest_width=6.0, rest={rest}}}\n"
    )
    with pytest.raises(PlanError, match=match):
        parse_plan("schema = 1\n" + STANDS + MACHINES + trial)


# ---- names twice


@pytest.mark.parametrize(
    ("more", "match"),
    [
        pytest.param(STANDS, r"Two stands are called 'beans'", id="stands"),
        pytest.param(PATTERN, r"Two patterns are called 'strips'", id="patterns"),
        pytest.param(MACHINES, r"Two machines are called 'planter'", id="machines"),
        pytest.param(
            "[[operation]]\nname='plant'\nmachine='planter'", r"Two operations", id="operations"
        ),
        pytest.param(
            "[[block]]\nname='n'\npattern='strips'\nrest=true\n"
            "[[block]]\nname='n'\npattern='strips'\nland='x'",
            r"Two blocks are called 'n'",
            id="blocks",
        ),
        pytest.param("[[season]]\nyear=2027\n[[season]]\nyear=2027", r"same year", id="seasons"),
    ],
)
def test_a_name_stands_for_one_thing(more, match):
    with pytest.raises(PlanError, match=match):
        parse_plan(SOUND + more)


# ---- the plan as a whole


@pytest.mark.parametrize(
    ("more", "match"),
    [
        pytest.param(
            TREES, r"2 patterns \(strips, alleys\) and no blocks", id="which pattern where"
        ),
        pytest.param(
            "[[block]]\nname='a'\npattern='strips'\nrest=true\n"
            "[[block]]\nname='b'\npattern='strips'\nrest=true",
            r"Two blocks have rest = true",
            id="two blocks take what is left",
        ),
        pytest.param(
            "[headland]\nwhere='ends'\nwidth=10.0\npasses=2\nmachine='planter'",
            r"10 m wide and also 2 passes of planter, 12 m",
            id="a headland of two widths",
        ),
        pytest.param(
            "[[season]]\nyear=2027\nshift=3.0\nshift_bands=1", r"both shift", id="two shifts"
        ),
        pytest.param(
            "[[stand]]\nname='s'\nsowing=[{crop='x', spacing=0.2, skip=['plant']}]",
            r"machine planter has no track_width or tyre_width.*in metres",
            id="tracks of a machine without wheels",
        ),
    ],
)
def test_parts_that_do_not_go_together_are_errors(more, match):
    with pytest.raises(PlanError, match=match):
        parse_plan(SOUND + more)


@pytest.mark.parametrize(
    ("shift", "moves"),
    [("shift = 3.0", True), ("shift_bands = 1.5", True), ("shift = 0.0", False), ("", False)],
)
def test_trees_are_never_shifted(shift, moves):
    text = "schema = 1\n" + GUIDE + TREES + f"[[season]]\nyear = 2027\n{shift}"
    if moves:
        with pytest.raises(PlanError, match=r"Trees stay where they stand.*grows"):
            parse_plan(text)
    else:
        assert not parse_plan(text).seasons[0].moves


# ---- the farm's machines


FARM = """
[[machine]]
name = "planter"
working_width = 4.5
[[machine]]
name = "drill"
working_width = 3.0
"""


def test_machines_of_the_farm_stand_beside_the_plans_own_and_give_way_to_them():
    plan = parse_plan(SOUND, farm=parse_farm(FARM))
    assert plan.machine("drill").working_width == 3.0
    assert plan.machine("planter").working_width == 6.0
    assert len(plan.machines) == 2


def test_a_plan_may_have_only_the_farms_machines():
    text = SOUND.replace('[[machine]]\nname = "planter"\nworking_width = 6.0\n', "")
    assert parse_plan(text, farm=parse_farm(FARM)).machine("planter").working_width == 4.5


def test_a_farm_file_holds_the_farm_and_its_machines_and_nothing_else():
    assert [machine.name for machine in parse_farm(FARM).machines] == ["planter", "drill"]
    assert parse_farm("") == FarmFile()
    with pytest.raises(PlanError, match=r"schema is not known.*There are: farm, machine"):
        parse_farm("schema = 1")


def test_a_machine_of_the_farm_is_checked_like_one_of_the_plan():
    with pytest.raises(PlanError, match=r'In machine "drill": working_width is missing'):
        parse_farm('[[machine]]\nname = "drill"')


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ('[field]\nfarm = "farm.toml"', "farm.toml"),
        ("[field]\nname = 'x'", None),
        ("field = 3", None),
        ("[field]\nfarm = 3", None),
        ("", None),
    ],
)
def test_the_farm_file_is_found_before_the_rest_is_looked_at(text, name):
    assert farm_file(text) == name


def test_a_faulty_machine_table_says_so_even_with_a_farm():
    farm = FarmFile(machines=(Machine(name="drill", working_width=3.0),))
    text = "machine = 3\n" + "schema = 1\n" + GUIDE + STANDS + PATTERN
    with pytest.raises(PlanError, match=r"machine is 3\. It must be a list"):
        parse_plan(text, farm=farm)


@pytest.mark.parametrize("cut", range(5, 100, 7))
def test_a_plan_broken_off_anywhere_is_refused_or_read_and_never_falls_over(cut):
    text = (PLANS / "complete.toml").read_text("utf-8")
    error = refused(parse_plan, text[: len(text) * cut // 100])
    assert error is None or error.found
