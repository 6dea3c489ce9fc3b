"""The command `light`: a table, a picture, one JSON object, and plain refusals."""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

pytest.importorskip("pvlib", reason="the extra `light` is not installed")

from geolayout import jobs
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


def test_a_map_of_the_field_is_drawn_written_and_told(tmp_path):
    picture, raster, lost = (tmp_path / name for name in ("map.png", "light.tif", "lost.csv"))
    lost.write_text("row,position,replaced,replaced_after_years\n1,4,no,\n1,9,yes,3\n", "utf-8")
    files = ("--map", picture, "--raster", raster, "--failures", lost)
    ran = run(WALNUTS, *files, "--year", 20, "--cell", 8, "--site", "slow", "--json")
    assert ran.exit_code == 0, ran.output
    told = json.loads(ran.stdout)["map"]
    assert (told["year"], told["cell_m"], told["site"], told["trees"]) == (20.0, 8.0, "slow", 541)
    (block,) = told["blocks"]
    # the alley in the middle is darker than the crop of the whole field, ends and edges with it
    alley = json.loads(ran.stdout)["alleys"][0]["years"][3]["slow"]["mean"]
    assert alley < block["mean"] < alley + 0.05
    assert 0.0 <= block["under_limit"] <= 1.0
    assert picture.read_bytes().startswith(b"\x89PNG")
    assert raster.read_bytes()[:2] in (b"II", b"MM")


def test_where_every_tree_failed_there_is_no_shade_to_tell(tmp_path):
    layout = jobs.lay(jobs.read(WALNUTS))
    pairs = zip(layout.trees.row.tolist(), layout.trees.position.tolist(), strict=True)
    lost = tmp_path / "lost.csv"
    lost.write_text("\n".join(["row,position", *(f"{r},{p}" for r, p in pairs)]), "utf-8")
    ran = run(WALNUTS, "--failures", lost)
    assert ran.exit_code == 2
    assert "every tree failed" in ran.stderr


@pytest.mark.parametrize(
    ("words", "match"),
    [
        pytest.param(("--year", "10"), "belong to --map or --raster", id="a year of no map"),
        pytest.param(("--map", "map.pdf"), "SVG or PNG", id="a map of no known kind"),
        pytest.param(("--raster", "light.asc"), "GeoTIFF", id="a raster of no known kind"),
        pytest.param(("--map", "m.png", "--cell", "1cm"), "has 1,000,000 at most", id="too fine"),
    ],
)
def test_maps_that_cannot_be_are_refused(words, match, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    ran = run(WALNUTS, *words)
    assert ran.exit_code == 2
    assert match in " ".join(ran.stderr.split())
    assert list(tmp_path.iterdir()) == []


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
