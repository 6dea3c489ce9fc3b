"""The command that saves lines: what it writes, says and refuses."""

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from geolayout.apps.cli import cli

SAMPLE = Path(__file__).parents[2] / "sample_fields" / "two_halves.toml"


def run(*arguments):
    return CliRunner().invoke(cli, ["line", *map(str, arguments)])


def test_a_line_is_written_and_said(tmp_path):
    out = tmp_path / "line.geojson"
    done = run(SAMPLE, "--out", out, "--name", "long side")
    assert (done.exit_code, done.stdout) == (0, "")
    assert done.stderr == f"Written to {out}\n"
    (feature,) = json.loads(out.read_text(encoding="utf-8"))["features"]
    assert feature["properties"]["name"] == "long side"


@pytest.mark.parametrize(
    ("shift", "metres"),
    [
        pytest.param("3", 3.0, id="a bare number is metres"),
        pytest.param("-10ft", -3.048, id="feet, towards the side counted from"),
    ],
)
def test_a_dash_prints_the_line_and_nothing_else(shift, metres):
    done = run(SAMPLE, "--out", "-", "--shift", shift)
    assert done.exit_code == 0
    (feature,) = json.loads(done.stdout)["features"]
    assert feature["properties"]["shift_m"] == metres
    assert done.stderr == ""


@pytest.mark.parametrize(
    ("arguments", "match"),
    [
        pytest.param(["--block", "east"], "no such block", id="a block that is not there"),
        pytest.param(["--shift", "20km"], "on another farm", id="farther than a farm reaches"),
        pytest.param(["--shift", "nan"], "is no length", id="no distance"),
        pytest.param(["--shift", "far"], "is no length", id="no number"),
    ],
)
def test_refusals_are_plain_and_leave_nothing(tmp_path, arguments, match):
    out = tmp_path / "line.geojson"
    done = run(SAMPLE, "--out", out, *arguments)
    assert done.exit_code == 2
    assert match in done.stderr
    assert not out.exists()


def test_an_earlier_line_is_never_lost(tmp_path):
    out = tmp_path / "line.geojson"
    out.write_text("kept", encoding="utf-8")
    done = run(SAMPLE, "--out", out)
    assert (done.exit_code, out.read_text(encoding="utf-8")) == (2, "kept")
    assert "would be lost" in done.stderr


def test_lay_tells_the_bearing_by_a_grid_when_asked(tmp_path):
    """By the north of UTM 31, whose meridian lies 2.2 degrees east: 1.78 degrees west of true."""
    text = SAMPLE.read_text(encoding="utf-8").replace("[guide]\n", '[guide]\ngrid = "EPSG:32631"\n')
    plan = tmp_path / "two_halves.toml"
    for name in ("two_halves.gpkg", "two_halves_track.geojson", "farm.toml"):
        shutil.copy(SAMPLE.parent / name, tmp_path)
    plan.write_text(text, encoding="utf-8")
    done = CliRunner().invoke(cli, ["lay", str(plan), "--out", str(tmp_path / "out")])
    assert done.exit_code == 0
    words = " ".join(done.stdout.split())
    # 2.244 degrees west of the meridian x sin 52.34 = -1.777: grid bearing 95.60 + 1.78 = 97.38
    assert "Rows along 95.60 degrees from true north" in words
    assert "By the north of the grid EPSG:32631 that is 97.38 degrees." in words
