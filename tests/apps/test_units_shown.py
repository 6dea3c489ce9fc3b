"""Units that were asked for are shown, and change nothing but what is shown."""

import json
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from geolayout.apps.cli import cli

SAMPLES = Path(__file__).parents[2] / "sample_fields"
METRES = re.compile(r"\d (?:ha|km|m|cm|m2)\b")
PARTS_IN_METRES = (
    "HAZARDS",
    "Warnings and notes",
    "What gave way",
    "The boundary as read",
    "How figures",
    "Consents",
)
"""Sentences of hazards, findings and conventions stay in metres, as plan and files are."""


def run(*words):
    ran = CliRunner().invoke(cli, [*map(str, words)])
    assert ran.exit_code == 0, ran.stderr
    return ran.stdout


def figures_of(text):
    parts = text.split("\n\n")
    return "\n".join(part for part in parts if not part.lstrip().startswith(PARTS_IN_METRES))


@pytest.fixture
def farm(tmp_path):
    """A copy of a sample whose farm reads imperial units."""
    for path in SAMPLES.glob("two_halves*"):
        shutil.copy(path, tmp_path)
    shutil.copy(SAMPLES / "farm.toml", tmp_path)
    plan = tmp_path / "two_halves.toml"
    plan.write_text(plan.read_text("utf-8") + '\n[farm]\nunits = "imperial"\n', "utf-8")
    return plan


def test_lay_shows_feet_and_acres_and_files_stay_metric(tmp_path):
    plan = SAMPLES / "two_halves.toml"
    metric = run("lay", plan, "--out", tmp_path / "a")
    imperial = run("lay", plan, "--out", tmp_path / "b", "--units", "imperial")
    assert METRES.search(figures_of(metric))
    assert not METRES.search(figures_of(imperial))
    assert "acres" in imperial
    assert not METRES.search(figures_of((tmp_path / "b" / "summary.txt").read_text("utf-8")))
    ours, theirs = (
        {path.name: path.read_bytes() for path in (tmp_path / name).iterdir() if path.is_file()}
        for name in "ab"
    )
    differ = sorted(name for name in ours if ours[name] != theirs[name])
    assert differ == ["field_walks.txt", "handover.zip", "summary.txt"]  # for people, and all of it


def test_the_farm_says_it_once_for_lay_and_section(farm, tmp_path):
    laid = run("lay", farm, "--out", tmp_path / "out")
    assert "acres" in laid
    assert " acres" in (tmp_path / "out" / "summary.txt").read_text("utf-8")
    assert "39.37 ft" in run("section", farm)
    assert "12.00 m" in run("section", farm, "--units", "metric")


def test_a_section_in_json_is_the_same_in_any_units():
    plan = SAMPLES / "pond_piece.toml"
    one, other = (
        run("section", plan, "--json", "--units", name) for name in ("metric", "imperial")
    )
    assert json.loads(one) == json.loads(other)
