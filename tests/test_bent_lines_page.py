"""The page on bent lines: its plans are laid, and what it says of them holds."""

import re
import shutil
from pathlib import Path

import numpy as np
import pytest
from sample_layouts import SAMPLE_FOLDER

from geolayout import jobs
from geolayout.layout.guides.parallel import Parallel

PAGE = Path(__file__).parent.parent / "docs" / "bent-lines.md"
PLANS = re.findall(r"```toml\n(.*?)```", PAGE.read_text("utf-8"), flags=re.S)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return Path(shutil.copytree(SAMPLE_FOLDER, tmp_path_factory.mktemp("bent") / "fields"))


def laid(folder, number):
    path = folder / f"bent_{number}.toml"
    path.write_text(PLANS[number], encoding="utf-8")
    return jobs.lay(jobs.read(path))


def test_the_page_has_two_plans():
    assert len(PLANS) == 2


def test_along_the_hedge_the_land_is_split_once(folder):
    layout = laid(folder, 0)
    assert [block.name for block in layout.blocks] == ["stretch 1", "stretch 2"]
    assert all(isinstance(block.guides, Parallel) for block in layout.blocks)
    (said,) = (given.what for given in layout.gave_way if "wedge" in given.what)
    assert "smooth = 16.0" in said
    assert layout.ground.area.sum() == pytest.approx(layout.field.land.area, rel=1e-9)


def test_on_the_contour_bands_lie_on_both_sides_of_the_hollow(folder):
    layout = laid(folder, 1)
    assert len(layout.blocks) == 2
    assert layout.ground.area.sum() == pytest.approx(layout.field.land.area, rel=1e-9)
    rows, terrain = layout.rows, layout.field.terrain
    starts = rows.lines.offsets[:-1]
    xy, step = rows.lines.xy[starts], rows.lines.xy[starts + 1] - rows.lines.xy[starts]
    grade = terrain.grade(xy, np.degrees(np.arctan2(*step.T)))
    assert np.nanmedian(np.abs(grade)) < 1.0


@pytest.mark.parametrize("name", ["bent_strips.png", "contour_strips.png"])
def test_its_pictures_are_there_and_small(name):
    size = (PAGE.parent / name).stat().st_size
    assert 10_000 < size < 300_000
