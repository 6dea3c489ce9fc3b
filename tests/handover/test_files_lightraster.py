"""Light as cells and as a raster: on the field and nowhere else, and the same when read again."""

import numpy as np
import pytest
import shapely
from rasterio.io import MemoryFile
from rio_cogeo.cogeo import cog_validate
from sample_layouts import paper_layout, rectangle

from geolayout.appraisal.light.area import LightMap
from geolayout.errors import FileError, PlanError
from geolayout.handover.files.lightraster import light_cells, light_raster, write_light_raster
from geolayout.land.frames.mapgrid import map_grid

GRID = map_grid("EPSG:32632")


@pytest.fixture(scope="module")
def layout():
    return paper_layout()  # 60 m by 120 m, upright in its frame


def told_on(cells):
    """Light that falls to the east. Invented."""
    x = cells.xy[:, 0]
    light = 0.5 + 0.4 * (x - x.min()) / np.ptp(x)
    nowhere = np.full(len(x), -1)
    return LightMap(20.0, (4, 7), 7, 12.5, False, light - 0.1, light + 0.05, light, nowhere)


def test_cells_have_their_middles_on_the_field(layout):
    cells = light_cells(layout, GRID)
    assert cells.grid.cell == 2.0
    assert len(cells.xy) == cells.inside.sum()
    assert shapely.contains_xy(layout.field.land, *cells.xy.T).all()
    # 0.72 ha are 1,800 cells of 4 m2; the edge may take or leave half a cell along its 360 m
    assert len(cells.xy) == pytest.approx(1800, abs=90)


def test_neighbours_are_a_cell_apart_in_the_frame(layout):
    cells = light_cells(layout, GRID, 5.0)
    # times the grid's scale, within 1 part in 1000
    step = np.hypot(*(cells.xy[1] - cells.xy[0]))
    assert step == pytest.approx(5.0, rel=1e-3)
    corners = cells.corners(layout)
    middles = (corners[:-1, :-1] + corners[1:, 1:]) / 2.0
    assert middles[cells.inside] == pytest.approx(cells.xy, abs=1e-3)


def test_a_large_field_has_larger_cells():
    # 1.5 km by 1 km are 150 ha: 375,000 cells of 2 m, 93,750 of 4 m
    wide = paper_layout(field=rectangle(1500.0, 1000.0))
    assert light_cells(wide, GRID).grid.cell == 4.0


@pytest.mark.parametrize(
    ("cell", "match"),
    [
        pytest.param(0.05, r"2,880,000.*0.1 m or more", id="too many"),
        pytest.param(500.0, "larger than the field", id="too large"),
    ],
)
def test_cells_that_make_no_map_are_refused(layout, cell, match):
    with pytest.raises(PlanError, match=match) as refused:
        light_cells(layout, GRID, cell)
    assert refused.value.remedy


def test_the_raster_says_what_and_where(layout, tmp_path):
    cells = light_cells(layout, GRID)
    told = told_on(cells)
    path = tmp_path / "light.tif"
    write_light_raster(told, cells, path)
    assert cog_validate(path) == (True, [], [])
    assert light_raster(told, cells) == path.read_bytes()
    with MemoryFile(path.read_bytes()) as memory, memory.open() as sheet:
        bands, tags, profile = sheet.read(), sheet.tags(), sheet.profile
        assert sheet.descriptions == ("share of open light", "of the sun's", "of the sky's")
        west, north = sheet.transform * (0, 0)
    assert (profile["nodata"], profile["crs"].to_string()) == (-1.0, "EPSG:32632")
    assert (bands[:, ~cells.inside] == -1.0).all()
    assert bands[0][cells.inside] == pytest.approx(told.light, abs=1e-6)
    assert bands[1][cells.inside] == pytest.approx(told.direct, abs=1e-6)
    assert bands[2][cells.inside] == pytest.approx(told.diffuse, abs=1e-6)
    assert (tags["YEARS_AFTER_PLANTING"], tags["HEIGHT_M"], tags["TREES"]) == ("20", "12.50", "7")
    # a cell's middle on the grid is the place that was looked at
    row, column = np.argwhere(cells.inside)[17]
    middle = np.array([[west + 2.0 * (column + 0.5), north - 2.0 * (row + 0.5)]])
    there = layout.field.frame.metres(GRID.lonlat(middle))
    assert there[0] == pytest.approx(cells.xy[17], abs=1e-6)


def test_a_raster_of_no_known_kind_is_refused(layout, tmp_path):
    cells = light_cells(layout, GRID)
    with pytest.raises(FileError, match="GeoTIFF"):
        write_light_raster(told_on(cells), cells, tmp_path / "light.asc")
    assert list(tmp_path.iterdir()) == []
