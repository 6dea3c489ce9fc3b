"""The commands `pegs` and `planted`: out to the field and back."""

import csv
import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from geolayout import jobs
from geolayout.apps.cli import cli
from geolayout.jobs.pegs import peg_lists

SAMPLES = Path(__file__).parents[2] / "sample_fields"
WALNUTS = SAMPLES / "crooked_hedge.toml"


def run(*words):
    return CliRunner().invoke(cli, [str(word) for word in words])


@pytest.fixture(scope="module")
def pegged(tmp_path_factory):
    """The folder of the peg lists of the sample."""
    folder = tmp_path_factory.mktemp("pegs") / "out"
    ran = run("pegs", WALNUTS, "--out", folder, "--bundle", 25)
    assert ran.exit_code == 0, ran.output
    return folder


def rows_of(path):
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_the_sheet_is_printed():
    ran = run("pegs", WALNUTS)
    assert ran.exit_code == 0, ran.output
    assert "Before anything goes into the ground" in ran.stdout
    assert "misclosure" in ran.stdout


def test_the_folder_has_sheet_and_lists(pegged):
    names = sorted(path.name for path in pegged.iterdir())
    assert names == ["pegs_borders.csv", "pegs_trees.csv", "planting_sheet.txt"]
    assert len(rows_of(pegged / "pegs_trees.csv")) > 100


SMALL = """
schema = 1
[field]
boundary = "small.geojson"
[guide]
bearing = 0.0
from = "west"
[[feature]]
kind = "overhead line"
points = [[10.0002, 51.9999], [10.0002, 52.0012]]
keep_clear = { all = 0.0, trees = 6.0 }
measured_from = "centre line"
[[stand]]
name = "grass"
sowing = [ { crop = "grass", place = "broadcast" } ]
[[pattern]]
name = "rows"
bands = [
  { name = "C", width = 20.0, stand = "grass" },
  { name = "T", width = 4.0, trees = { in_row_spacing = 8.0, mature_height = 10.0 } },
]
"""
"""A small planting of about 60 m by 110 m with a wire over it. Invented."""


def test_the_folder_of_a_plan_has_the_same_pegs(tmp_path):
    ring = [[10.0, 52.0], [10.0009, 52.0], [10.0009, 52.001], [10.0, 52.001], [10.0, 52.0]]
    boundary = json.dumps({"type": "Polygon", "coordinates": [ring]})
    (tmp_path / "small.geojson").write_text(boundary, "utf-8")
    plan = tmp_path / "small.toml"
    plan.write_text(SMALL, "utf-8")
    for command, out in (("lay", "laid"), ("pegs", "pegs")):
        ran = run(command, plan, "--out", tmp_path / out)
        assert ran.exit_code == 0, ran.output
    laid, pegs = tmp_path / "laid" / "pegs", tmp_path / "pegs"
    names = sorted(path.name for path in pegs.iterdir())
    assert names == sorted(path.name for path in laid.iterdir())
    assert len(names) == 3
    for name in names:
        assert (laid / name).read_bytes() == (pegs / name).read_bytes(), name
    assert "overhead line" in (laid / "planting_sheet.txt").read_text("utf-8")
    listed = json.loads((tmp_path / "laid" / "summary.json").read_text("utf-8"))["files"]
    assert "pegs/pegs_trees.csv" in listed
    assert "pegs/" in (tmp_path / "laid" / "README.txt").read_text("utf-8")


def test_a_folder_that_is_there_is_left_alone(pegged):
    ran = run("pegs", WALNUTS, "--out", pegged)
    assert ran.exit_code == 2
    assert "is there already" in ran.output


@pytest.mark.parametrize(
    ("words", "match"),
    [
        pytest.param(("--grid", "EPSG:4326"), "metres east and north", id="degrees are no grid"),
        pytest.param(("--bundle", "0"), "holds 0 trees", id="an empty bundle"),
    ],
)
def test_nonsense_is_refused_in_one_sentence(words, match):
    ran = run("pegs", WALNUTS, *words)
    assert ran.exit_code == 2
    assert match in " ".join(ran.output.split())


def test_a_peg_list_read_back_finds_every_tree(pegged):
    told = json.loads(
        run("planted", WALNUTS, "--points", pegged / "pegs_trees.csv", "--json").stdout
    )
    assert sum(row["found"] for row in told["rows"]) == len(rows_of(pegged / "pegs_trees.csv"))
    assert told["extra_points"] == 0
    assert max(row["greatest_off_m"] for row in told["rows"]) < 0.001


def test_a_tree_left_out_is_missing_by_its_row_and_position(pegged, tmp_path):
    lines = (pegged / "pegs_trees.csv").read_text("utf-8").splitlines()
    survey = tmp_path / "survey.csv"
    survey.write_text("\n".join([lines[0], *lines[1:3], *lines[4:]]), "utf-8")  # tree 3 of row 1
    ran = run("planted", WALNUTS, "--points", survey)
    assert ran.exit_code == 0, ran.output
    assert "1 missing, 0 points too many" in ran.stdout
    assert "Row 1: missing 3." in ran.stdout


def test_waypoints_are_points_too(tmp_path):
    first = rows_of_first_tree()
    survey = tmp_path / "survey.gpx"
    survey.write_text(
        '<?xml version="1.0"?><gpx version="1.1" creator="invented" '
        'xmlns="http://www.topografix.com/GPX/1/1">'
        f'<wpt lat="{first["lat"]}" lon="{first["lon"]}"/></gpx>',
        "utf-8",
    )
    told = json.loads(run("planted", WALNUTS, "--points", survey, "--json").stdout)
    assert sum(row["found"] for row in told["rows"]) == 1


def rows_of_first_tree():
    return next(csv.DictReader(peg_lists(jobs.read(WALNUTS)).trees.splitlines()))


def test_failures_by_row(tmp_path):
    table = tmp_path / "losses.csv"
    table.write_text("row,position,replaced\n1,4,no\n1,9,yes\n2,1,no\n", "utf-8")
    told = json.loads(run("planted", WALNUTS, "--failures", table, "--json").stdout)
    assert [(row["failed"], row["open"]) for row in told["losses"]][:2] == [(2, 1), (1, 1)]
    shown = run("planted", WALNUTS, "--failures", table).stdout
    assert "3 of" in shown
    assert "2 to replace" in shown


@pytest.mark.parametrize(
    ("text", "option", "match"),
    [
        pytest.param("row,position\n1,4000\n", "--failures", "no such tree", id="no such tree"),
        pytest.param("row,position\n1,four\n", "--failures", "a whole number", id="no number"),
        pytest.param(
            "row,position,replaced\n1,4,perhaps\n", "--failures", "yes or no", id="perhaps"
        ),
        pytest.param(
            "row,position,replaced,replaced_after_years\n1,4,yes,-1\n",
            "--failures",
            "years from 0 to 200",
            id="replaced before it was planted",
        ),
        pytest.param("lon,lat\n10.0,200.0\n", "--points", "off the earth", id="off the earth"),
        pytest.param("lon,lat\n10.0,x\n", "--points", "must be a number", id="no figure"),
        pytest.param("lon,lat\n100.0,0.0\n", "--points", "within 1 km", id="another field"),
        pytest.param("lon,lat\n", "--points", "no points", id="no points"),
    ],
)
def test_files_of_nonsense_are_refused(text, option, match, tmp_path):
    path = tmp_path / "told.csv"
    path.write_text(text, "utf-8")
    ran = run("planted", WALNUTS, option, path)
    assert ran.exit_code == 2
    assert match in " ".join(ran.output.split())


def test_shapes_that_are_no_points_are_refused():
    ran = run("planted", WALNUTS, "--points", SAMPLES / "crooked_hedge_ditch.geojson")
    assert ran.exit_code == 2
    assert "other shapes than points" in " ".join(ran.output.split())


def test_neither_points_nor_failures_is_no_question():
    ran = run("planted", WALNUTS)
    assert ran.exit_code == 2
    assert "--points or --failures" in ran.output


def test_a_plan_without_trees_has_nothing_planted(tmp_path):
    table = tmp_path / "losses.csv"
    table.write_text("row,position\n1,4\n", "utf-8")
    ran = run("planted", SAMPLES / "pond_piece.toml", "--failures", table)
    assert ran.exit_code == 2
    assert "plants no trees" in " ".join(ran.output.split())
