"""The drawn alley: the same bytes every time, with its figures in words."""

import pytest

from geolayout.appraisal.alleys.scene import AlleyScene, ScenePass, SceneTree
from geolayout.errors import FileError
from geolayout.handover.pictures.alley import alley_bytes, alley_picture


def scene(heights=(5.0, 8.0)):
    crowns = None if heights is None else (2.0, 4.0)
    trees = tuple(SceneTree(t, heights, crowns, 2.0, 0.2) for t in (1.5, 28.5))
    passes = (ScenePass("spray", True, 3.0, 27.0), ScenePass("drill", False, 3.0, 9.0))
    return AlleyScene(10.0, ((0.0, 3.0), (27.0, 30.0)), ("T 1", "T 3"), trees, passes)


def test_a_picture_is_the_same_every_time():
    first = alley_bytes(scene(), "png")
    assert first.startswith(b"\x89PNG")
    assert first == alley_bytes(scene(), "png")


def test_it_tells_year_heights_reach_and_room():
    text = alley_bytes(scene(), "svg").decode()
    assert "<svg" in text
    # crowns of 4 m round rows 1.5 m off: 0.5 m over the crop; 3 - 1.5 - 0.2 = 1.3 m of room
    assert scene().over_crop == pytest.approx(0.5)
    assert scene().room == pytest.approx(1.3)


def test_unknown_heights_are_drawn_as_such():
    assert alley_bytes(scene(None), "png") != alley_bytes(scene(), "png")


def test_another_ending_is_refused(tmp_path):
    with pytest.raises(FileError, match=r"SVG or PNG"):
        alley_picture(scene(), tmp_path / "alley.pdf")
