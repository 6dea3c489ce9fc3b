"""Heights out of raster files: units, gaps, systems; slopes against GDAL's own on open data."""

import os
import shutil
import subprocess

import numpy as np
import pytest
import shapely
from pyproj import Transformer
from shapely.geometry import box
from strategies import real_folder

from geolayout.errors import FileError
from geolayout.land.field import make_field
from geolayout.land.readers import read_boundaries
from geolayout.land.terrain.heights import read_terrain

rasterio = pytest.importorskip("rasterio")
from rasterio.transform import from_origin  # noqa: E402

UTM = "EPSG:32632"
WEST, SOUTH = 500_000.0, 5_700_000.0  # an invented place on the middle of UTM zone 32


def field_at(west=WEST, south=SOUTH, size=300.0):
    lonlat = Transformer.from_crs(UTM, "EPSG:4326", always_xy=True)
    square = box(west, south, west + size, south + size)
    drawn = shapely.transform(square, lambda xy: np.column_stack(lonlat.transform(*xy.T)))
    return make_field(drawn, name="made up")


def raster(path, heights, *, cell=5.0, west=WEST - 100, north=SOUTH + 400, crs=UTM, **profile):
    heights = np.asarray(heights)
    with rasterio.open(
        path, "w", driver="GTiff", count=1, dtype=heights.dtype, crs=crs,
        width=heights.shape[1], height=heights.shape[0],
        transform=from_origin(west, north, cell, cell), **profile,
    ) as sheet:  # fmt: skip
        sheet.write(heights, 1)
    return path


def plane(cell=5.0, size=500.0, east=0.03, south=0.04, dtype="float32"):
    """Rises 3 % to the east and 4 % to the south: 5 % in all."""
    count = round(size / cell)
    column, row = np.meshgrid(np.arange(count), np.arange(count))
    return (100 + cell * (east * column + south * row)).astype(dtype)


def kinds(findings):
    return {finding.kind for finding in findings}


def middle():
    return np.array([[0.0, 0.0], [40.0, -30.0]])


def test_a_plane_in_metres_is_read_as_it_is(tmp_path):
    field = field_at()
    terrain, found = read_terrain(raster(tmp_path / "p.tif", plane()), field, unit="m")
    assert found == ()
    assert terrain.cell == pytest.approx(5.0, rel=5e-4)  # UTM is 4 parts in 10,000 too short
    assert terrain.slope(middle()) == pytest.approx([5.0, 5.0], rel=1e-3)
    # It falls to the north-west: 3 west, 4 north of every 5.
    assert terrain.fall(middle()) == pytest.approx([323.13, 323.13], abs=0.05)


def test_a_grid_in_degrees_gives_the_same_slope(tmp_path):
    field = field_at()
    lon, lat = field.frame.lonlat(np.array([[0.0, 0.0]]))[0]
    step = 0.0001
    column, row = np.meshgrid(np.arange(100), np.arange(100))
    lons, lats = lon + (column - 49.5) * step, lat - (row - 49.5) * step
    x, y = field.frame.metres(np.column_stack([lons.ravel(), lats.ravel()])).T
    heights = (100 + 0.03 * x - 0.04 * y).reshape(100, 100)
    path = raster(
        tmp_path / "d.tif", heights, cell=step, west=lon - 50 * step, north=lat + 50 * step,
        crs="EPSG:4326",
    )  # fmt: skip
    terrain, _ = read_terrain(path, field, unit="m")
    assert terrain.cell == pytest.approx(11.1, abs=0.1)  # 0.0001 degrees of latitude
    assert terrain.slope(middle()) == pytest.approx([5.0, 5.0], abs=0.02)
    assert terrain.height(middle()) == pytest.approx(
        100 + middle() @ np.array([0.03, -0.04]), abs=0.01
    )


def test_feet_become_metres(tmp_path):
    path = raster(tmp_path / "ft.tif", plane() / np.float32(0.3048))
    terrain, found = read_terrain(path, field_at(), unit="ft")
    assert terrain.slope(middle()) == pytest.approx([5.0, 5.0], rel=1e-3)
    with rasterio.open(path, "r+") as sheet:
        sheet.units = ["ft"]
    said, found = read_terrain(path, field_at())
    assert said.slope(middle()) == pytest.approx(terrain.slope(middle()))
    assert kinds(found) == {"unit of height"}


def test_a_unit_that_nobody_states_is_asked_for(tmp_path):
    _, (found,) = read_terrain(raster(tmp_path / "p.tif", plane()), field_at())
    assert found.kind == "unit of height"
    assert "metres?" in found.question


@pytest.mark.parametrize(
    ("heights", "keys", "kind"),
    [
        pytest.param(plane(dtype="int16"), {}, "whole metres", id="whole metres"),
        pytest.param(plane(cell=25.0), {"cell": 25.0}, "coarse heights", id="cells of 25 m"),
        pytest.param(
            np.where(np.arange(100)[:, None] < 40, np.float32(-9999), plane()),
            {"nodata": -9999.0}, "heights missing", id="a gap",
        ),
        pytest.param(
            np.where(np.arange(100)[:, None] < 40, np.float32(-32768), plane()),
            {}, "odd heights", id="a gap that is not declared",
        ),
    ],
)  # fmt: skip
def test_what_makes_heights_less_than_they_look_is_told(tmp_path, heights, keys, kind):
    path = raster(tmp_path / "h.tif", heights, **keys)
    _, found = read_terrain(path, field_at(), unit="m")
    assert kind in kinds(found)


@pytest.mark.parametrize(
    ("keys", "options", "says"),
    [
        pytest.param({"crs": None}, {}, "states no coordinate system", id="no system"),
        pytest.param({"west": WEST + 90_000}, {}, "does not cover the field", id="elsewhere"),
        pytest.param({"crs": "EPSG:4326"}, {}, "does not cover", id="metres said to be degrees"),
        pytest.param({}, {"unit": "ell"}, "no unit of height", id="an unknown unit"),
        pytest.param({}, {"crs": "EPSG:0"}, "is not known here", id="an unknown system"),
    ],
)  # fmt: skip
def test_what_cannot_be_used_is_one_sentence(tmp_path, keys, options, says):
    path = raster(tmp_path / "h.tif", plane(), **keys)
    with pytest.raises(FileError, match=says) as refused:
        read_terrain(path, field_at(), **{"unit": "m", **options})
    assert "\n" not in str(refused.value)


def test_cells_as_wide_as_the_field_give_no_slope(tmp_path):
    path = raster(tmp_path / "h.tif", plane(cell=400.0, size=800), cell=400.0)
    with pytest.raises(FileError, match=r"cells of h.tif are 400\.\d m wide"):
        read_terrain(path, field_at(), unit="m")


@pytest.mark.parametrize("content", [b"", b"no raster at all", b"II*\x00\xff\xff\xff\xff"])
def test_a_file_that_is_no_raster_is_one_sentence(tmp_path, content):
    path = tmp_path / "broken.tif"
    path.write_bytes(content)
    with pytest.raises(FileError, match="cannot be read as heights"):
        read_terrain(path, field_at())


# The same slopes as GDAL's own program, on open heights.

SITES = ("vindum", "silstrup", "faardrup")


@pytest.mark.skipif(real_folder() is None, reason="no open field data beside the repository")
@pytest.mark.skipif(shutil.which("gdaldem") is None, reason="gdaldem (gdal-bin) is not installed")
@pytest.mark.parametrize("site", SITES)
def test_slope_and_aspect_are_those_of_gdaldem(tmp_path, site):
    path = real_folder() / f"dem_dk_{site}.tif"
    everything = read_boundaries(real_folder() / "dk_research_fields.gpkg")
    (drawn,) = (b for b in everything if b.name == f"dk_{site}_outline")
    field = make_field(drawn.geometry, name=site)
    terrain, _ = read_terrain(path, field, unit="m")
    known = {what: _gdaldem(what, path, tmp_path / f"{what}.tif") for what in ("slope", "aspect")}
    with rasterio.open(path) as sheet:
        back = Transformer.from_crs(sheet.crs.to_wkt(), "EPSG:4326", always_xy=True)
        rows, columns = np.nonzero(np.isfinite(known["slope"]))
        x, y = (np.array(axis) for axis in rasterio.transform.xy(sheet.transform, rows, columns))
    xy = field.frame.metres(np.column_stack(back.transform(x, y)))
    ours = terrain.gradient(xy)
    seen = np.isfinite(ours).all(axis=1)
    assert seen.mean() > 0.95  # the window we read holds nearly all cells
    slope, aspect = (known[what][rows, columns][seen] for what in ("slope", "aspect"))
    mine = 100 * np.hypot(*ours[seen].T)
    # Our metres are the frame's, GDAL's those of UTM: up to 4 parts in 10,000 apart.
    assert mine == pytest.approx(slope, rel=1e-3, abs=1e-3)
    steep = slope > 0.5
    grid_north = field.frame.frame_bearing((0.0, 0.0), 0.0)
    turn = np.degrees(np.arctan2(*-ours[seen].T)) - aspect - grid_north
    off = (turn[steep] + 180) % 360 - 180
    # A degree and more of grid convergence lies between the two norths, the same everywhere.
    assert np.abs(off - np.median(off)).max() < 0.1
    assert abs(np.median(off)) < 2.5


def _gdaldem(what, path, out):
    options = ["-p"] if what == "slope" else []
    clean = {k: v for k, v in os.environ.items() if not k.startswith(("GDAL", "PROJ"))}
    subprocess.run(
        ["gdaldem", what, *options, str(path), str(out)], check=True, capture_output=True, env=clean
    )
    with rasterio.open(out) as sheet:
        return np.ma.filled(sheet.read(1, masked=True).astype(float), np.nan)
