"""The command `worked`. The records are invented."""

import json

import pytest
from click.testing import CliRunner
from sample_layouts import SAMPLE_FOLDER
from work_records import as_csv, as_planned

from geolayout import jobs
from geolayout.appraisal.worked.done import WorkDone
from geolayout.apps.cli import cli

PLAN = SAMPLE_FOLDER / "windy_bank.toml"


@pytest.fixture(scope="module")
def record(tmp_path_factory):
    """A file of the drill, every pass 4 cm to the right, the last ten left out."""
    layout = jobs.lay(jobs.read(PLAN))
    work = as_planned(layout, "drill barley", step=5.0, rate=320.0, right=0.04)
    path = tmp_path_factory.mktemp("worked") / "drill.csv"
    return as_csv(layout, WorkDone(work.strands[:-10]), path, product="spring barley")


def run(*words):
    return CliRunner().invoke(cli, [str(word) for word in words])


def test_it_tells_what_happened(record):
    ran = run("worked", PLAN, "--record", record, "--operation", "drill barley")
    assert ran.exit_code == 0, ran.output
    assert "Off line +4.0 cm on average" in ran.stdout
    assert "along rows" in ran.stdout
    assert "Pass by pass" in ran.stdout
    assert "spring barley  B 1" in ran.stdout


def test_a_folder_that_was_laid_out_stands_for_its_plan(record, tmp_path):
    laid = run("lay", PLAN, "--out", tmp_path / "out")
    assert laid.exit_code == 0, laid.output
    words = ["--record", record, "--operation", "drill barley", "--json"]
    of_folder = json.loads(run("worked", tmp_path / "out", *words).stdout)
    of_plan = json.loads(run("worked", PLAN, *words).stdout)
    assert of_folder["mean_across_m"] == pytest.approx(of_plan["mean_across_m"], abs=1e-4)
    assert of_folder["missed_m2"] == pytest.approx(of_plan["missed_m2"], rel=1e-4)
    assert len(of_folder["passes"]) == len(of_plan["passes"])


@pytest.mark.parametrize(
    ("words", "match"),
    [
        pytest.param(("--operation", "mow"), "no passes of such an operation", id="not planned"),
        pytest.param((), "Name it: --operation", id="several"),
        pytest.param(("--operation", "spray", "--rate-column", "x"), "no column 'x'", id="column"),
    ],
)
def test_nonsense_is_refused_in_one_line(record, words, match):
    ran = run("worked", PLAN, "--record", record, *words)
    assert ran.exit_code == 2
    assert match in " ".join(ran.output.split())
    assert "Traceback" not in ran.output
