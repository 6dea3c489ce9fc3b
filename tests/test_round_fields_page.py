"""The page on round fields: its plan is laid, and its picture is there."""

import re
import shutil
from pathlib import Path

import pytest
from sample_layouts import SAMPLE_FOLDER

from geolayout import jobs
from geolayout.layout.guides.rings import Rings

PAGE = Path(__file__).parent.parent / "docs" / "round-fields.md"
PLANS = re.findall(r"```toml\n(.*?)```", PAGE.read_text("utf-8"), flags=re.S)


def test_the_page_s_plan_lays_rings_past_the_pond(tmp_path):
    folder = Path(shutil.copytree(SAMPLE_FOLDER, tmp_path / "fields"))
    path = folder / "rings.toml"
    path.write_text(PLANS[0], encoding="utf-8")
    layout = jobs.lay(jobs.read(path))
    assert isinstance(layout.blocks[0].guides, Rings)
    assert layout.ground.area.sum() == pytest.approx(layout.field.land.area, rel=1e-9)
    assert "no round reaches it" in layout.ground.reason.tolist()


def test_its_picture_is_there_and_small():
    assert 10_000 < (PAGE.parent / "rings.png").stat().st_size < 300_000
