"""The page on files by device: what it says of the sample's folder holds."""

import re
from pathlib import Path

import pytest
from sample_layouts import SAMPLE_FOLDER

from geolayout import jobs
from geolayout.handover.files.asked import ASKED
from geolayout.handover.files.gisstyles import style_of
from geolayout.handover.files.rateground import SLACK
from geolayout.handover.files.ratemaps import CELL, MOST_CELLS
from geolayout.handover.files.shapelayers import LAYERS
from geolayout.handover.taskdata import grids
from geolayout.handover.taskdata.guidance import MOST_SHARED
from geolayout.handover.taskdata.rates import QUANTITIES
from geolayout.jobs.writing import write

PAGE = (Path(__file__).parent.parent / "docs" / "files.md").read_text("utf-8")
FLAT = " ".join(PAGE.split())


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("files") / "pond"
    job = jobs.resolve(jobs.read(SAMPLE_FOLDER / "pond_piece.toml"))
    write(job, jobs.lay(job), place)
    return place


def test_every_file_in_the_table_is_there(folder):
    table = PAGE.split("| device |")[1].split("\n\n")[0]
    named = [one for one in re.findall(r"`([^`]+)`", table) if "summary" not in one]
    assert len(named) > 10
    for name in named:
        found = [*folder.glob(name), *folder.glob(f"*/{name}")]
        assert found, name


def test_what_can_be_asked_for_is_what_the_page_lists():
    table = PAGE.split("| name |")[1].split("\n\n")[0]
    assert tuple(re.findall(r"^\| `(\w+)` \|", table, re.M)) == ASKED


def test_the_scales_of_the_page_are_those_of_the_looks():
    said = {name: f"1:{style_of(name, {}).from_scale:,}" for name in ("rows", "turns")}
    assert f"rows come from {said['rows']} on, turns from {said['turns']}" in FLAT


def test_the_largest_amount_of_the_page_is_the_last_that_fits():
    for unit in ("l/ha", "kg/ha"):
        assert QUANTITIES[unit].total(2_147_483) == 2_147_483_000
        assert QUANTITIES[unit].total(2_147_484) is None
    assert "more than 2,147,483 l or kg is left out" in FLAT


def test_the_sentence_on_lines_is_that_of_the_folder(folder):
    (told,) = re.findall(r"`(plant maize 1 [^`]+)`", PAGE)
    assert told in (folder / "taskdata_4" / "README.txt").read_text("utf-8")


def test_figures_on_the_page_are_those_of_the_program():
    assert f"widened by {SLACK:.2f} m" in FLAT
    assert (
        f"cells of {CELL:g} m (larger on fields over {MOST_CELLS * CELL**2 / 1e4:.0f} ha)" in FLAT
    )
    assert (
        f"are {grids.CELL:g} m, larger where there would be more than {grids.MOST_CELLS:,}" in FLAT
    )
    assert (MOST_SHARED, "Up to three such lines" in FLAT) == (3, True)
    # 114 passes; 3,657.6 mm are written as 3,658, and 113 x 0.4 mm are 4.5 cm.
    assert "its last line would lie 4.5 cm off" in FLAT


def test_the_table_of_rates_is_that_of_the_program():
    rows = re.findall(r"\| (\S+) \| (\w{4}), [^|]+\| ([\d.,]+) \| ([\d.]+) ", PAGE)
    assert {unit for unit, *_ in rows} == set(QUANTITIES)
    for unit, entry, steps, finest in rows:
        quantity = QUANTITIES[unit]
        assert quantity.rate_ddi == entry
        assert quantity.steps == float(steps.replace(",", ""))
        assert float(finest) == pytest.approx(1 / quantity.steps)


def test_the_layers_of_the_drawing_are_named():
    assert f"layers {', '.join(LAYERS[:-1])} and {LAYERS[-1]}" in FLAT
