"""The command `compare`: a table with marks, a file, one JSON object, plain refusals."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from geolayout.apps.cli import cli

SAMPLES = Path(__file__).parents[2] / "sample_fields"


@pytest.fixture(scope="module")
def plans(tmp_path_factory):
    """Return two plans of one field, the second with another bearing."""
    text = (SAMPLES / "two_halves.toml").read_text("utf-8")
    for name in ("two_halves.gpkg", "two_halves_track.geojson", "farm.toml"):
        text = text.replace(f'"{name}"', f'"{(SAMPLES / name).as_posix()}"')
    folder = tmp_path_factory.mktemp("compared")
    first, second = folder / "first.toml", folder / "second.toml"
    first.write_text(text, "utf-8")
    second.write_text(
        text.replace('name = "bed", width = 12.0', 'name = "bed", width = 6.0'), "utf-8"
    )
    return first, second


def run(*words):
    return CliRunner().invoke(cli, ["compare", *map(str, words)])


def test_what_differs_is_marked(plans, tmp_path):
    ran = run(*plans, "--csv", tmp_path / "table.csv")
    assert ran.exit_code == 0, ran.output
    lines = ran.stdout.splitlines()
    assert "* marks what is not as in first." in ran.stdout
    (field,) = (line for line in lines if line.split()[:1] == ["field"])
    assert "*" not in field
    assert any("*" in line for line in lines if line.strip().startswith("odd passes"))
    assert (tmp_path / "table.csv").read_text("utf-8").startswith("part,what,unit,differs,")


def test_only_differences_are_shown_if_asked(plans):
    ran = run(*plans, "--differences")
    assert not [line for line in ran.stdout.splitlines() if line.split()[:1] == ["field"]]
    assert "odd passes" in ran.stdout


def test_a_page_and_acres_if_asked(plans, tmp_path):
    ran = run(*plans, "--page", tmp_path / "page.pdf", "--units", "imperial")
    assert ran.exit_code == 0, ran.output
    (field,) = (line for line in ran.stdout.splitlines() if line.split()[:1] == ["field"])
    assert field.split() == ["field", "19.501", "19.501", "acres"]  # 7.892 ha
    assert (tmp_path / "page.pdf").read_bytes().startswith(b"%PDF")
    again = run(*plans, "--page", tmp_path / "page.pdf")
    assert again.exit_code == 2
    assert "is there already" in again.stderr


def test_json_is_one_object(plans):
    told = json.loads(run(*plans, "--json").stdout)
    assert [one["name"] for one in told["plans"]] == ["first", "second"]


def test_a_table_is_not_written_over(plans, tmp_path):
    (tmp_path / "table.csv").write_text("mine", "utf-8")
    ran = run(*plans, "--csv", tmp_path / "table.csv")
    assert ran.exit_code == 2
    assert "is there already" in ran.stderr
    assert (tmp_path / "table.csv").read_text("utf-8") == "mine"


@pytest.mark.parametrize(
    ("names", "words"),
    [
        pytest.param(["two_halves.toml"], "nothing to hold it against", id="one plan"),
        pytest.param(["two_halves.toml", "no_such.toml"], "no_such.toml", id="no such plan"),
        pytest.param(
            ["two_halves.toml", "pond_piece.toml"], "share 0 % of their land", id="fields"
        ),
    ],
)
def test_refusals_are_one_sentence(names, words):
    ran = run(*(SAMPLES / name for name in names))
    assert ran.exit_code == 2
    assert words in ran.stderr
    assert "Traceback" not in ran.output
