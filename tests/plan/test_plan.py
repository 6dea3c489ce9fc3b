"""The plan as one value: finding things in it by name."""

import pytest

from geolayout.errors import PlanError
from geolayout.plan.parse import parse_plan

PLAN = """
schema = 1
[[stand]]
name = "maize"
sowing = [ { crop = "maize", spacing = 0.75 } ]
[[pattern]]
name = "p"
bands = [ { name = "A", width = 6.0, stand = "maize" } ]
repeats = 2
rest = "maize"
"""
SEASONS = (
    '[[season]]\nyear = 2027\n[[season]]\nyear = 2028\ngrows = { A = "none", rest = "none" }\n'
)


def test_a_season_is_found_by_its_year_and_the_first_without_one():
    plan = parse_plan(PLAN + SEASONS)
    assert plan.season().year == 2027
    assert plan.season(2028).grows == {"A": "none", "rest": "none"}


def test_a_plan_without_seasons_has_none():
    assert parse_plan(PLAN).season() is None


@pytest.mark.parametrize(
    ("seasons", "match"),
    [
        (SEASONS, r"Season 2030.*seasons are: 2027, 2028\..*year = 2030"),
        ("", r"seasons are: none"),
    ],
    ids=["others", "none at all"],
)
def test_a_season_the_plan_does_not_have_is_refused_with_those_it_has(seasons, match):
    with pytest.raises(PlanError, match=match):
        parse_plan(PLAN + seasons).season(2030)


def test_bare_ground_is_no_stand():
    plan = parse_plan(PLAN)
    assert plan.stand("none") is None
    assert plan.stand(None) is None
    assert plan.stand("maize").name == "maize"


def test_the_only_pattern_needs_no_name():
    plan = parse_plan(PLAN)
    assert plan.pattern() is plan.pattern("p")


def test_a_plan_without_a_guide_draws_its_section_and_says_so_when_laid():
    with pytest.raises(PlanError, match=r"The plan has no guide.*bearing, near_edge, points, line"):
        parse_plan(PLAN).guide_of(None)


def test_a_block_without_any_guide_is_named():
    plan = parse_plan(PLAN + '[[block]]\nname = "north"\npattern = "p"\nrest = true')
    with pytest.raises(PlanError, match=r"Block north has no guide"):
        plan.guide_of(plan.blocks[0])


@pytest.mark.parametrize("year", [1899, 2201])
def test_a_year_is_a_harvest_year(year):
    with pytest.raises(PlanError, match=rf"year is {year}"):
        parse_plan(f"{PLAN}[[season]]\nyear = {year}")


def test_plans_of_the_same_text_are_equal_and_cannot_be_changed():
    plan = parse_plan(PLAN)
    assert plan == parse_plan(PLAN)
    with pytest.raises(ValueError, match="frozen"):
        plan.guide = None


def test_a_plan_written_out_is_the_same_plan():
    plan = parse_plan(PLAN + SEASONS)
    written = plan.model_dump(by_alias=True, exclude_unset=True)
    assert type(plan).model_validate(written) == plan
