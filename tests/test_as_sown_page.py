"""The page on work done: its record is made as it says, and the command prints what it shows."""

import json
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from click.testing import CliRunner
from work_records import as_csv, as_planned

from geolayout import jobs
from geolayout.appraisal.worked.done import WorkDone
from geolayout.apps.cli import cli
from geolayout.jobs.sown import RATE_UNITS, WorkRecord, compared_dict, work_of
from geolayout.land.frames.frame import Frame

PAGE = (Path(__file__).parents[1] / "docs" / "as-sown.md").read_text("utf-8")
(PLAN,) = re.findall(r"```toml\n(.*?)```", PAGE, flags=re.S)
(SHOWN,) = re.findall(r"```console\n(.*?)```", PAGE, flags=re.S)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A folder with the plan, its field of 60 m by 120 m, and the record."""
    folder = tmp_path_factory.mktemp("paper")
    field = Frame(10.0, 0.0).to_geographic(shapely.box(-30, -60, 30, 60))
    (folder / "paper.geojson").write_text(shapely.to_geojson(field), "utf-8")
    (folder / "paper.toml").write_text(PLAN, "utf-8")
    layout = jobs.lay(jobs.read(folder / "paper.toml"))
    as_csv(layout, _record(layout), folder / "planter.csv", product="maize")
    return folder


def _record(layout):
    """Return what the page says was done; passes run north and south in turn."""
    one, two, three, four, five = as_planned(layout, "plant", rate=80000.0).strands
    share = np.linspace(0.0, 1.0, len(two.xy))[::-1, None]  # it was driven to the south
    gap = np.abs(three.xy[:, 1]) > 15.0
    again = four.xy[:, 1] > 30.0
    stray = np.abs(one.xy[:, 1]) < 25.0
    return WorkDone(
        (
            replace(one, xy=one.xy + np.array([0.1, 0.0])),
            replace(two, xy=two.xy + 0.2 * share * [1.0, 0.0]),
            *(_some(three, gap & side) for side in (three.xy[:, 1] < 0, three.xy[:, 1] > 0)),
            four,
            replace(five, rate=np.full(len(five.xy), 72000.0)),
            _some(four, again),
            replace(_some(one, stray), xy=one.xy[stray] + np.array([6.0, 0.0])),
        )
    )


def _some(strand, which):
    """Return some places of a strand."""
    columns = (strand.rate[which], strand.seconds[which])
    return replace(strand, xy=strand.xy[which], rate=columns[0], seconds=columns[1])


def test_the_command_prints_what_the_page_shows(folder, monkeypatch):
    monkeypatch.chdir(folder)
    command, _, shown = SHOWN.partition("\n")
    ran = CliRunner().invoke(cli, command.removeprefix("$ geolayout ").split())
    assert ran.exit_code == 0, ran.output
    assert ran.stdout.rstrip() == shown.rstrip()


def test_every_key_of_the_json_stands_on_the_page(folder):
    job = jobs.read(folder / "paper.toml")
    told = json.loads(json.dumps(compared_dict(work_of(job, WorkRecord(folder / "planter.csv")))))
    inner = [told["missed"], told["wrong_strips"], told["passes"]]
    keys = {*told, *(key for rows in inner for key in rows[0])}
    assert {key for key in keys if f"`{key}`" not in PAGE} == set()


@pytest.mark.parametrize("unit", RATE_UNITS)
def test_every_unit_stands_on_the_page(unit):
    assert f"`{unit}`" in PAGE
