"""The page on headlands: its figures are those of the code, and its plan is laid."""

import re
import shutil
from pathlib import Path

import pytest
from sample_layouts import SAMPLE_FOLDER

from geolayout import jobs
from geolayout.plan.slanting import headland_needed_aslant
from geolayout.plan.turns import headland_for_turn, headland_needed, turn_length, turn_word

PAGE = Path(__file__).parent.parent / "docs" / "headlands.md"
TEXT = PAGE.read_text("utf-8")
PLANS = re.findall(r"```toml\n(schema.*?)```", TEXT, flags=re.S)
ROWS = re.findall(
    r"^\| [a-z ]+ \| (\d+) m \| ([\w-]+) \| ([\d.]+) m \| (\d+) m \| ([\d.]+) m \|$", TEXT, re.M
)


def test_the_table_is_what_the_formulas_give():
    assert len(ROWS) == 4
    for apart, word, needed, whole, driven in ROWS:
        spacing, way = float(apart), "three-point" if word == "three-point" else "forward"
        assert turn_word(6.5, spacing, way) == word
        assert headland_needed(6.5, spacing, 6.0, way) == pytest.approx(float(needed), abs=0.05)
        assert headland_for_turn(6.5, int(spacing / 6.0), 6.0, way) == float(whole)
        assert turn_length(6.5, spacing, way) == pytest.approx(float(driven), abs=0.05)


def test_what_it_says_of_slanting_ends_is_what_the_formulas_give():
    u, omega = re.findall(r"([\d.]+) m instead of", TEXT)
    assert headland_needed_aslant(6.5, 13.0, 6.0, 60.0) == pytest.approx(float(u), abs=0.051)
    assert headland_needed_aslant(6.5, 6.0, 6.0, 60.0) == pytest.approx(float(omega), abs=0.05)


def test_the_plan_has_three_widths_and_two_stands(tmp_path):
    folder = Path(shutil.copytree(SAMPLE_FOLDER, tmp_path / "fields"))
    path = folder / "headlands.toml"
    path.write_text(PLANS[0], encoding="utf-8")
    layout = jobs.lay(jobs.read(path))
    headland = layout.ground.kind == "headland"
    assert set(layout.ground.stand[headland].tolist()) == {"grass", "flowers"}
    assert layout.ground.area.sum() == pytest.approx(layout.field.land.area, rel=1e-9)


def test_its_picture_is_there_and_small():
    assert 10_000 < (PAGE.parent / "headland_edges.png").stat().st_size < 300_000
