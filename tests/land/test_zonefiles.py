"""Maps of rate zones as people bring them: rasters in any system, polygons with a column."""

import json

import numpy as np
import pytest
import rasterio
import shapely
from rasterio.transform import Affine, from_origin
from rasterio.warp import Resampling, calculate_default_transform, reproject
from shapely import affinity

from geolayout.errors import BoundaryError, FileError
from geolayout.land.field import make_field
from geolayout.land.frames.frame import Frame
from geolayout.land.zones.polygons import read_zone_polygons
from geolayout.land.zones.raster import read_zone_raster

FIELD = make_field(
    shapely.Polygon(
        Frame(10.0, 52.0).lonlat(np.array([(-50, -30), (50, -30), (50, 30), (-50, 30)]))
    ),
    name="Paper (invented)",
)
UTM = "EPSG:32632"
EAST, NORTH = 568_450.0, 5_761_700.0  # 10 east, 52 north is some 200 m off: see the first test


def write(path, values, *, crs=UTM, transform=None, **more):
    values = np.atleast_3d(np.asarray(values, dtype="float32").T).T
    keys = {"driver": "GTiff", "dtype": "float32", "nodata": -1.0, **more}
    count, height, width = values.shape
    with rasterio.open(
        path, "w", width=width, height=height, count=count, crs=crs, transform=transform, **keys
    ) as sheet:
        sheet.write(values)
    return path


def utm_grid(path, cell=10.0, **more):
    """Write a map over the field whose cells count from 0 in the north-west corner."""
    count = round(400 / cell)
    values = np.arange(count**2, dtype=float).reshape(count, count)
    return write(path, values, transform=from_origin(EAST, NORTH, cell, cell), **more)


def test_the_grid_of_these_tests_covers_the_field(tmp_path):
    mapped = read_zone_raster(utm_grid(tmp_path / "soil.tif"), FIELD)
    assert shapely.union_all(mapped.shapes).buffer(0.01).covers(FIELD.land)
    assert mapped.cell == pytest.approx(10.0, rel=1e-3)  # the grid's scale is 0.9996 to 1.0003
    assert not mapped.findings


def test_every_cell_lies_where_the_grid_has_it(tmp_path):
    path = utm_grid(tmp_path / "soil.tif")
    mapped = read_zone_raster(path, FIELD)
    middles = FIELD.frame.lonlat(shapely.get_coordinates(shapely.centroid(mapped.shapes)))
    with rasterio.open(path) as sheet:
        x, y = rasterio.warp.transform("EPSG:4326", UTM, *middles.T)
        known = [value[0] for value in sheet.sample(zip(x, y, strict=True))]
    assert mapped.values.tolist() == known


def test_a_grid_in_degrees_and_one_in_feet_hold_the_same_values(tmp_path):
    path = utm_grid(tmp_path / "soil.tif", cell=20.0)
    here = read_zone_raster(path, FIELD)
    for crs in ("EPSG:4326", "EPSG:2264"):  # degrees; feet, of a far country and so much turned
        with rasterio.open(path) as sheet:
            transform, width, height = calculate_default_transform(
                UTM, crs, sheet.width, sheet.height, *sheet.bounds
            )
            values = np.full((height * 4, width * 4), -1.0, dtype="float32")
            finer = transform * Affine.scale(0.25)
            reproject(
                rasterio.band(sheet, 1),
                values,
                dst_transform=finer,
                dst_crs=crs,
                dst_nodata=-1.0,
                resampling=Resampling.nearest,
            )
        there = read_zone_raster(
            write(tmp_path / "there.tif", values, crs=crs, transform=finer), FIELD
        )
        tree = shapely.STRtree(there.shapes)
        for middle, value in zip(shapely.centroid(here.shapes), here.values, strict=True):
            if FIELD.land.buffer(-15).contains(middle):
                (i, *_) = tree.query(middle, predicate="within")
                assert there.values[i] == value


def test_cells_without_a_value_are_left_out(tmp_path):
    values = np.full((40, 40), 7.0)
    values[:, :20], values[0, 30] = -1.0, np.nan
    path = write(tmp_path / "soil.tif", values, transform=from_origin(EAST, NORTH, 10, 10))
    mapped = read_zone_raster(path, FIELD)
    assert set(mapped.values.tolist()) == {7.0}
    assert shapely.union_all(mapped.shapes).area < FIELD.land.area


def test_a_file_of_several_bands_is_told(tmp_path):
    path = write(
        tmp_path / "soil.tif", np.ones((3, 40, 40)), transform=from_origin(EAST, NORTH, 10, 10)
    )
    (finding,) = read_zone_raster(path, FIELD).findings
    assert finding.sentence == "soil.tif has 3 bands of values; the first was taken."


def test_a_stated_system_goes_before_what_the_file_lacks(tmp_path):
    path = utm_grid(tmp_path / "soil.tif", crs=None)
    with pytest.raises(FileError, match="states no coordinate system"):
        read_zone_raster(path, FIELD)
    assert len(read_zone_raster(path, FIELD, crs=UTM).values) > 50


@pytest.mark.parametrize(
    ("make", "match"),
    [
        pytest.param(lambda p: p, "is not there. Values are read", id="no file"),
        pytest.param(
            lambda p: p.write_text("no raster") and p, "cannot be read as values", id="text"
        ),
        pytest.param(
            lambda p: write(p, np.ones((4, 4)), transform=from_origin(EAST + 5000, NORTH, 10, 10)),
            "holds no value on the field",
            id="elsewhere",
        ),
        pytest.param(
            lambda p: write(p, -np.ones((40, 40)), transform=from_origin(EAST, NORTH, 10, 10)),
            "holds no value on the field",
            id="nothing but gaps",
        ),
        pytest.param(
            lambda p: write(
                p, np.ones((1600, 1600)), transform=from_origin(EAST + 120, NORTH - 80, 0.1, 0.1)
            ),
            "cells over the field",
            id="far too fine",
        ),
    ],
)
def test_rasters_of_no_use_are_refused_in_one_sentence(tmp_path, make, match):
    with pytest.raises(FileError, match=match):
        read_zone_raster(make(tmp_path / "soil.tif"), FIELD)


WEST = shapely.box(-60, -40, 0, 40)
EASTERN = shapely.box(0, -40, 60, 40)


def soil(folder, *shapes):
    features = [
        {
            "type": "Feature",
            "properties": {"clay": value, "note": "invented"},
            "geometry": json.loads(shapely.to_geojson(FIELD.frame.to_geographic(shape))),
        }
        for shape, value in shapes
    ]
    path = folder / "soil.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    return path


def read(path, column="clay", *, words=False):
    return read_zone_polygons(path, FIELD, column, words=words)


def test_polygons_come_with_the_numbers_of_a_column(tmp_path):
    mapped = read(soil(tmp_path, (WEST, 12.5), (EASTERN, "20,5")), "CLAY")
    assert mapped.values.tolist() == [12.5, 20.5]
    assert mapped.cell is None
    assert [round(shape.area) for shape in mapped.shapes] == [4800, 4800]  # 60 m x 80 m


def test_figures_may_be_names_of_classes(tmp_path):
    path = soil(tmp_path, (WEST, 1), (EASTERN, 2))
    assert read(path, words=True).values.tolist() == ["1", "2"]
    assert read(path).values.tolist() == [1.0, 2.0]


def test_words_among_numbers_stay_words(tmp_path):
    assert read(soil(tmp_path, (WEST, 1), (EASTERN, "peat"))).by_words


def test_polygons_without_a_value_are_left_out_and_told(tmp_path):
    mapped = read(soil(tmp_path, (WEST, 12.5), (EASTERN, None)))
    assert mapped.values.tolist() == [12.5]
    assert mapped.findings[0].sentence == "1 of 2 polygons of soil.geojson hold no value."


def test_a_polygon_that_crosses_itself_is_mended_and_told(tmp_path):
    bow = shapely.Polygon([(-40, -20), (40, 20), (40, -20), (-40, 20)])
    mapped = read(soil(tmp_path, (bow, 12.5)))
    assert mapped.shapes[0].is_valid
    assert "cross themselves" in mapped.findings[0].sentence


@pytest.mark.parametrize(
    ("shapes", "column", "kind", "match"),
    [
        pytest.param(
            [(WEST, 1)], "sand", BoundaryError, r"'sand'.*columns are: clay, note", id="no column"
        ),
        pytest.param(
            [(shapely.LineString([(0, 0), (9, 9)]), 1)],
            "clay",
            BoundaryError,
            "no polygon",
            id="lines",
        ),
        pytest.param(
            [(affinity.translate(WEST, 5000), 1)],
            "clay",
            FileError,
            "no polygon with a value on the field",
            id="elsewhere",
        ),
    ],
)
def test_polygons_of_no_use_are_refused_in_one_sentence(tmp_path, shapes, column, kind, match):
    with pytest.raises(kind, match=match):
        read(soil(tmp_path, *shapes), column)


def test_cells_finer_than_asked_for_are_put_together_by_their_mean(tmp_path):
    values = np.arange(1600.0).reshape(40, 40)
    path = write(tmp_path / "soil.tif", values, transform=from_origin(EAST, NORTH, 10, 10))
    fine, mapped = read_zone_raster(path, FIELD), read_zone_raster(path, FIELD, finest=20.0)
    assert mapped.cell == pytest.approx(20.0, rel=1e-3)
    assert mapped.findings[0].sentence == "Means of 2 x 2 cells of soil.tif were put into classes."
    whole = [k for k, cell in enumerate(mapped.shapes) if FIELD.land.contains(cell)]
    assert len(whole) >= 4
    for k in whole:
        inside = shapely.contains(mapped.shapes[k], shapely.centroid(fine.shapes))
        assert inside.sum() == 4
        assert mapped.values[k] == pytest.approx(fine.values[inside].mean())


def test_a_square_with_fewer_than_half_its_cells_has_no_value(tmp_path):
    values = np.full((40, 40), 4.0)
    values[::2, :], values[:, ::2] = -1.0, -1.0  # one cell of four is left
    path = write(tmp_path / "soil.tif", values, transform=from_origin(EAST, NORTH, 10, 10))
    assert len(read_zone_raster(path, FIELD).values) > 0
    with pytest.raises(FileError, match="no value"):
        read_zone_raster(path, FIELD, finest=20.0)
