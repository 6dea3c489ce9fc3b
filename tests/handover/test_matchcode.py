"""The match code is equal where the work is equal, and another where anything differs."""

import re

import pytest
from sample_layouts import SAMPLE_FOLDER, SAMPLES, STRIPS, paper_layout, rectangle, sample_layout

from geolayout.handover.contents import RESOLVED_FILE
from geolayout.handover.matchcode import match_code
from geolayout.handover.planfile import plan_toml, portable
from geolayout.jobs import lay, read

FORM = re.compile("[2-9A-HJ-NP-Z]{3}-[2-9A-HJ-NP-Z]{3}")


def test_every_sample_has_a_code_of_its_own():
    codes = [match_code(sample_layout(name)) for name in SAMPLES]
    assert all(FORM.fullmatch(code) for code in codes)
    assert len(set(codes)) == len(codes)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        pytest.param("bearing = 0.0", "bearing = 0.1", id="another bearing"),
        pytest.param('from = "west"', 'from = "east"', id="counted from the other side"),
        pytest.param("width = 10.0", "width = 12.0", id="another headland"),
        pytest.param("= 80000", "= 90000", id="another rate"),
        pytest.param("spacing = 0.75", "spacing = 0.7", id="another row spacing"),
        pytest.param("working_width = 3.0", "working_width = 6.0", id="another drill"),
        pytest.param('width = 6.0, stand = "maize"', 'width = 9.0, stand = "maize"', id="widths"),
    ],
)
def test_what_changes_the_work_changes_the_code(old, new):
    assert old in STRIPS
    changed = match_code(paper_layout(STRIPS.replace(old, new)))
    assert changed != match_code(paper_layout())


def test_another_field_has_another_code():
    assert match_code(paper_layout(field=rectangle(60.0, 121.0))) != match_code(paper_layout())


@pytest.mark.parametrize("name", ["pond_piece", "two_halves", "hive_ground"])
def test_a_plan_read_back_from_its_folder_has_the_same_code(name, tmp_path):
    layout = sample_layout(name)
    drawn = read(SAMPLE_FOLDER / f"{name}.toml").drawn
    plan, files = portable(layout.plan, layout.field, drawn)
    (tmp_path / RESOLVED_FILE).write_bytes(plan_toml(plan).encode())
    for file, data in files.items():
        (tmp_path / file).write_bytes(data)
    assert match_code(lay(read(tmp_path / RESOLVED_FILE))) == match_code(layout)
