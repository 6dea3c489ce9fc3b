"""Quick commands, in the command line and in fio: what goes to which stream, and how they end."""

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from importlib.metadata import entry_points
from pathlib import Path

import fiona
import pytest
from click.testing import CliRunner

from geolayout.apps.cli import cli

SAMPLES = Path(__file__).parents[2] / "sample_fields"
POND = SAMPLES / "pond_piece.geojson"
HALVES = SAMPLES / "two_halves.gpkg"
COMMAND = [sys.executable, "-m", "geolayout.apps.cli"]
TRIANGLE = [[[10.0, 50.0], [10.002, 50.0], [10.002, 50.002], [10.0, 50.0]]]


def run(*arguments, given=None):
    return CliRunner().invoke(cli, [str(argument) for argument in arguments], input=given)


def feature(rings, **properties):
    geometry = {"type": "Polygon", "coordinates": rings}
    return json.dumps({"type": "Feature", "properties": properties, "geometry": geometry})


def refused(result, match):
    assert result.exit_code == 2
    assert result.stdout == ""
    assert match in result.stderr


@pytest.mark.parametrize(
    ("arguments", "kind", "word"),
    [
        pytest.param(["rows", "--spacing", "3"], "row", "rows of", id="rows"),
        pytest.param(["strips", "--widths", "6,20ft"], "band", "strips", id="strips"),
        pytest.param(
            ["alleys", "--pitch", 27, "--tree-strip", 3, "--in-row-spacing", 8, "--what", "trees"],
            "tree",
            "trees in",
            id="trees of alleys",
        ),
    ],
)
def test_features_go_to_standard_output_and_words_to_the_other(arguments, kind, word):
    result = run(arguments[0], POND, *arguments[1:])
    assert result.exit_code == 0
    found = json.loads(result.stdout)
    assert {item["properties"]["kind"] for item in found["features"]} == {kind}
    assert {item["properties"]["field"] for item in found["features"]} == {"Pond Piece"}
    assert [item["id"] for item in found["features"]] == list(range(1, len(found["features"]) + 1))
    assert word in result.stderr
    assert "No ditch, wire, pipe" in result.stderr


def test_the_three_forms_carry_the_same_features():
    whole = json.loads(run("rows", POND, "--spacing", 6).stdout)["features"]
    lines = run("rows", POND, "--spacing", 6, "--sequence").stdout.splitlines()
    separated = run("rows", POND, "--spacing", 6, "--rs").stdout.split("\x1e")[1:]
    assert [json.loads(line) for line in lines] == whole
    assert [json.loads(text) for text in separated] == whole


def test_many_fields_in_are_many_fields_out_and_a_bad_one_is_said():
    given = "\n".join(
        [feature(TRIANGLE, name="one"), feature([], name="two"), feature(TRIANGLE, name="three")]
    )
    result = run("rows", "--spacing", 6, "--sequence", given=given)
    assert result.exit_code == 2
    names = {json.loads(line)["properties"]["field"] for line in result.stdout.splitlines()}
    assert names == {"one", "three"}
    assert "Error: Feature 2 of the input has no shape." in result.stderr
    assert "1 of 3 fields could not be laid out." in result.stderr


@pytest.mark.parametrize(
    ("given", "match"),
    [
        pytest.param("", "Nothing came in on standard input", id="nothing"),
        pytest.param(
            '{"type":"FeatureCollection","features":[]}', "holds no feature", id="no feature"
        ),
        pytest.param(
            feature([[[5e5, 5e6], [6e5, 5e6], [6e5, 6e6], [5e5, 5e6]]]),
            "Add --dst-crs EPSG:4326 to fio cat",
            id="metres",
        ),
        pytest.param(
            feature([[[50, 100], [50, 101], [51, 101], [50, 100]]]),
            "latitude before longitude",
            id="swapped",
        ),
        pytest.param("no json", "cannot be read as GeoJSON", id="no json"),
    ],
)
def test_a_pipe_without_a_field_is_refused_and_nothing_is_written(given, match):
    refused(run("rows", "--spacing", 6, given=given), match)


def test_the_plan_that_is_handed_on_lays_out(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    shutil.copy(POND, "home.geojson")
    assert (
        run("strips", "home.geojson", "--widths", "6,6", "--plan-out", "home.toml").exit_code == 0
    )
    assert run("lay", "home.toml", "--out", "laid").exit_code == 0
    refused(
        run("strips", "home.geojson", "--widths", "6,6", "--plan-out", "home.toml"),
        "is there already",
    )
    refused(run("rows", "--spacing", 6, "--plan-out", "x.toml", given="{}"), "names the file")


def test_areas_are_acres_on_request():
    assert "acres" in run("rows", POND, "--spacing", 6, "--units", "imperial").stderr


def test_a_reader_that_stops_early_ends_it_quietly():
    work = subprocess.Popen(
        [*COMMAND, "rows", POND, "--spacing", "0.1", "--sequence"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    work.stdout.readline()
    work.stdout.close()
    assert (work.stderr.read(), work.wait(30)) == (b"", 141)
    work.stderr.close()


def test_an_interruption_leaves_whole_features():
    work = subprocess.Popen(
        [*COMMAND, "rows", "--spacing", "6"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        bufsize=0,
        stderr=subprocess.PIPE,
    )
    work.stdin.write(feature(TRIANGLE, name="one").encode() + b"\n")
    work.stdin.flush()
    first = work.stdout.readline()
    time.sleep(0.1)
    work.send_signal(signal.SIGINT)
    rest, said = work.communicate(timeout=30)
    assert work.returncode == 130
    assert len(json.loads(first + rest)["features"]) > 10
    assert b"The fields written so far are whole." in said


def test_fio_runs_the_same_commands_in_a_pipe(tmp_path):
    fio = shutil.which("fio", path=str(Path(sys.executable).parent)) or shutil.which("fio")
    if fio is None or not any(e.name == "rows" for e in entry_points(group="fiona.fio_plugins")):
        pytest.skip("fio does not know these commands: install the package anew")
    out = tmp_path / "rows.gpkg"
    pipe = (
        f"{fio} cat {HALVES} --layer 1:fields --dst-crs EPSG:4326 | {fio} rows --spacing 3 | "
        f"{fio} load --driver GPKG --src-crs EPSG:4326 {out}"
    )
    subprocess.run(["bash", "-o", "pipefail", "-c", pipe], check=True, capture_output=True)
    with fiona.open(out) as rows:
        assert rows.schema["geometry"] == "LineString"
        assert len({row["properties"]["row"] for row in rows}) > 100


@pytest.mark.parametrize(
    ("words", "match"),
    [
        pytest.param("geolayout ro", "rows", id="a command"),
        pytest.param("geolayout start x.gpkg --practice al", "alleys", id="a practice"),
        pytest.param("geolayout rows x.gpkg --along north-", "north-east", id="a side"),
        pytest.param("geolayout rows x.gpkg --units im", "imperial", id="units"),
        pytest.param(f"geolayout rows {HALVES} --layer f", "fields", id="a layer"),
    ],
)
def test_the_shell_completes(words, match):
    split = words.split()
    asked = {
        "COMP_WORDS": words,
        "COMP_CWORD": str(len(split) - 1),
        "_GEOLAYOUT_COMPLETE": "bash_complete",
    }
    code = "from geolayout.apps.cli import main; main()"
    result = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, **asked},
        capture_output=True,
        text=True,
        check=False,
    )
    assert f"plain,{match}" in result.stdout.splitlines()


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_script_of_a_shell_is_printed(shell):
    assert "_GEOLAYOUT_COMPLETE" in run("completion", shell).stdout
