"""The picture of the order of driving: every sample, loads, rounds, and the same bytes twice."""

from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from matplotlib.image import imread
from sample_layouts import STRIPS, paper_layout, sample_layout

from geolayout.appraisal.cautions import cautions
from geolayout.appraisal.driving.season import driving_of
from geolayout.handover.files.prescription import write_guidance
from geolayout.handover.pictures.drive import drive_png, write_drive_pictures
from geolayout.handover.pictures.paper import A4
from geolayout.handover.words.drive import in_turn

DOTS = 120


@pytest.mark.parametrize("name", ["bore_paddock", "hive_ground", "ridge_road"])
def test_the_picture_is_a_sheet_with_much_drawn_on_it(name):
    layout = sample_layout(name)
    one = driving_of(layout)[0]
    picture = imread(BytesIO(drive_png(layout, one, cautions(layout))))
    assert sorted(picture.shape[:2]) == [int(side / 25.4 * DOTS) for side in A4]
    assert 0.03 < (picture[..., :3].min(axis=2) < 0.5).mean() < 0.5


def test_the_same_order_gives_the_same_bytes():
    layout = sample_layout("bore_paddock")
    one = driving_of(layout)[0]
    assert drive_png(layout, one, ()) == drive_png(layout, one, ())


def test_pictures_are_named_like_the_files_of_lines(tmp_path):
    layout = sample_layout("hive_ground")
    pictures, lines = tmp_path / "pictures", tmp_path / "lines"
    for folder in (pictures, lines):
        folder.mkdir()
    names = write_drive_pictures(layout, (), pictures)
    write_guidance(layout, lines, ())
    assert sorted(names) == sorted(path.name for path in pictures.iterdir())
    assert {name.removesuffix(".png") for name in names} == {p.stem for p in lines.glob("*.shp")}


def test_rounds_change_the_picture():
    layout = sample_layout("bore_paddock")
    one = driving_of(layout)[0]
    without = replace(one, rounds=())
    assert len(in_turn(without)) == len(in_turn(one)) - 1
    drawn = [imread(BytesIO(drive_png(layout, some, ()))) for some in (one, without)]
    assert (np.abs(drawn[0] - drawn[1]).max(axis=2) > 0.2).mean() > 0.002


def test_loads_are_marked_and_told():
    text = STRIPS.replace("working_width = 6.0", "working_width = 6.0\nhopper = 4.0", 1)
    layout = paper_layout(text)
    one = next(one for one in driving_of(layout) if one.carting is not None)
    assert one.carting.run_outs
    bare = replace(one, carting=None)
    with_loads, plain = (imread(BytesIO(drive_png(layout, some, ()))) for some in (one, bare))
    assert (np.abs(with_loads - plain).max(axis=2) > 0.2).any()
