"""Boundary files in every format that is read, all invented, for the tests to write."""

import json
import zipfile

import pytest
import shapefile
import shapely
from pyproj import CRS
from shapely import box

HOME = box(10.0, 52.0, 10.003, 52.001)
AWAY = box(10.01, 52.0, 10.013, 52.001)


def feature(geometry, properties=None, **members):
    shape = None if geometry is None else shapely.geometry.mapping(geometry)
    return {"type": "Feature", "geometry": shape, "properties": properties, **members}


def geojson(folder, *features, name="farm.geojson", **members):
    path = folder / name
    data = {"type": "FeatureCollection", "features": list(features), **members}
    path.write_text(json.dumps(data), encoding="utf-8")
    return path


def shp(folder, rings, name="farm", epsg=25832, text="Home", encoding="utf-8"):
    """Write a shapefile as a plain writer does, without a .cpg."""
    with shapefile.Writer(str(folder / name), shapeType=5, encoding=encoding) as writer:
        writer.field("NAME", "C", 40)
        writer.poly(rings)
        writer.record(text)
    (folder / f"{name}.cpg").unlink(missing_ok=True)
    if epsg:
        (folder / f"{name}.prj").write_text(CRS.from_epsg(epsg).to_wkt("WKT1_ESRI"))
    return folder / f"{name}.shp"


def gpkg(path, layers, epsg=4326):
    fiona = pytest.importorskip("fiona")
    for layer, rows in layers.items():
        schema = {"geometry": "Unknown", "properties": {"name": "str", "no": "float"}}
        with fiona.open(
            path, "w", driver="GPKG", layer=layer, schema=schema, crs=f"EPSG:{epsg}"
        ) as out:
            for name, number, geometry in rows:
                shape = None if geometry is None else shapely.geometry.mapping(geometry)
                out.write({"geometry": shape, "properties": {"name": name, "no": number}})
    return path


def kml(folder, body, name="farm.kml"):
    path = folder / name
    path.write_text(
        '<?xml version="1.0" encoding="UTF-8"?>'
        f'<kml xmlns="http://www.opengis.net/kml/2.2"><Document>{body}</Document></kml>',
        encoding="utf-8",
    )
    return path


def kml_polygon(polygon):
    corners = " ".join(f"{x},{y},35" for x, y in polygon.exterior.coords)
    return (
        "<Polygon><outerBoundaryIs><LinearRing><coordinates>"
        f"{corners}</coordinates></LinearRing></outerBoundaryIs></Polygon>"
    )


def ring(x, y, side, *, clockwise=True):
    corners = [[x, y], [x, y + side], [x + side, y + side], [x + side, y], [x, y]]
    return corners if clockwise else corners[::-1]


def zipped(folder, files, inside="", name="farm.zip"):
    path = folder / name
    with zipfile.ZipFile(path, "w") as archive:
        for file in files:
            archive.write(file, f"{inside}{file.name}")
    return path
