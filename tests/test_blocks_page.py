"""The page on blocks: its plans are laid, and what it says of them holds."""

import re
import shutil
from pathlib import Path

import numpy as np
import pytest
import shapely
from click.testing import CliRunner
from sample_layouts import SAMPLE_FOLDER

from geolayout import jobs
from geolayout.appraisal.block_ends import block_end_cautions
from geolayout.apps.cli import cli
from geolayout.plan.parse import parse_plan

PAGE = Path(__file__).parent.parent / "docs" / "blocks.md"
TEXT = PAGE.read_text("utf-8")
TWO, CROSSED, SMALL = re.findall(r"```toml\n(.*?)```", TEXT, flags=re.S)
(LINES,) = re.findall(r"```json\n(.*?)```", TEXT, flags=re.S)
OWN = 'headland = { where = "ends", width = 18.0, stand = "grass" }\n\n[[block]]'


@pytest.fixture
def folder(tmp_path):
    there = Path(shutil.copytree(SAMPLE_FOLDER, tmp_path / "fields"))
    (there / "split.geojson").write_text(LINES, encoding="utf-8")
    return there


def laid(folder, plan, name="plan.toml"):
    (folder / name).write_text(plan, encoding="utf-8")
    return jobs.lay(jobs.read(folder / name))


def test_two_blocks_have_lines_bands_and_headlands_of_their_own(folder):
    layout = laid(folder, TWO)
    assert [block.name for block in layout.blocks] == ["west", "east tier 1", "east tier 2"]
    west, east, other = layout.blocks
    assert 80.0 < abs(west.bearing - east.bearing) < 100.0
    assert east.guides == other.guides
    assert {west.pattern.name, east.pattern.name} == {"strips", "wide"}
    assert layout.ground.area.sum() == pytest.approx(layout.field.land.area, rel=1e-9)
    assert block_end_cautions(layout) == []


def test_without_a_headland_of_its_own_the_west_block_turns_on_the_wheat(folder):
    assert OWN in TWO
    (caution,) = block_end_cautions(laid(folder, TWO.replace(OWN, "[[block]]")))
    assert caution.key == "rows-end-at-a-block"
    assert caution.sentence.startswith("Rows of block west end along 3")


def test_an_operation_of_the_page_is_crossed():
    plan = parse_plan(
        'schema = 1\n[[machine]]\nname = "drill"\nworking_width = 3.0\n[[pattern]]\nname = "p"\n'
        f'bands = [ {{ name = "A", width = 6.0, stand = "none" }} ]\n{CROSSED}'
    )
    assert plan.operations[0].crossed == 90.0


def rows_of(layout, numbers):
    """Return the ends of the rows of the first block's bands, by band and row."""
    rows = layout.rows
    found = {}
    for i in np.flatnonzero((rows.block == 0) & np.isin(rows.number, numbers)):
        key = tuple(int(column[i]) for column in (rows.number, rows.sowing, rows.row, rows.piece))
        found[key] = rows.lines.geometry[i]
    return found


def year(folder, plan, *options):
    if (folder / "surveyed.geojson").is_file():
        plan = plan.replace("slough_quarter.kmz", "surveyed.geojson")
    (folder / "plan.toml").write_text(plan, encoding="utf-8")
    words = ["lay", str(folder / "plan.toml"), "--out", str(folder / "strips"), *options]
    result = CliRunner().invoke(cli, words)
    assert result.exit_code == 0, result.output
    return jobs.lay(jobs.read(folder / "strips" / "plan_resolved.toml"))


@pytest.mark.parametrize("moved", [0.0, 0.4], ids=["the same boundary", "a corner surveyed anew"])
def test_the_strips_of_the_first_year_do_not_move(folder, moved):
    first = year(folder, SMALL)
    survey(folder, moved)
    wider = SMALL.replace("width = 108.0", "width = 216.0")
    second = year(folder, wider, "--replace", "--keep-lines")
    whole = [cut.number for cut in first.blocks[0].section.cuts if not cut.note]
    assert whole == [1, 2, 3, 4, 5]
    before, after = rows_of(first, whole), rows_of(second, whole)
    assert set(before) == set(after)
    frame, other = first.field.frame, second.field.frame
    for key, line in before.items():
        # square to the rows, in the frame of the second year
        again = other.metres(frame.lonlat(shapely.get_coordinates(line)))
        across = second.blocks[0].guides.across(again)
        t = second.blocks[0].guides.across(shapely.get_coordinates(after[key]))
        assert across == pytest.approx(np.full(len(across), t[0]), abs=1e-3)
    assert second.blocks[0].land.area > 1.7 * first.blocks[0].land.area


def survey(folder, moved):
    """Move the westernmost corner of the field to the west."""
    path = folder / "slough_quarter.kmz"
    field = jobs.read(folder / "plan.toml").land
    xy = shapely.get_coordinates(field.land)
    corner = xy[np.argmin(xy @ [1.0, 0.2])]
    off = np.array([moved, 0.0])
    again = shapely.transform(field.land, lambda xy: np.where(xy == corner, xy - off, xy))
    feature = shapely.to_geojson(field.frame.to_geographic(again))
    (folder / "surveyed.geojson").write_text(feature, encoding="utf-8")
    path.unlink()


@pytest.mark.parametrize("name", ["two_blocks.png", "part_first.png", "part_second.png"])
def test_its_pictures_are_there_and_small(name):
    size = (PAGE.parent / name).stat().st_size
    assert 10_000 < size < 300_000
