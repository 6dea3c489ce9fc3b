"""The page on directions: its plan is laid by its wish, and what it says of it holds."""

import re
import shutil
from pathlib import Path

import pytest
from sample_layouts import SAMPLE_FOLDER

from geolayout import jobs
from geolayout.appraisal.driving import speeds

PAGE = Path(__file__).parent.parent / "docs" / "which-way.md"
TEXT = PAGE.read_text("utf-8")
(PLAN,) = re.findall(r"```toml\n(.*?)```", TEXT, flags=re.S)


@pytest.fixture(scope="module")
def job(tmp_path_factory):
    folder = shutil.copytree(SAMPLE_FOLDER, tmp_path_factory.mktemp("way") / "fields")
    path = folder / "chosen.toml"
    path.write_text(PLAN, encoding="utf-8")
    return jobs.read(path)


def test_its_plan_is_laid_by_the_fewest_hours(job):
    layout = jobs.lay(job)
    assert layout.plan.guide.origin.choose == "fewest hours"
    # along the west hedge, which runs at some 9.8 degrees
    assert layout.blocks[0].bearing % 180.0 == pytest.approx(9.8, abs=2.5)
    assert layout.ground.area.sum() == pytest.approx(layout.field.land.area, rel=1e-9)


def test_its_speeds_are_those_that_are_used():
    for speed in (speeds.SPEED, speeds.TURNING):
        said = f"{speed.slow:g} to {speed.fast:g} km/h, usually {speed.usual:g}"
        assert said in TEXT


def test_its_picture_is_there_and_small():
    size = (PAGE.parent / "which_way.png").stat().st_size
    assert 10_000 < size < 300_000
