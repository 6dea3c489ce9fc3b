"""The command `light`: a table, a picture, one JSON object, and plain refusals."""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

pytest.importorskip("pvlib", reason="the extra `light` is not installed")

from geolayout.apps.cli import cli

SAMPLES = Path(__file__).parents[2] / "sample_fields"
WALNUTS = SAMPLES / "crooked_hedge.toml"


def run(*words):
    return CliRunner().invoke(cli, ["light", *map(str, words)])


def test_an_alley_is_told_year_by_year_and_drawn(tmp_path):
    ran = run(WALNUTS, "--picture", tmp_path / "light.png")
    assert ran.exit_code == 0, ran.output
    assert "27.0 m apart, 24 m of crop between them" in ran.stdout
    assert "from April to July" in ran.stdout
    rows = [line.split() for line in ran.stdout.splitlines() if line[:4].strip().isdigit()]
    assert [row[0] for row in rows] == ["5", "10", "15", "20", "30"]
    assert (tmp_path / "light.png").read_bytes().startswith(b"\x89PNG")


def test_json_has_every_cell():
    told = json.loads(run(WALNUTS, "--json").stdout)
    (alley,) = told["alleys"]
    year = alley["years"][0]
    assert len(alley["cells_m"]) == len(alley["crop"]) == len(year["fast"]["light"]) == 27
    assert [one["bearing_degrees"] for one in alley["turned"]] == [0.0, 45.0, 90.0, 135.0]
    assert year["slow"]["mean"] >= year["fast"]["mean"]
    assert all(0.0 <= share <= 1.0 for share in year["fast"]["light"])


def test_a_belt_is_told_from_its_outer_row_over_the_crop():
    ran = run(SAMPLES / "ridge_road.toml")
    assert ran.exit_code == 0, ran.output
    assert "From tree row" in ran.stdout


def test_trees_of_unknown_height_are_asked_for(tmp_path):
    text = WALNUTS.read_text(encoding="utf-8").replace("mature_height = 14.0, ", "")
    plan = tmp_path / "walnuts.toml"
    beside = re.sub(r'"(crooked_hedge\S*|farm.toml)"', rf'"{SAMPLES}/\1"', text)
    plan.write_text(beside, encoding="utf-8")
    ran = run(plan)
    assert ran.exit_code == 2
    assert "of known height" in ran.stderr


@pytest.mark.parametrize(
    ("plan", "words"),
    [
        pytest.param("pond_piece.toml", "plants no trees", id="a plan without trees"),
        pytest.param("no_such.toml", "no_such.toml", id="no plan"),
    ],
)
def test_refusals_are_one_sentence(plan, words):
    ran = run(SAMPLES / plan)
    assert ran.exit_code == 2
    assert words in ran.stderr
    assert "Traceback" not in ran.output
