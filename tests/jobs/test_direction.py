"""Which way to go, for the doors: block by block, a bare field, plain mappings, the wish laid."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from boundary_files import HOME, feature, geojson

from geolayout import jobs
from geolayout.appraisal.direction.words import fold
from geolayout.errors import PlanError
from geolayout.jobs.direction import Implement, bare_job, which_way, which_way_dict
from geolayout.jobs.job import Job
from geolayout.land.readers import read_boundary
from geolayout.plan.parse import parse_plan

SAMPLES = Path(__file__).parents[2] / "sample_fields"

BLOCKS = """
schema = 1
[field]
boundary = "farm.geojson"
[guide]
bearing = 0.0
wind_from = 250.0
[[stand]]
name = "barley"
sowing = [ { crop = "barley", place = "broadcast" } ]
[[pattern]]
name = "strips"
bands = [ { name = "A", width = 12.0, stand = "barley" } ]
[[machine]]
name = "drill"
working_width = 3.0
turning_radius = 6.5
speed = 9.0
[[operation]]
name = "drill"
machine = "drill"
[[block]]
name = "west"
pattern = "strips"
part = { side = "west", width = 60.0 }
guide = { choose = "fewest hours" }
[[block]]
name = "rest"
pattern = "strips"
rest = true
"""


@pytest.fixture
def two_blocks(tmp_path):
    geojson(tmp_path, feature(HOME, {"name": "Home"}))
    plan = tmp_path / "home.toml"
    plan.write_text(BLOCKS, "utf-8")
    return jobs.read(plan)


def test_every_block_has_its_ways(two_blocks):
    found = which_way(two_blocks)
    assert [ways.block for ways in found] == ["west", "rest"]
    assert [ways.compared.written is None for ways in found] == [True, False]
    (west,) = which_way(two_blocks, "west")
    assert west.block == "west"


def test_a_block_that_is_not_there_is_refused(two_blocks):
    with pytest.raises(PlanError, match=r"(?s)Block 'wets' is asked for.*west"):
        which_way(two_blocks, "wets")


def test_a_wind_is_the_plans_unless_another_is_said(two_blocks):
    rest = which_way(two_blocks, "rest")[0]
    assert rest.wind_from == 250.0
    assert "The wind from 250 degrees" in " ".join(rest.meaning(rest.best[0][1]))
    assert which_way(two_blocks, "rest", 10.0)[0].wind_from == 10.0


def test_rows_along_the_hedge_are_told_and_given_as_figures(tmp_path):
    # The best rows turn by 0.1 degrees from the north hedge of this field. Invented.
    land = [(0, 0), (399, 0), (509, 4), (509, 89), (23, 89), (0, 0)]
    ring = [[9.0 + x / 71_700.0, 50.0 + y / 111_200.0] for x, y in land]
    shape = {"type": "Polygon", "coordinates": [ring]}
    path = tmp_path / "hedged.geojson"
    path.write_text(json.dumps(shape), "utf-8")
    job = bare_job(read_boundary(path), Implement(6.0, 6.5, 9.0, 12.0))
    (ways,) = which_way(job)
    told = [option for _, option in ways.best if ways.edge(option) is not None]
    assert told
    for option in told:
        assert ways.meaning(option)[0].startswith("To drive straight along the")
    given = [one["along_edge"] for one in which_way_dict(ways)["options"]]
    hedge = next(one for one in given if one is not None)
    assert set(hedge) == {"way", "bearing_true_deg", "more_min", "passes"}
    # edges run north, east, and in the west at atan(23 / 89) = 14.5 degrees
    assert min(fold(hedge["bearing_true_deg"], edge) for edge in (0.0, 90.0, 14.5)) < 0.3


def test_three_ways_have_letters(two_blocks):
    ways = which_way(two_blocks, "rest")[0]
    assert [letter for letter, _ in ways.best] == ["A", "B", "C"]
    assert [option for _, option in ways.best] == list(ways.compared.options[:3])


def test_a_wish_is_laid_and_kept_with_what_it_was(two_blocks):
    resolved = jobs.resolve(two_blocks).resolved
    west = resolved.blocks[0].guide
    assert west.origin.choose == "fewest hours"
    assert west.resolved
    layout = jobs.lay(two_blocks)
    (ways,) = which_way(two_blocks, "west")
    best = next(option for option in ways.compared.options if option.kind == "straight")
    assert layout.blocks[0].bearing % 180.0 == pytest.approx(best.bearing, abs=1e-3)


def test_a_bare_field_needs_one_machine(tmp_path):
    drawn = read_boundary(geojson(tmp_path, feature(HOME, {"name": "Home"})))
    (ways,) = which_way(bare_job(drawn, Implement(6.0, 6.5, 8.0, 12.0)))
    assert ways.best[0][1].found.passes.keys() == {"work"}
    assert ways.compared.written is None


def test_the_plan_of_a_bare_field_says_what_was_said():
    plan = parse_plan(Implement(6.0, 6.5, 8.0, 12.0).plan())
    machine = plan.machines[0]
    assert (machine.working_width, machine.turning_radius, machine.speed) == (6.0, 6.5, 8.0)
    assert (plan.headland.where, plan.headland.width) == ("ends", 12.0)
    bare = parse_plan(Implement(6.0).plan())
    assert (bare.machines[0].turning_radius, bare.headland.where) == (None, "none")


def test_ways_are_plain_mappings(two_blocks):
    told = which_way_dict(which_way(two_blocks, "rest")[0])
    assert json.loads(json.dumps(told)) == told
    first = told["options"][0]
    assert first["letter"] == "A"
    assert first["hours_h"] == sorted(first["hours_h"])
    assert 0.0 < first["working_share"] < 1.0
    assert told["as_written"]["bearing_true_deg"] == pytest.approx(0.0, abs=1e-6)
    assert told["as_written"]["wind_angle_deg"] == pytest.approx(70.0, abs=1e-6)
    curve = told["every_bearing"]
    assert len(curve["hours_h"]) == len(curve["bearing_from_frame_north_deg"]) > 1800


def test_heights_bring_the_contour_and_the_grade():
    job = jobs.read(SAMPLES / "windy_bank.toml")
    (ways,) = which_way(job)
    kinds = {option.kind for option in ways.compared.options}
    assert "contour" in kinds
    assert "of the rows are steeper" in ways.meaning(ways.best[0][1])[0]


def test_a_job_that_is_resolved_is_not_chosen_for_again(two_blocks):
    resolved = jobs.resolve(two_blocks)
    assert isinstance(resolved, Job)
    assert jobs.resolve(resolved).resolved is resolved.resolved


def test_many_ways_that_cannot_be_laid_are_counted():
    ways = which_way(jobs.read(SAMPLES / "church_close.toml"))[0]
    refused = tuple(f"Straight rows at {bearing} degrees: no." for bearing in range(5))
    told = replace(ways, compared=replace(ways.compared, not_laid=refused)).beside
    assert told[:4] == [*refused[:3], "2 more cannot be laid; --json tells which."]
