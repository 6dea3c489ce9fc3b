"""Rasters of rates and of ground: valid, and as much seed as the summary has."""

from functools import cache

import numpy as np
import pytest
from rasterio.io import MemoryFile
from rio_cogeo.cogeo import cog_validate
from sample_layouts import SAMPLES, paper_layout, sample_layout

from geolayout.handover.files.rateground import operation_rates
from geolayout.handover.files.ratemaps import CELL, cells_of, classes_bytes, rates_bytes
from geolayout.land.frames.mapgrid import map_grid, utm_code

RATED = [name for name in SAMPLES if name != "market_plots"]  # a trial that nobody drills


def grid_of(layout):
    frame = layout.field.frame
    return map_grid(utm_code(frame.lon, frame.lat))


@cache
def written(name):
    layout = sample_layout(name)
    cells = cells_of(layout, grid_of(layout))
    return rates_bytes(layout, operation_rates(layout), cells), *classes_bytes(layout, cells)


def opened(content):
    with MemoryFile(content) as memory, memory.open() as sheet:
        return sheet.read(), sheet.descriptions, sheet.units, sheet.profile, sheet.tags()


@pytest.mark.parametrize("name", RATED)
def test_both_are_cloud_optimized(name, tmp_path):
    for i, content in enumerate(written(name)[:2]):
        path = tmp_path / f"{i}.tif"
        path.write_bytes(content)
        assert cog_validate(path) == (True, [], [])


@pytest.mark.parametrize("name", RATED)
def test_rates_times_cells_are_rates_times_ground(name):
    layout = sample_layout(name)
    values, names, units, profile, _ = opened(written(name)[0])
    scale = grid_scale_squared(layout)
    k = 0
    for one in operation_rates(layout):
        for j, product in enumerate(one.products):
            assert (names[k], units[k]) == (f"{one.operation}: {product.name}", product.unit)
            total = values[k][values[k] > 0].sum() * CELL**2 / scale
            meant = sum(zone.rate[j] * zone.true.area for zone in one.zones)
            # A cell of half a metre on a strip of 3 m or more: edges err, but not to one side.
            assert total == pytest.approx(meant, rel=0.004)
            k += 1
    assert profile["crs"].to_string() == grid_of(layout).code


def grid_scale_squared(layout):
    """Return square metres of the grid for one on the ground."""
    grid, frame = grid_of(layout), layout.field.frame
    corners = grid.places(frame.lonlat(np.array([(0.0, 0.0), (100.0, 0.0), (0.0, 100.0)])))
    across, along = corners[1] - corners[0], corners[2] - corners[0]
    return abs(across[0] * along[1] - across[1] * along[0]) / 1e4


def test_classes_are_told_in_the_file_and_cover_their_ground():
    # 60 m x 120 m: headland of 10 m at both ends, five bands of 6 m x 100 m of each crop.
    layout = paper_layout()
    content, classes = classes_bytes(layout, cells_of(layout, grid_of(layout)))
    values, _, _, _, tags = opened(content)
    assert classes == ("headland", "A (maize)", "B (beans)")
    assert [tags[f"CLASS_{i}"] for i in (1, 2, 3)] == list(classes)
    area = np.bincount(values.ravel(), minlength=4)[1:] * CELL**2
    assert area == pytest.approx([1200.0, 3000.0, 3000.0], rel=0.01)


def test_outside_the_field_there_is_no_data():
    values, _, _, profile, _ = opened(written("pond_piece")[0])
    assert profile["nodata"] == -1.0
    assert (values[:, 0, 0] == -1.0).all()


def test_the_same_layout_gives_the_same_bytes():
    layout = sample_layout("pond_piece")
    cells = cells_of(layout, grid_of(layout))
    assert rates_bytes(layout, operation_rates(layout), cells) == written("pond_piece")[0]
    assert classes_bytes(layout, cells)[0] == written("pond_piece")[1]
