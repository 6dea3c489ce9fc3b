"""A drawn map of light: the same bytes every time, dark cells dark, and what they mean beside."""

import re
from io import BytesIO

import matplotlib as mpl
import numpy as np
import pytest
from planted_layouts import planted

from geolayout.appraisal.light.area import BlockLight, LightMap
from geolayout.errors import FileError
from geolayout.handover.files.lightraster import light_cells
from geolayout.handover.pictures.light_map import (
    CLASSES,
    DrawnLight,
    light_map_bytes,
    light_map_picture,
)
from geolayout.land.frames.mapgrid import map_grid


@pytest.fixture(scope="module")
def drawn():
    """Two rows of trees; dark in the west, bright in the east. The light is invented."""
    layout = planted()
    cells = light_cells(layout, map_grid("EPSG:32632"), 4.0)
    x = cells.xy[:, 0]
    light = np.where(x < 0.0, 0.35, 0.97)
    block = np.where(np.abs(x) < 20.0, 0, -1)
    told = LightMap(15.0, (4, 7), 40, 9.25, True, light, light, light, block)
    stands = np.arange(len(layout.trees)) < 40
    return DrawnLight(layout, told, cells, [BlockLight("", 200, 0.66, 0.35, 0.5)], "slow", stands)


@pytest.mark.parametrize("form", ["png", "svg"])
def test_the_same_map_is_the_same_picture(drawn, form):
    assert light_map_bytes(drawn, form) == light_map_bytes(drawn, form)


def test_what_it_means_is_written_beside_it(drawn):
    text = re.sub(r"\s+", " ", light_map_bytes(drawn, "svg").decode())
    for words in (
        "Light on the ground from April to July, 15 years after planting",
        "trees up to 9.2 m on a slow site, by our estimate",
        "Share of open light",
        "Crop has 66% of open light on the mean and 35% at its darkest",
        "50% of it has less than 80%",
        "Dots are the 40 trees of 48 planted",
        "Cells of 4 m",
    ):
        # matplotlib says each text in a comment, line by line
        assert words[:40] in text, words


def pixels(drawn):
    return mpl.image.imread(BytesIO(light_map_bytes(drawn, "png")))[..., :3]


def test_dark_cells_are_dark_in_black_and_white_too(drawn):
    colours = mpl.colormaps["viridis"](np.linspace(0.0, 1.0, len(CLASSES) - 1))[:, :3]
    seen = pixels(drawn).reshape(-1, 3)
    shares = [
        float((np.abs(seen - c).max(axis=1) < 0.01).mean()) for c in (colours[0], colours[-1])
    ]
    assert shares[0] == pytest.approx(shares[1], rel=0.15)  # half the field each
    assert min(shares) > 0.01
    grey = colours @ [0.299, 0.587, 0.114]  # brightness of a photocopy; ITU-R BT.601, from memory
    assert (np.diff(grey) > 0.03).all()


def test_a_map_of_no_known_kind_is_refused(drawn, tmp_path):
    with pytest.raises(FileError, match="SVG or PNG"):
        light_map_picture(drawn, tmp_path / "light.pdf")
    assert list(tmp_path.iterdir()) == []
