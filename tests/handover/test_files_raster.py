"""Heights in the folder: the same cells at the same places when they are read again."""

import numpy as np
import pytest
from shapely import box
from strategies import field_of

from geolayout.handover.files.raster import terrain_bytes
from geolayout.land.terrain.heights import read_terrain
from geolayout.land.terrain.terrain import Terrain


@pytest.mark.parametrize("turn", [0.0, 1.7, -30.0], ids=["upright", "turned a little", "turned"])
def test_heights_come_back_cell_by_cell(tmp_path, turn):
    field = field_of(box(0, 0, 200, 100))
    angle, cell, size = np.radians(turn), 4.0, 120
    east = cell * np.array([np.cos(angle), np.sin(angle)])
    south = cell * np.array([np.sin(angle), -np.cos(angle)])
    linear = np.linalg.inv(np.stack([east, south], axis=1))
    first = -size / 2 * (east + south)
    rough = np.random.default_rng(2).normal(100, 5, (size, size))
    rough[3, 7] = np.nan
    terrain = Terrain(rough, np.column_stack([linear, -linear @ first]), "rough.tif")
    path = tmp_path / "terrain.tif"
    path.write_bytes(terrain_bytes(terrain, field.frame))
    again, found = read_terrain(path, field)
    assert found == ()
    xy = np.random.default_rng(3).uniform((-100, -50), (100, 50), (200, 2))
    assert again.height(xy) == pytest.approx(terrain.height(xy), abs=1e-6, nan_ok=True)
    assert again.gradient(xy) == pytest.approx(terrain.gradient(xy), abs=1e-7, nan_ok=True)
    assert terrain_bytes(terrain, field.frame) == path.read_bytes()  # the same bytes each time
