"""Sections of every practice can be drawn."""

import io
import itertools
import xml.etree.ElementTree as ET

import pytest
from PIL import Image
from sample_layouts import PLAN_FOLDER, paper_layout

from geolayout.errors import FileError
from geolayout.handover.pictures import section as sectionpicture
from geolayout.handover.pictures.section import section_bytes, section_picture
from geolayout.plan.parse import parse_plan
from geolayout.plan.section.profile import profile_of

DRAWN = [
    ("strips", 24.0),
    ("alleys", 80.0),
    ("relay", 12.0),
    ("windbreak", 90.0),
    ("undersowing_wheelings", 24.0),
    ("straddling_planter", 24.0),
]


def profile(name, far):
    plan = parse_plan((PLAN_FOLDER / f"{name}.toml").read_text(encoding="utf-8"))
    return profile_of(plan, plan.patterns[0], (0.0, far))


@pytest.mark.parametrize(("name", "far"), [pytest.param(*one, id=one[0]) for one in DRAWN])
def test_a_section_is_drawn_the_same_every_time(name, far):
    drawn = section_bytes(profile(name, far), "svg")
    assert drawn == section_bytes(profile(name, far), "svg")
    assert ET.fromstring(drawn).tag.endswith("svg")  # noqa: S314  (written by ourselves)


def test_a_wide_section_is_broken_at_band_edges():
    # beans at 0.25 m need 240 mm / 1.3 mm x 0.15 m a line or so; strips of 6 m stay whole
    windows = sectionpicture._windows(profile("strips", 60.0))
    assert windows[0][0] == 0.0
    assert windows[-1][1] == 60.0
    assert all(near[1] == far[0] for near, far in itertools.pairwise(windows))
    assert all(edge % 6.0 == 0.0 for window in windows for edge in window)


def test_a_very_wide_section_is_drawn_as_far_as_the_paper_goes():
    tall = Image.open(io.BytesIO(section_bytes(profile("strips", 600.0), "png"))).size[1]
    taller = Image.open(io.BytesIO(section_bytes(profile("strips", 1200.0), "png"))).size[1]
    assert tall == taller


@pytest.mark.parametrize("name", ["a.svg", "A.PNG"])
def test_the_name_says_which_kind_of_picture(name, tmp_path):
    section_picture(profile("relay", 12.0), tmp_path / name)
    start = (tmp_path / name).read_bytes()[:5]
    assert start == (b"<?xml" if name.endswith("svg") else b"\x89PNG\r")


@pytest.mark.parametrize(
    ("name", "match"),
    [
        pytest.param("a.pdf", "SVG or PNG", id="another kind of file"),
        pytest.param("section", "SVG or PNG", id="no kind at all"),
        pytest.param("none/a.svg", "cannot be written", id="a folder that is not there"),
    ],
)
def test_a_file_that_cannot_be_is_refused(name, match, tmp_path):
    with pytest.raises(FileError, match=match):
        section_picture(profile("relay", 12.0), tmp_path / name)


def test_the_section_of_a_real_layout_can_be_drawn():
    layout = paper_layout()
    block = layout.blocks[0]
    span = (block.section.cuts[0].t0, block.section.cuts[-1].t1)
    assert section_bytes(profile_of(layout.plan, block.pattern, span), "png")[1:4] == b"PNG"
