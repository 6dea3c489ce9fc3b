"""The command `readback`."""

import json

import pytest
from click.testing import CliRunner
from sample_layouts import SAMPLE_FOLDER

from geolayout.apps.cli import cli


def run(*words):
    return CliRunner().invoke(cli, [str(word) for word in words])


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A handover of a sample with several products."""
    folder = tmp_path_factory.mktemp("readback") / "out"
    ran = run("lay", SAMPLE_FOLDER / "wire_field.toml", "--out", folder)
    assert ran.exit_code == 0, ran.output
    return folder


def test_it_tells_field_lines_and_rates(folder):
    ran = run("readback", folder)
    assert ran.exit_code == 0, ran.output
    assert "All of it is the plan's." in ran.stdout
    assert "Reference lines" in ran.stdout
    assert "drill" in ran.stdout


def test_json_has_every_part(folder):
    told = json.loads(run("readback", folder / "handover.zip", "--json").stdout)
    assert told["differences"] == []
    assert told["area_m2"] > 10_000.0
    assert told["reference_lines"][0]["lonlat"]


def test_what_is_no_handover_is_refused_in_one_line(tmp_path):
    ran = run("readback", tmp_path)
    assert ran.exit_code == 2
    assert "Traceback" not in ran.output
