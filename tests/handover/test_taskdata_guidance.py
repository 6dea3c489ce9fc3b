"""Guidance in task data: straight lines, and the bent lines, rings and spirals of the docs."""

import re
import shutil
from pathlib import Path

import numpy as np
import pytest
import shapely
from sample_layouts import SAMPLE_FOLDER, STRIPS, paper_layout
from taskdata_checks import lonlat, own_faults, schema_faults

from geolayout import jobs
from geolayout.handover.files.rateground import operation_rates
from geolayout.handover.taskdata.elements import Ids
from geolayout.handover.taskdata.folder import write_taskdata
from geolayout.handover.taskdata.guidance import guidance_groups
from geolayout.land.field import make_field
from geolayout.land.frames.frame import Frame

DOCS = Path(__file__).parents[2] / "docs"


def plans(page):
    """Return the plans on a page, whole ones only."""
    found = re.findall(r"```toml\n(.*?)```", (DOCS / page).read_text("utf-8"), flags=re.S)
    return [text for text in found if "schema = 1" in text]


PLANS = [
    (page, i) for page in ("bent-lines.md", "round-fields.md") for i in range(len(plans(page)))
]


@pytest.fixture(scope="module")
def layouts(tmp_path_factory):
    """Lay each plan of the pages once."""
    folder = Path(shutil.copytree(SAMPLE_FOLDER, tmp_path_factory.mktemp("pages") / "fields"))
    made = {}
    for page, i in PLANS:
        path = folder / f"{page}_{i}.toml"
        path.write_text(plans(page)[i], encoding="utf-8")
        made[page, i] = jobs.lay(jobs.read(path))
    return made


def patterns_of(layout):
    return [p for group in guidance_groups(layout, Ids()) for p in group.element.iter("GPN")]


def test_there_are_pages_with_plans():
    assert {page for page, _ in PLANS} == {"bent-lines.md", "round-fields.md"}


@pytest.mark.parametrize("which", PLANS, ids=[f"{page} {i}" for page, i in PLANS])
def test_bent_lines_are_curves_and_valid(layouts, which, tmp_path):
    layout = layouts[which]
    write_taskdata(layout, (), operation_rates(layout), tmp_path)
    for version in ("taskdata_4", "taskdata_3"):
        folder = tmp_path / version / "TASKDATA"
        assert own_faults(folder, near=layout.field.boundary.bounds) == []
    assert schema_faults(tmp_path / "taskdata_4" / "TASKDATA" / "TASKDATA.XML") == []
    kinds = {pattern.get("C") for pattern in patterns_of(layout)}
    assert kinds <= {"3", "5"}
    assert "3" in kinds


@pytest.mark.parametrize("which", PLANS, ids=[f"{page} {i}" for page, i in PLANS])
def test_every_bent_pass_is_there_as_it_is_driven(layouts, which):
    layout = layouts[which]
    drawn = [lonlat(p) for p in patterns_of(layout)]
    tree = shapely.STRtree([shapely.LineString(layout.field.frame.metres(xy)) for xy in drawn])
    for line in layout.passes.lines.geometry:
        near = tree.geometries[tree.query_nearest(line)]
        # Within 1 mm, as what is straight in degrees bows by that at most.
        assert min(shapely.hausdorff_distance(line, one) for one in near) < 0.0015


def test_a_ring_ends_where_it_begins_and_is_not_prolonged(layouts):
    layout = layouts["round-fields.md", 0]
    closed = [p for p in patterns_of(layout) if (lonlat(p)[0] == lonlat(p)[-1]).all()]
    assert len(closed) > 3
    driven = [p for p in closed if "line 0" not in p.get("B")]
    assert {p.get("F") for p in driven} == {"4"}


SPIRAL = """
schema = 1
[guide]
kind = "round"
spiral = true
[headland]
where = "none"
[[stand]]
name = "meadow"
sowing = [ { crop = "grass", place = "standing" } ]
[[pattern]]
name = "one"
bands = [ { name = "M", width = "rest", stand = "meadow" } ]
[[machine]]
name = "mower"
working_width = 3.0
turning_radius = 5.0
[[operation]]
name = "mow"
machine = "mower"
over = "block"
stands = ["meadow"]
"""


def test_a_spiral_says_that_it_is_one():
    disc = shapely.Point(0.0, 0.0).buffer(100.0, quad_segs=64)
    field = make_field(Frame(10.0, 52.0).to_geographic(disc), name="Disc (invented)")
    layout = paper_layout(SPIRAL, field)
    patterns = {p.get("B"): p for p in patterns_of(layout)}
    assert [patterns[name].get("C") for name in ("mow 1", "mow 2")] == ["3", "5"]


def test_a_straight_field_has_a_point_and_a_heading_for_its_line_nought():
    # On the frame's own meridian grid north is true north: rows along it head 0 degrees.
    layout = paper_layout(STRIPS.replace("bearing = 0.0", "bearing = 12.5"))
    (line,) = [p for p in patterns_of(layout) if p.get("C") == "2"]
    assert float(line.get("G")) == pytest.approx(12.5, abs=1e-5)
    (at,) = lonlat(line)
    assert np.allclose(at, layout.field.frame.lonlat(np.array([layout.blocks[0].anchor]))[0])


def test_passes_on_whole_widths_are_one_line_with_the_swaths_beside_it():
    # 60 m in bands of 6 m, maize on five of them: lines 0, 2, 4, 6 and 8, all to the right, as the
    # first is in the west and A-B runs north. Beans: two passes of 3 m in every second band.
    groups = {group.operation: group for group in guidance_groups(paper_layout(), Ids())}
    (line,) = groups["plant"].element
    assert (line.get("N"), line.get("O"), line.get("E")) == ("0", "8", "1")
    assert groups["plant"].told == (
        "plant 1 is line 0: drive line 0 of every 2 up to 8 to the right.",
    )
    assert groups["drill"].told == (
        "drill 1 is line 0: drive lines 0, 1 of every 4 up to 17 to the right.",
    )


def test_swaths_lie_to_the_left_where_bands_count_the_other_way():
    layout = paper_layout(STRIPS.replace('from = "west"', 'from = "east"'))
    groups = {group.operation: group for group in guidance_groups(layout, Ids())}
    (line,) = groups["plant"].element
    assert (line.get("N"), line.get("O")) == ("8", "0")


def test_passes_on_no_whole_widths_are_lines_of_their_own():
    # A drill of 5 m in bands of 6 m is moved back by 4 m for its second pass. Its middles are at
    # 8.5, 9.5, 20.5, 21.5, 32.5 m and so on: five lattices of 5 m, so every pass is told by itself.
    text = STRIPS.replace("working_width = 3.0", "working_width = 5.0")
    groups = {group.operation: group for group in guidance_groups(paper_layout(text), Ids())}
    assert len(groups["drill"].element) == 10
    assert {line.get("E") for line in groups["drill"].element} == {"4"}
    assert groups["drill"].told == ()
