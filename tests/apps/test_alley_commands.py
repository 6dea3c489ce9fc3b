"""The command `section` on alleys: widths with their pitch, and an alley drawn in a year."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from geolayout.apps.cli import cli

SAMPLES = Path(__file__).parents[2] / "sample_fields"
WALNUTS = SAMPLES / "crooked_hedge.toml"


def run(*words):
    return CliRunner().invoke(cli, ["section", *map(str, words)])


def test_widths_of_an_alley_have_their_pitch_and_density():
    ran = run(WALNUTS, "--widths")
    assert ran.exit_code == 0, ran.output
    # alley 24 m and strip 3 m, 8 m in the row: 10000 / (27 x 8) = 46.3 trees/ha
    assert "As written: pitch 27.00 m" in ran.stdout
    assert "46.3 trees/ha" in " ".join(ran.stdout.split())


def test_json_has_the_alleys_beside_the_widths():
    (section,) = json.loads(run(WALNUTS, "--widths", "--json").stdout)["sections"]
    assert section["alleys"][0]["wish"]["pitch_m"] == pytest.approx(27.0)
    (plain,) = json.loads(run(WALNUTS, "--json").stdout)["sections"]
    assert "alleys" not in plain


def test_strips_without_trees_have_no_alleys():
    ran = run(SAMPLES / "pond_piece.toml", "--widths")
    assert ran.exit_code == 0, ran.output
    assert "Alleys of these widths" not in ran.stdout


def test_an_alley_is_drawn_in_its_year(tmp_path):
    ran = run(WALNUTS, "--picture", tmp_path / "alley.png", "--year", 15)
    assert ran.exit_code == 0, ran.output
    assert (tmp_path / "alley.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("words", "match"),
    [
        pytest.param((WALNUTS, "--year", 15), "belongs to --picture", id="a year and no picture"),
        pytest.param(
            (SAMPLES / "pond_piece.toml", "--year", 15, "--picture", "alley.png"),
            "shows no alley",
            id="no alley",
        ),
    ],
)
def test_nonsense_is_refused_in_one_sentence(words, match, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    ran = run(*words)
    assert ran.exit_code == 2
    assert match in " ".join(ran.output.split())
