"""Invented hills for tests: terrain by a formula, and fields on it."""

from dataclasses import replace

import numpy as np
import shapely
from strategies import field_of

from geolayout.land.terrain.terrain import Terrain

LAND = shapely.box(0, 0, 240, 180)  # in its frame from -120 to 120 and -90 to 90


def heights(height, cell=4.0, size=120):
    column, row = np.meshgrid(np.arange(size), np.arange(size))
    x, y = cell * (column - size / 2), -cell * (row - size / 2)
    to_cells = np.array([[1 / cell, 0, size / 2], [0, -1 / cell, size / 2]])
    return Terrain(np.asarray(height(x, y), dtype=float), to_cells, "made_up.tif")


def on_hill(height, land=LAND):
    return replace(field_of(land), terrain=heights(height))
