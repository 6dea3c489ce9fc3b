"""
How the data files of seven sample fields were made, each in a format of its own.

Every corner is invented, in metres east and north of an invented middle. Run

    python tests/sample_maker.py sample_fields

to make the files again. Positions stand for no real land.
"""

import csv
import json
import sys
import tempfile
import zipfile
from collections.abc import Sequence
from pathlib import Path

import fiona
import numpy as np
import rasterio
import shapely
from numpy.typing import NDArray
from pyproj import Transformer
from rasterio.transform import from_origin
from shapely.geometry import mapping

from geolayout.land.frames.frame import Frame

NOTE = "invented: stands for no real land"
DAY = (2027, 1, 1, 0, 0, 0)  # in every zip, so that a file made again is the same

Corners = Sequence[tuple[float, float]] | NDArray[np.float64]

# The middles, longitude and latitude.
WINDY_BANK = (15.7012, 46.6034)
BORE_PADDOCK = (148.2104, -33.1208)
POPLAR_GROUND = (10.1204, 45.2302)
MILL_FARM = (4.7021, 47.3013)
MARKET_PLOTS = (34.7012, 0.0002)
RIDGE_ROAD = (-78.3021, 35.4017)
SLOUGH_QUARTER = (-106.4022, 51.9031)


def lonlat(middle: tuple[float, float], corners: Corners) -> list[list[float]]:
    """Turn metres about a middle into degrees of seven decimals, which is a centimetre."""
    return np.round(Frame(*middle).lonlat(np.asarray(corners, float)), 7).tolist()


def projected(middle: tuple[float, float], corners: Corners, crs: str) -> NDArray[np.float64]:
    """Turn metres about a middle into another coordinate system, rounded to a centimetre."""
    degrees = Frame(*middle).lonlat(np.asarray(corners, float))
    turn = Transformer.from_crs("EPSG:4326", crs, always_xy=True)
    return np.round(np.column_stack(turn.transform(*degrees.T)), 2)


def closed(corners: Corners) -> Corners:
    """Return a ring that ends where it began."""
    return [*map(tuple, corners), tuple(corners[0])]


def bowed(start: tuple[float, float], end: tuple[float, float], bow: float) -> Corners:
    """Return points from a start up to an end, the middle moved left by the bow [m]."""
    share = np.linspace(0.0, 1.0, 6)[:-1, np.newaxis]
    a, b = np.array(start), np.array(end)
    left = np.array([a[1] - b[1], b[0] - a[0]]) / np.linalg.norm(b - a)
    return [*map(tuple, np.round(a + share * (b - a) + 4 * bow * share * (1 - share) * left, 2))]


def ellipse(middle: tuple[float, float], half_axes: tuple[float, float], count: int) -> Corners:
    """Return an oval, such as a pond has."""
    turn = np.linspace(0.0, 2 * np.pi, count, endpoint=False)
    return np.column_stack([np.cos(turn), np.sin(turn)]) * half_axes + middle


def zipped(path: Path, members: dict[str, bytes]) -> None:
    """Write a zip with a fixed date."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in members.items():
            archive.writestr(zipfile.ZipInfo(name, DAY), content, zipfile.ZIP_DEFLATED)


# What stands in and beside the fields: one GeoJSON a field, the kind in every feature.

SHAPES = {"Point": lambda xy: xy[0], "LineString": lambda xy: xy, "Polygon": lambda xy: [xy]}


def write_features(
    folder: Path,
    name: str,
    middle: tuple[float, float],
    things: Sequence[tuple[str, str, str, Corners]],
) -> None:
    """Write the things of one field, each with its kind and name."""
    lines = []
    for kind, label, shape, corners in things:
        places = lonlat(middle, corners)
        feature = {
            "type": "Feature",
            "properties": {"kind": kind, "name": label, "note": NOTE},
            "geometry": {"type": shape, "coordinates": SHAPES[shape](places)},
        }
        lines.append("    " + json.dumps(feature))
    text = ",\n".join(lines)
    (folder / f"{name}_features.geojson").write_text(
        f'{{\n  "type": "FeatureCollection",\n  "features": [\n{text}\n  ]\n}}\n', encoding="utf-8"
    )


# Windy Bank: a hillside walked with a phone, and its heights.

BANK_GRID = "EPSG:32633"
ACROSS_THE_SLOPE = 99.5  # degrees from north: the way the rows run, nearly level


def on_the_slope(corners: Corners) -> NDArray[np.float64]:
    """Turn (metres along the rows, metres up the slope) into metres east and north."""
    angle = np.radians(ACROSS_THE_SLOPE)
    along = np.array([np.sin(angle), np.cos(angle)])
    uphill = np.array([-along[1], along[0]])
    return np.asarray(corners, float) @ np.array([along, uphill])


def bank_height(along: NDArray[np.float64], uphill: NDArray[np.float64]) -> NDArray[np.float64]:
    """
    Return the height of Windy Bank. [m]

    The bank rises by 9 % and is rounded at the top. A hollow runs down it, 1.5 m deep below and
    vanishing above, along the line that the grassed waterway follows.
    """
    bank = 431.0 + 0.09 * uphill - 1.6e-4 * uphill**2
    depth = 0.8 - 0.7 * np.tanh(uphill / 60.0)
    return bank - depth * np.exp(-(((along - hollow(uphill)) / 20.0) ** 2))


def hollow(uphill: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how far along the rows the hollow lies, at a height up the slope. [m]"""
    return 25.0 + 0.12 * uphill + 4.0 * np.sin(uphill / 35.0)


def windy_bank_dem(folder: Path) -> None:
    """Write 80 x 60 heights of 5 m, in EPSG:32633."""
    heights = np.round(bank_height(*bank_cells(5.0)), 2)
    bank_raster(folder / "windy_bank_dem.tif", heights, "height [m], invented")


def windy_bank_conductivity(folder: Path) -> None:
    """
    Write 40 x 30 soil conductivities of 10 m, in EPSG:32633. [mS/m]

    Heavier soil lies at the foot of the bank and in the hollow; the sensor is unsteady by a tenth,
    and missed two cells.
    """
    along, uphill = bank_cells(10.0)
    heavy = 24.0 - 0.11 * uphill + 9.0 * np.exp(-(((along - hollow(uphill)) / 28.0) ** 2))
    unsteady = np.random.default_rng(17).normal(0.0, 0.1, heavy.shape)
    values = np.round(heavy * (1.0 + unsteady), 1)
    values[14, 11:13] = -9999.0
    bank_raster(folder / "windy_bank_conductivity.tif", values, "conductivity [mS/m], invented")


def bank_corner() -> tuple[float, float]:
    """Return the north-west corner of the rasters of Windy Bank, in EPSG:32633. [m]"""
    (east, north) = projected(WINDY_BANK, [(0.0, 0.0)], BANK_GRID)[0]
    left, top = np.round((east - 200.0, north + 150.0)) // 5 * 5
    return float(left), float(top)


def bank_cells(cell: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return how far along the rows and up the slope the cells of a raster lie, by row. [m]"""
    left, top = bank_corner()
    columns, rows = round(400.0 / cell), round(300.0 / cell)
    x = left + cell * (np.arange(columns) + 0.5)
    y = top - cell * (np.arange(rows) + 0.5)
    grid = np.column_stack([axis.ravel() for axis in np.meshgrid(x, y)])
    degrees = Transformer.from_crs(BANK_GRID, "EPSG:4326", always_xy=True).transform(*grid.T)
    metres = Frame(*WINDY_BANK).metres(np.column_stack(degrees))
    along, uphill = (metres @ np.linalg.inv(on_the_slope(np.eye(2)))).T
    return along.reshape(rows, columns), uphill.reshape(rows, columns)


def bank_raster(path: Path, values: NDArray[np.float64], what: str) -> None:
    """Write a raster over Windy Bank, its cells so wide that they cover it."""
    rows, columns = values.shape
    left, top = bank_corner()
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        width=columns,
        height=rows,
        count=1,
        dtype="float32",
        crs=BANK_GRID,
        transform=from_origin(left, top, 400.0 / columns, 300.0 / rows),
        compress="deflate",
        predictor=3,
        nodata=-9999.0,
    ) as raster:
        raster.write(values.astype("float32"), 1)
        raster.set_band_description(1, what)


BANK_CORNERS = [
    *bowed((-165.0, -78.0), (158.0, -70.0), -5.0),
    (158.0, -70.0),
    (171.0, 8.0),
    *bowed((150.0, 74.0), (-142.0, 82.0), -4.0),
    (-142.0, 82.0),
]


def walked(corners: Corners) -> NDArray[np.float64]:
    """Return a walk along a ring: a place every 7 m, less sure than a metre, not quite closed."""
    ring = shapely.LineString(closed(corners))
    stops = np.linspace(0.0, ring.length - 4.0, 130)
    sway = np.random.default_rng(2027).normal(scale=0.35, size=(len(stops), 2))
    return shapely.get_coordinates(shapely.line_interpolate_point(ring, stops)) + sway


def windy_bank(folder: Path) -> None:
    """Write a GPX track with heights, and what is on the bank."""
    walk = walked(BANK_CORNERS)
    heights = bank_height(*walk.T)
    points = [
        f'      <trkpt lat="{lat:.7f}" lon="{lon:.7f}"><ele>{height:.1f}</ele></trkpt>'
        for (lon, lat), height in zip(lonlat(WINDY_BANK, on_the_slope(walk)), heights, strict=True)
    ]
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<gpx version="1.1" creator="invented" xmlns="http://www.topografix.com/GPX/1/1">',
        f"  <metadata><desc>{NOTE}</desc></metadata>",
        "  <trk>",
        "    <name>Windy Bank</name>",
        "    <trkseg>",
        *points,
        "    </trkseg>",
        "  </trk>",
        "</gpx>",
        "",
    ]
    (folder / "windy_bank.gpx").write_text("\n".join(lines), encoding="utf-8")
    uphill = np.linspace(84.0, -76.0, 17)
    waterway = np.column_stack([hollow(uphill), uphill])
    things = [
        ("grassed waterway", "the hollow", "LineString", on_the_slope(waterway)),
        ("tree", "pear tree", "Point", on_the_slope([(-70.0, 22.0)])),
    ]
    write_features(folder, "windy_bank", WINDY_BANK, things)
    windy_bank_dem(folder)
    windy_bank_conductivity(folder)


# Bore Paddock: a surveyor's list of corners, in metres.

PADDOCK_CORNERS = [
    (-215.0, -150.0), (190.0, -165.0), (222.0, -40.0), (205.0, 152.0),
    (20.0, 168.0), (-120.0, 150.0), (-228.0, 60.0),
]  # fmt: skip

PADDOCK_MARKS = [
    "strainer post", "strainer post", "bend, steel peg", "strainer post",
    "steel peg", "steel peg, by the big tree", "strainer post",
]  # fmt: skip


def bore_paddock(folder: Path) -> None:
    """Write corners as a surveyor does: number, easting, northing, what stands there."""
    corners = projected(BORE_PADDOCK, PADDOCK_CORNERS, "EPSG:7855")
    with (folder / "bore_paddock.csv").open("w", encoding="utf-8", newline="") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(["point", "easting", "northing", "mark"])
        for number, ((east, north), mark) in enumerate(
            zip(corners, PADDOCK_MARKS, strict=True), start=1
        ):
            table.writerow([number, f"{east:.2f}", f"{north:.2f}", mark])
    things = [
        ("well", "the bore", "Point", [(-150.0, 84.0)]),
        ("other", "trough", "Point", [(-137.0, 88.0)]),
        ("tree", "shade trees", "Point", [(34.0, -36.0)]),
        ("tree", "shade trees", "Point", [(52.0, -20.0)]),
        ("tree", "shade trees", "Point", [(122.0, 96.0)]),
    ]
    write_features(folder, "bore_paddock", BORE_PADDOCK, things)


# Poplar Ground: a partfield of ISO 11783-10, as a terminal keeps it.

POPLAR_CORNERS = [
    (-150.0, -190.0), (120.0, -205.0), (135.0, -60.0), (172.0, -55.0),
    (180.0, 190.0), (-120.0, 205.0), (-133.0, 20.0),
]  # fmt: skip
CLUMP = [(58.0, 70.0), (84.0, 66.0), (92.0, 88.0), (76.0, 104.0), (56.0, 96.0)]


def line_string(kind: int, corners: Corners) -> list[str]:
    """Return a ring as line string: 1 is the outer one, 2 an inner one; C is north, D east."""
    points = [
        f'        <PNT A="2" C="{lat:.7f}" D="{lon:.7f}"/>'
        for lon, lat in lonlat(POPLAR_GROUND, closed(corners))
    ]
    return [f'      <LSG A="{kind}">', *points, "      </LSG>"]


def poplar_ground(folder: Path) -> None:
    """Write a zip with TASKDATA/TASKDATA.XML: one farm, one field with a hole."""
    area = shapely.Polygon(POPLAR_CORNERS, [CLUMP]).area
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<ISO11783_TaskData VersionMajor="4" VersionMinor="3" DataTransferOrigin="1"',
        '  ManagementSoftwareManufacturer="invented" ManagementSoftwareVersion="1">',
        '  <CTR A="CTR1" B="The grower (invented)"/>',
        '  <FRM A="FRM1" B="Poplar Farm (invented)" I="CTR1"/>',
        f'  <PFD A="PFD1" C="Poplar Ground" D="{area:.0f}" E="CTR1" F="FRM1">',
        '    <PLN A="1" B="Poplar Ground">',
        *line_string(1, POPLAR_CORNERS),
        *line_string(2, CLUMP),
        "    </PLN>",
        "  </PFD>",
        "</ISO11783_TaskData>",
        "",
    ]
    zipped(
        folder / "poplar_ground.zip", {"TASKDATA/TASKDATA.XML": "\n".join(lines).encode("utf-8")}
    )
    things = [
        ("buried pipe", "gas main", "LineString", [(-141.0, -100.0), (10.0, 6.0), (177.0, 60.0)]),
        (
            "right of way",
            "footpath",
            "LineString",
            [(-60.0, -195.0), (-48.0, 30.0), (-24.0, 200.0)],
        ),
        ("drain", "tile drains", "LineString", [(-105.0, -192.0), (-76.0, 202.0)]),
        ("drain", "tile drains", "LineString", [(40.0, -200.0), (28.0, 60.0), (30.0, 197.0)]),
        ("drain", "tile drains", "LineString", [(90.0, -203.0), (112.0, 193.0)]),
        ("ditch", "east ditch", "LineString", [(137.6, -60.4), (174.0, -55.5), (182.2, 190.0)]),
    ]
    write_features(folder, "poplar_ground", POPLAR_GROUND, things)


# Mill Farm: three fields in one FlatGeobuf, in metres.

MILL_FIELDS = {
    "hive-ground": ("Hive Ground", [
        *bowed((-330.0, -140.0), (-40.0, -170.0), 8.0), (-40.0, -170.0), (-10.0, 95.0),
        (-160.0, 130.0), (-305.0, 118.0),
    ]),
    "church-close": ("Church Close", [
        (20.0, -170.0), (255.0, -150.0), (292.0, -20.0), (215.0, 60.0), (60.0, 88.0),
    ]),
    "mill-piece": ("Mill Piece", [
        (60.0, 105.0), (218.0, 76.0), (300.0, 150.0), (180.0, 210.0), (80.0, 190.0),
    ]),
}  # fmt: skip


def mill_farm(folder: Path) -> None:
    """Write three fields of one farm in EPSG:2154, to be chosen by their id."""
    records = [
        {
            "type": "Feature",
            "properties": {"id": key, "name": name, "note": NOTE},
            "geometry": mapping(shapely.Polygon(projected(MILL_FARM, corners, "EPSG:2154"))),
        }
        for key, (name, corners) in MILL_FIELDS.items()
    ]
    schema = {"geometry": "Polygon", "properties": {"id": "str", "name": "str", "note": "str"}}
    (folder / "mill_farm.fgb").unlink(missing_ok=True)
    with fiona.open(
        folder / "mill_farm.fgb", "w", driver="FlatGeobuf", crs="EPSG:2154", schema=schema
    ) as layer:
        layer.writerecords(records)
    hives = [
        ("hedge", "east hedge", "LineString", [(-38.0, -172.0), (-8.0, 96.0)]),
        ("other", "hives", "Point", [(4.0, -30.0)]),
        ("ditch", "south ditch", "LineString", [(-330.0, -144.5), *bowed(
            (-332.0, -144.5), (-40.0, -174.5), 8.0)[1:], (-40.0, -174.5)]),
    ]  # fmt: skip
    close = [
        (
            "right of way",
            "church path",
            "LineString",
            [(66.0, 86.5), (140.0, -30.0), (236.0, -151.5)],
        ),
        ("tree", "lime tree", "Point", [(190.0, -20.0)]),
        ("wall", "churchyard wall", "LineString", [(60.0, 88.6), (215.0, 60.6)]),
    ]
    write_features(folder, "hive_ground", MILL_FARM, hives)
    write_features(folder, "church_close", MILL_FARM, close)


# Market Plots: a GeoJSON sequence of three small plots; the equator runs through the second.

PLOTS = {
    "plot-1": [(-98.0, -52.0), (-36.0, -56.0), (-33.0, 41.0), (-95.0, 46.0)],
    "plot-2": [(-32.0, -56.0), (33.0, -61.0), (39.0, 34.0), (-29.0, 41.0)],
    "plot-3": [(37.0, -61.0), (92.0, -64.0), (99.0, 28.0), (43.0, 34.0)],
}


def market_plots(folder: Path) -> None:
    """Write one feature a line."""
    lines = [
        json.dumps(
            {
                "type": "Feature",
                "id": key,
                "properties": {"id": key, "name": key.replace("-", " ").capitalize(), "note": NOTE},
                "geometry": {
                    "type": "Polygon",
                    "coordinates": [lonlat(MARKET_PLOTS, closed(corners))],
                },
            }
        )
        for key, corners in PLOTS.items()
    ]
    (folder / "market_plots.geojsonl").write_text("\n".join(lines) + "\n", encoding="utf-8")
    things = [
        ("ditch", "terrace ditch", "LineString", [(-32.0, -55.4), (33.0, -60.4)]),
        ("other", "manure heap", "Point", [(-22.0, 33.0)]),
        ("right of way", "path to the market", "LineString", [(36.0, -60.5), (41.5, 33.5)]),
    ]
    write_features(folder, "market_plots", MARKET_PLOTS, things)


# Ridge Road: a shapefile in US survey feet, zipped in a folder, in capitals.

RIDGE_FEET = [(-700, -430), (690, -455), (705, 120), (420, 140), (430, 470), (-690, 450)]
FOOT = 1200 / 3937  # the US survey foot [m]


def feet(corners: Sequence[tuple[float, float]]) -> Corners:
    """Turn feet about the middle into metres."""
    return np.asarray(corners, float) * FOOT


def ridge_road(folder: Path) -> None:
    """Write RIDGE_ROAD/RIDGE_ROAD.SHP and its parts in EPSG:2264 into one zip."""
    ring = closed(projected(RIDGE_ROAD, feet(RIDGE_FEET), "EPSG:2264"))
    schema = {"geometry": "Polygon", "properties": {"NAME": "str:40", "NOTE": "str:60"}}
    with tempfile.TemporaryDirectory() as scratch:
        path = Path(scratch) / "ridge_road.shp"
        with fiona.open(
            path, "w", driver="ESRI Shapefile", crs="EPSG:2264", schema=schema,
            DBF_DATE_LAST_UPDATE="2027-01-01", ENCODING="UTF-8",
        ) as layer:  # fmt: skip
            record = {"NAME": "Ridge Road", "NOTE": NOTE}
            shape = mapping(shapely.Polygon(ring))
            layer.write({"type": "Feature", "properties": record, "geometry": shape})
        zipped(
            folder / "ridge_road.zip",
            {f"RIDGE_ROAD/{part.name.upper()}": part.read_bytes() for part in sorted(
                path.parent.iterdir())},
        )  # fmt: skip
    poles = [(-560.0, -238.0), (-230.0, -244.0), (100.0, -250.0), (430.0, -256.0)]
    things = [
        ("overhead line", "power line", "LineString", feet([(-720, -235), *poles, (720, -261)])),
        *[("pole", "poles", "Point", feet([pole])) for pole in poles],
        ("stay wire", "stay wire", "LineString", feet([(-560, -238), (-560, -200)])),
        ("fill point", "fill point", "Point", feet([(660, -60)])),
        ("well", "house well", "Point", feet([(520, 190)])),
    ]
    write_features(folder, "ridge_road", RIDGE_ROAD, things)


# Slough Quarter: a KMZ, its slough cut out of it.

SLOUGH_CORNERS = [
    (-245.0, -240.0), (246.0, -243.0), (248.0, 190.0), (196.0, 241.0), (-243.0, 244.0),
]  # fmt: skip
SLOUGH = ellipse((70.0, 60.0), (46.0, 31.0), 20)


def kml_ring(corners: Corners) -> str:
    """Return a ring as KML has it, with the height that KML always has."""
    places = " ".join(f"{lon},{lat},0" for lon, lat in lonlat(SLOUGH_QUARTER, closed(corners)))
    return f"<LinearRing><coordinates>{places}</coordinates></LinearRing>"


def slough_quarter(folder: Path) -> None:
    """Write a KMZ of one polygon with a hole."""
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<kml xmlns="http://www.opengis.net/kml/2.2">',
        "  <Document>",
        "    <name>Slough Quarter</name>",
        "    <Placemark>",
        "      <name>Slough Quarter</name>",
        f"      <description>{NOTE}</description>",
        "      <Polygon>",
        f"        <outerBoundaryIs>{kml_ring(SLOUGH_CORNERS)}</outerBoundaryIs>",
        f"        <innerBoundaryIs>{kml_ring(SLOUGH)}</innerBoundaryIs>",
        "      </Polygon>",
        "    </Placemark>",
        "  </Document>",
        "</kml>",
        "",
    ]
    zipped(folder / "slough_quarter.kmz", {"doc.kml": "\n".join(lines).encode("utf-8")})
    things = [
        ("pond", "the dugout", "Polygon", closed(ellipse((-150.0, -120.0), (17.0, 11.0), 14))),
        ("rock", "stone pile", "Polygon", closed(
            [(-40.0, 150.0), (-31.0, 148.0), (-28.0, 157.0), (-37.0, 160.0)])),
        ("woodland", "shelterbelt", "Polygon", closed(
            [(-243.0, 236.0), (197.0, 233.0), (196.0, 241.0), (-243.0, 244.0)])),
    ]  # fmt: skip
    write_features(folder, "slough_quarter", SLOUGH_QUARTER, things)


MAKERS = (
    windy_bank, bore_paddock, poplar_ground, mill_farm, market_plots, ridge_road, slough_quarter,
)  # fmt: skip


if __name__ == "__main__":
    for make in MAKERS:
        make(Path(sys.argv[1]))
