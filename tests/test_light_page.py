"""The page on light: its figures are those of the sample, its defaults those of the program."""

from pathlib import Path

import pytest

pytest.importorskip("pvlib", reason="the extra `light` is not installed")

from sample_layouts import sample_layout

from geolayout.handover.files.lightraster import CELL, USUAL_CELLS
from geolayout.jobs.light import MapWish, Planting, field_light, field_light_dict

PAGE = Path(__file__).parent.parent / "docs" / "light.md"
TEXT = PAGE.read_text("utf-8")
FLAT = " ".join(TEXT.split())


def test_the_light_over_the_sample_holds():
    found = field_light(Planting(sample_layout("crooked_hedge")), MapWish(15.0))
    (block,) = found.blocks
    told = f"{block.mean:.0%} on the mean, {block.darkest:.0%} at its darkest"
    assert f"in year 15 Crooked Hedge has {told}, and {block.under:.0%} of the crop" in FLAT
    assert found.told.trees == len(found.stands)
    assert field_light_dict(found)["cell_m"] == CELL


def test_the_limits_of_cells_hold():
    assert f"Cells are {CELL:g} m, doubled on a field that would have more than" in FLAT
    assert f"{USUAL_CELLS:,}" in FLAT


@pytest.mark.parametrize("name", ["alley_light.png", "light_map.png"])
def test_its_pictures_are_there_and_small(name):
    assert 10_000 < (PAGE.parent / name).stat().st_size < 300_000
    assert f"]({name})" in TEXT
