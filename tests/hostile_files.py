"""Files that are broken or meant to harm, and sound ones to break; all invented."""

import json
import math
import sqlite3
import stat
import struct
import tempfile
import zipfile
from collections.abc import Callable
from contextlib import closing
from io import BytesIO
from pathlib import Path

import fiona
import geopandas as gpd
from boundary_files import HOME, feature, geojson, gpkg, kml, kml_polygon, ring, shp

RING = "[[10,52],[10.003,52],[10.003,52.001],[10,52.001],[10,52]]"
SQUARE = '{"type":"Polygon","coordinates":[' + RING + "]}"
NEST = 100_000
TRACK = '<gpx version="1.1"><trk><trkseg>{}</trkseg></trk></gpx>'
TASK = '<ISO11783_TaskData VersionMajor="4">{}</ISO11783_TaskData>'
FIELD = '<PFD A="PFD1" C="Home" D="22920"><PLN A="1"><LSG A="1">{}</LSG></PLN></PFD>'
CORNERS = ((52, 10), (52, 10.003), (52.001, 10.003), (52.001, 10))
KML = '<kml xmlns="http://www.opengis.net/kml/2.2"><Document>{}</Document></kml>'
MARK = "<Placemark><Polygon><outerBoundaryIs><LinearRing><coordinates>{}</coordinates>"
MARK += "</LinearRing></outerBoundaryIs></Polygon></Placemark>"
LAUGHS = (
    '<!DOCTYPE x [<!ENTITY a0 "ha">'
    + "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 10))
    + "]>"
)
OUTSIDE = '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>'


# Sound files


def _bytes_of(write: Callable[[Path], Path]) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        return write(Path(folder)).read_bytes()


def shapefile_parts() -> dict[str, bytes]:
    """Write a shapefile of two rings, part by part."""
    with tempfile.TemporaryDirectory() as folder:
        shp(Path(folder), [ring(500_000, 5_700_000, 100), ring(500_010, 5_700_010, 10)])
        return {file.suffix: file.read_bytes() for file in Path(folder).iterdir()}


def _flatgeobuf(folder: Path) -> Path:
    schema = {"geometry": "Polygon", "properties": {"name": "str"}}
    path = folder / "farm.fgb"
    with fiona.open(path, "w", driver="FlatGeobuf", schema=schema, crs="EPSG:4326") as out:
        shape = json.loads(SQUARE)
        out.write({"geometry": shape, "properties": {"name": "Home"}})
    return path


def _parquet(folder: Path) -> Path:
    path = folder / "farm.parquet"
    frame = gpd.GeoDataFrame({"name": ["Home"]}, geometry=[HOME], crs="EPSG:4326")
    frame.to_parquet(path)
    return path


def points(tag: str = "trkpt") -> str:
    """Write the corners of the square as points of GPX."""
    return "".join(f'<{tag} lat="{lat}" lon="{lon}"/>' for lat, lon in (*CORNERS, CORNERS[0]))


def taskdata() -> bytes:
    """Write a field of ISO 11783-10."""
    corners = "".join(f'<PNT A="2" C="{lat}" D="{lon}"/>' for lat, lon in CORNERS)
    return TASK.format(FIELD.format(corners)).encode()


def gml() -> bytes:
    """Write a field as GML."""
    corners = " ".join(f"{lat} {lon}" for lat, lon in (*CORNERS, CORNERS[0]))
    return (
        '<ogr:FeatureCollection xmlns:ogr="http://ogr.maptools.org/"'
        ' xmlns:gml="http://www.opengis.net/gml/3.2" gml:id="c"><ogr:featureMember>'
        '<ogr:farm gml:id="f"><ogr:shape><gml:Polygon gml:id="g"'
        ' srsName="urn:ogc:def:crs:EPSG::4326"><gml:exterior><gml:LinearRing><gml:posList>'
        f"{corners}</gml:posList></gml:LinearRing></gml:exterior></gml:Polygon></ogr:shape>"
        "</ogr:farm></ogr:featureMember></ogr:FeatureCollection>"
    ).encode()


DXF = (
    b"0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\nfield\n90\n4\n70\n1\n10\n0.0\n2"
    b"0\n0.0\n10\n100.0\n20\n0.0\n10\n100.0\n20\n50.0\n10\n0.0\n20\n50.0\n0\nENDS"
    b"EC\n0\nEOF\n"
)


def packed(members: dict[str, bytes], way: int = zipfile.ZIP_DEFLATED) -> bytes:
    """Pack files into a zip."""
    out = BytesIO()
    with zipfile.ZipFile(out, "w", way) as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return out.getvalue()


def sound_files() -> dict[str, bytes]:
    """Write the same field in every format that is one file."""
    mark = f"<Placemark><name>Home</name>{kml_polygon(HOME)}</Placemark>"
    layers = {"fields": [("Home", 1.0, HOME)]}
    collection = _bytes_of(lambda folder: geojson(folder, feature(HOME, {"name": "Home"}, id=7)))
    place = _bytes_of(lambda folder: kml(folder, mark))
    return {
        ".geojson": collection,
        ".geojsonl": b"\x1e" + json.dumps(feature(HOME, {"name": "Home"})).encode() + b"\n",
        ".csv": b"field;longitude;latitude\n"
        + b"".join(b"Home;%s;%s\n" % (b"%g" % lon, b"%g" % lat) for lat, lon in CORNERS),
        ".xml": taskdata(),
        ".parquet": _bytes_of(_parquet),
        ".gpkg": _bytes_of(lambda folder: gpkg(folder / "farm.gpkg", layers)),
        ".kml": place,
        ".gml": gml(),
        ".fgb": _bytes_of(_flatgeobuf),
        ".dxf": DXF,
        ".gpx": TRACK.format(points()).encode(),
        ".kmz": packed({"doc.kml": place}),
        ".zip": packed({f"f/farm{end}": part for end, part in shapefile_parts().items()}),
    }


# GeoJSON


def _coordinates(text: str) -> str:
    return '{"type":"Polygon","coordinates":[[' + text + "]]}"


GEOJSON = {
    "nothing": "",
    "blanks alone": " \n\t ",
    "a byte order mark alone": "\ufeff",
    "half a text": SQUARE[:40],
    "a text and a half": SQUARE + SQUARE[:40],
    "a number": "7",
    "a word": '"Polygon"',
    "an empty list": "[]",
    "an empty object": "{}",
    "null": "null",
    "a Topology": '{"type":"Topology","objects":{}}',
    "a type that is a list": '{"type":["Polygon"],"coordinates":[]}',
    "a collection without features": '{"type":"FeatureCollection"}',
    "features that are an object": '{"type":"FeatureCollection","features":{"a":1}}',
    "features that are numbers": '{"type":"FeatureCollection","features":[1,2]}',
    "features that are null": '{"type":"FeatureCollection","features":[null]}',
    "a collection of none": '{"type":"FeatureCollection","features":[]}',
    "a feature without geometry": '{"type":"Feature","properties":{}}',
    "a geometry that is null": '{"type":"Feature","geometry":null,"properties":null}',
    "a geometry that is a word": '{"type":"Feature","geometry":"Polygon","properties":{}}',
    "properties that are a list": '{"type":"Feature","geometry":null,"properties":[1]}',
    "a polygon without coordinates": '{"type":"Polygon"}',
    "a polygon of no ring": '{"type":"Polygon","coordinates":[]}',
    "a polygon of an empty ring": '{"type":"Polygon","coordinates":[[]]}',
    "a ring of one corner": _coordinates("[10,52]"),
    "a ring of two corners": _coordinates("[10,52],[10,52.1]"),
    "corners of one number": _coordinates("[10],[10],[10],[10]"),
    "corners that are empty": _coordinates("[],[],[],[]"),
    "corners of words": _coordinates('["10","52"],["a","b"],["c","d"],["10","52"]'),
    "corners that are null": _coordinates("null,null,null,null"),
    "corners that are true": _coordinates("[true,false],[true,true],[false,true],[true,false]"),
    "corners within corners": _coordinates("[[10,52]],[[10,53]],[[11,53]],[[10,52]]"),
    "a corner and a number": _coordinates("[10,52],52,[11,53],[10,52]"),
    "a corner that is no number": _coordinates("[NaN,52],[10,53],[11,53],[NaN,52]"),
    "a corner without end": _coordinates("[Infinity,52],[10,53],[11,53],[10,52]"),
    "a number beyond all": _coordinates("[1e999,52],[10,53],[11,53],[10,52]"),
    "a whole number beyond all": _coordinates(f"[1{'0' * 400},52],[10,53],[11,53],[10,52]"),
    "a number of very many digits": _coordinates(f"[{'9' * 100_000},52],[10,53],[11,53],[10,52]"),
    "coordinates that are an object": '{"type":"Polygon","coordinates":{"a":1}}',
    "a line of one corner": '{"type":"LineString","coordinates":[[10,52]]}',
    "lists without end": "[" * NEST,
    "objects without end": '{"a":' * NEST,
    "coordinates without end": '{"type":"Polygon","coordinates":' + "[" * NEST + "]" * NEST + "}",
    "collections without end": '{"type":"GeometryCollection","geometries":[' * 500 + "]}" * 500,
    "a crs that is not known": SQUARE[:-1]
    + ',"crs":{"type":"name","properties":{"name":"EPSG:999999"}}}',
    "a crs that is a number": SQUARE[:-1] + ',"crs":7}',
    "a crs that is very long": SQUARE[:-1]
    + ',"crs":{"type":"name","properties":{"name":"'
    + "x\\n" * 10_000
    + '"}}}',
    "metres without a crs": _coordinates("[500000,5700000],[500100,5700000],[500100,5700100]"),
    "a type with a line break": '{"type":"Poly\\ngon\\u001b[2J","coordinates":[]}',
    "a type that is very long": '{"type":"' + "x" * 100_000 + '"}',
    "half a letter": '{"type":"\\ud800","coordinates":[]}',
}

GEOJSON_BYTES = {
    "letters that are not UTF-8": b'{"type":"Polygon\xff","coordinates":[]}',
    "wide letters": SQUARE.encode("utf-16"),
    "noughts": b"\x00" * 1000,
    "a picture": b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 10,
}


# Texts of other kinds


XML = {
    ("nothing", ".kml"): "",
    ("a page of the web", ".kml"): "<html><body>Not found</body></html>",
    ("half a text", ".kml"): KML[:60],
    ("nothing drawn", ".kml"): KML.format(""),
    ("a place without a shape", ".kml"): KML.format("<Placemark><name>a</name></Placemark>"),
    ("a link alone", ".kml"): KML.format(
        "<NetworkLink><Link><href>http://example.org/</href></Link></NetworkLink>"
    ),
    ("words that stand for words", ".kml"): LAUGHS + KML.format(MARK.format("&a9;")),
    ("a word that stands for a file", ".kml"): OUTSIDE + KML.format(MARK.format("&a;")),
    ("corners of words", ".kml"): KML.format(MARK.format("a,b c,d e,f")),
    ("corners that are missing", ".kml"): KML.format(MARK.format("")),
    ("corners beyond the earth", ".kml"): KML.format(
        MARK.format("1e300,0 1e300,1 1e301,1 1e300,0")
    ),
    ("folders without end", ".kml"): KML.format("<Folder>" * 50_000),
    ("shapes within shapes", ".kml"): KML.format(
        "<Placemark>" + "<MultiGeometry>" * 5_000 + "</MultiGeometry>" * 5_000 + "</Placemark>"
    ),
    ("an encoding that is not there", ".kml"): '<?xml version="1.0" encoding="x"?><kml/>',
    ("nothing", ".gml"): "",
    ("nothing drawn", ".gml"): "<FeatureCollection/>",
    ("words that stand for words", ".gml"): LAUGHS + "<FeatureCollection>&a9;</FeatureCollection>",
    ("a word that stands for a file", ".gml"): OUTSIDE
    + "<FeatureCollection>&a;</FeatureCollection>",
    ("a system that is not known", ".gml"): gml().decode().replace("EPSG::4326", "EPSG::999999"),
    ("corners of words", ".gml"): gml().decode().replace("52 10 ", "a b "),
    ("an odd number of numbers", ".gml"): gml().decode().replace("52.001 10 52", "52.001 10"),
    ("one corner of a word", ".gml"): gml().decode().replace("52.001 10 52", "x 10 52"),
    ("one corner that is no number", ".gml"): gml().decode().replace("52.001 10 ", "nan 10 "),
    ("elements without end", ".gml"): "<FeatureCollection>" + "<a>" * 50_000,
    ("nothing", ".gpx"): "",
    ("nothing recorded", ".gpx"): '<gpx version="1.1"/>',
    ("a map of another kind", ".gpx"): KML.format(""),
    ("words that stand for words", ".gpx"): LAUGHS + TRACK.format("&a9;"),
    ("a word that stands for a file", ".gpx"): OUTSIDE + TRACK.format("&a;"),
    ("a track of nothing", ".gpx"): TRACK.format(""),
    ("a track of one point", ".gpx"): TRACK.format('<trkpt lat="52" lon="10"/>'),
    ("points without a place", ".gpx"): TRACK.format("<trkpt/><trkpt/><trkpt/><trkpt/>"),
    ("points that are no numbers", ".gpx"): TRACK.format('<trkpt lat="nan" lon="nan"/>' * 4),
    ("points beyond the earth", ".gpx"): TRACK.format(points().replace("52", "1e308")),
    ("half a track", ".gpx"): TRACK.format(points())[:100],
    ("waypoints alone", ".gpx"): f"<gpx>{points('wpt')}</gpx>",
    ("a tag without end", ".gpx"): TRACK.format("<trkpt " + 'a="1" ' * 500_000),
    ("nothing", ".xml"): "",
    ("settings", ".xml"): "<settings/>",
    ("no field", ".xml"): TASK.format(""),
    ("words that stand for words", ".xml"): LAUGHS + TASK.format("&a9;"),
    ("a word that stands for a file", ".xml"): OUTSIDE + TASK.format("&a;"),
    ("a field without a boundary", ".xml"): TASK.format('<PFD A="PFD1" C="a" D="0"/>'),
    ("a boundary without corners", ".xml"): TASK.format(FIELD.format("")),
    ("a boundary of one corner", ".xml"): TASK.format(FIELD.format('<PNT A="2" C="52" D="10"/>')),
    ("corners of words", ".xml"): TASK.format(FIELD.format('<PNT A="2" C="a" D="b"/>' * 4)),
    ("corners without a place", ".xml"): TASK.format(FIELD.format('<PNT A="2"/>' * 4)),
    ("corners beyond the earth", ".xml"): taskdata().decode().replace('D="10"', 'D="1000"'),
    ("a part that is a path", ".xml"): TASK.format('<XFR A="../../etc/PFD00001" B="1"/>'),
    ("a part that is missing", ".xml"): TASK.format('<XFR A="PFD00001" B="1"/>'),
    ("a file that is a part of itself", ".xml"): TASK.format('<XFR A="TASKDATA" B="1"/>'),
    ("rings without end", ".xml"): TASK.format("<PFD>" * 5_000),
}

TABLES = {
    "nothing": "",
    "a heading alone": "longitude,latitude\n",
    "no heading": "a,b\nc,d\n",
    "one corner": "longitude,latitude\n10,52\n",
    "two corners": "longitude,latitude\n10,52\n10.1,52\n",
    "corners of words": "longitude,latitude\n" + "a,b\n" * 4,
    "corners that are no numbers": "longitude,latitude\n" + "nan,inf\n" * 4,
    "rows too short": "name,longitude,latitude\n" + "a\n" * 4,
    "a quote without end": 'longitude,latitude\n"10,52\n' + "10,52\n" * 10,
    "metres without a system": "easting,northing\n0,0\n100,0\n100,100\n0,100\n",
    "two columns of longitude": "longitude,lon,lat\n10,10,52\n10,10,53\n11,11,53\n",
    "shapes that are none": "name,wkt\na,POLYGON((\nb,NOTHING\n",
    "a shape beyond all": "name;wkt\na;POLYGON((1e999 0, 1 1, 0 1, 1e999 0))\n",
    "shapes within shapes": "name;wkt\na;" + "GEOMETRYCOLLECTION(" * 50_000 + "\n",
    "noughts": "longitude,latitude\n" + "\x00,\x00\n" * 4,
    "one line without end": "longitude,latitude," + "x" * 200_000,
    "very many columns": ",".join(f"c{n}" for n in range(50_000)) + "\n1,2\n",
    "corners beyond the earth": "longitude,latitude\n1000,52\n1001,52\n1001,53\n",
}


# Zips


def _link() -> bytes:
    info = zipfile.ZipInfo("farm.geojson")
    info.external_attr = (stat.S_IFLNK | 0o777) << 16
    return packed({info: b"/etc/hostname"})  # type: ignore[dict-item]


def _locked() -> bytes:
    content = bytearray(packed({"farm.geojson": SQUARE.encode()}))
    content[6] |= 1
    content[content.index(b"PK\x01\x02") + 8] |= 1
    return bytes(content)


def _twice() -> bytes:
    content = packed({"a.geojson": SQUARE.encode(), "b.geojson": SQUARE.encode()})
    return content.replace(b"b.geojson", b"a.geojson")


def _liar() -> bytes:
    content = packed({"a.geojson": b" " * 20_000_000})
    return content.replace(struct.pack("<I", 20_000_000), struct.pack("<I", 1_000))


def _matryoshka() -> bytes:
    inner = packed({"farm.geojson": SQUARE.encode()})
    for _ in range(5):
        inner = packed({"inner.zip": inner})
    return inner


def zips() -> dict[str, bytes]:
    """Write zips of every bad kind."""
    square = SQUARE.encode()
    whole = packed({"farm.geojson": square})
    names = ("/etc/a.geojson", "../a.geojson", "C:/a.geojson", "a\\b.geojson", "CON.geojson")
    return {
        "nothing": b"",
        "no zip": b"PK\x03\x04 no zip",
        "a zip that breaks off": whole[:-30],
        "a zip of nothing": packed({}),
        "a zip of a note": packed({"read.me": b"Notes"}),
        "a bomb": packed({"farm.geojson": b" " * 300_000_000}),
        "a bomb of a hundred": packed({f"{n}.geojson": b" " * 2_000_000 for n in range(100)}),
        "a bomb that lies": _liar(),
        "a text just under the ratio": packed({"a.geojson": b" " * 90_000_000}),
        "zips in zips": _matryoshka(),
        "a link": _link(),
        "a lock": _locked(),
        "one name twice": _twice(),
        "very many files": packed({f"{n}.geojson": b"" for n in range(20_000)}),
        "two maps": packed({"a.geojson": square, "b.geojson": square}),
        "a rare way to pack": packed({"a.geojson": square}, zipfile.ZIP_LZMA),
        "a bomb packed in a rare way": packed({"a.geojson": b" " * 90_000_000}, zipfile.ZIP_BZIP2),
        "a shapefile without shapes": packed({"farm.shp": b"", "farm.shx": b"", "farm.dbf": b""}),
        **{f"a member called {name}": packed({name: square}) for name in names},
    }


# Databases and tables of bytes


def _database(*statements: str) -> bytes:
    def write(folder: Path) -> Path:
        path = gpkg(folder / "farm.gpkg", {"fields": [("Home", 1.0, HOME)]})
        with closing(sqlite3.connect(path)) as database:
            for statement in statements:
                database.execute(statement)
            database.commit()
        return path

    return _bytes_of(write)


def databases() -> dict[str, bytes]:
    """Write GeoPackages of every bad kind."""
    sound = _database()
    endless = "with recursive n(x) as (select 1 union all select x + 1 from n) select x from n"
    return {
        "nothing": b"",
        "a head alone": sound[:100],
        "half a database": sound[: len(sound) // 2],
        "noise behind the head": sound[:1024] + b"\xa5" * (len(sound) - 1024),
        "a page size of nought": sound[:16] + b"\x00\x00" + sound[18:],
        "no layer": _database("delete from gpkg_contents", "delete from gpkg_geometry_columns"),
        "a layer that is not there": _database("drop table fields"),
        "a layer that counts without end": _database(
            "update gpkg_contents set table_name = 'gone'",
            "drop table fields",
            f"create view gone as {endless}",
        ),
        "a shape of noise": sound.replace(HOME.wkb[1:9], b"\xff" * 8),
    }


def shapefiles() -> dict[str, dict[str, bytes]]:
    """Write shapefiles of every bad kind, part by part."""
    sound = shapefile_parts()
    entry = struct.pack(">ii", 2**30, 2**20)
    shapes, index = sound[".shp"], sound[".shx"]
    return {
        "a part alone": {".dbf": sound[".dbf"]},
        "nothing in it": dict.fromkeys(sound, b""),
        "no shapes": {**sound, ".shp": b""},
        "half the shapes": {**sound, ".shp": shapes[:180]},
        "half the shapes and no index": {".shp": shapes[:180], ".prj": sound[".prj"]},
        "a shape far beyond the end": {**sound, ".shx": index[:100] + entry},
        "a shape before the begin": {**sound, ".shx": index[:100] + struct.pack(">ii", -50, 10)},
        "a ring of minus one corner": {
            **sound,
            ".shp": shapes[:144] + struct.pack("<ii", -1, -1) + shapes[152:],
        },
        "rings of two thousand million corners": {
            **sound,
            ".shp": shapes[:144] + struct.pack("<ii", 2**31 - 1, 2**31 - 1) + shapes[152:],
        },
        "half a table": {**sound, ".dbf": sound[".dbf"][:40]},
        "a table of four thousand million rows": {
            **sound,
            ".dbf": sound[".dbf"][:4] + b"\xff" * 4 + sound[".dbf"][8:],
        },
        "a system of noise": {**sound, ".prj": b"\xff\x00PROJCS[" * 100},
        "a system of brackets": {**sound, ".prj": b"PROJCS[" * 50_000},
        "corners that are no numbers": {
            **sound,
            ".shp": shapes[:160] + struct.pack("<d", math.nan) * 4 + shapes[192:],
        },
    }


def _binary() -> dict[tuple[str, str], bytes]:
    sound = sound_files()
    map_, table = sound[".fgb"], sound[".parquet"]
    return {
        ("nothing", ".fgb"): b"",
        ("a head alone", ".fgb"): map_[:8],
        ("half a map", ".fgb"): map_[: len(map_) // 2],
        ("a head of four thousand million bytes", ".fgb"): map_[:8] + b"\xff" * 4 + map_[12:],
        ("another version", ".fgb"): b"fgb\x09fgb\x00" + map_[8:],
        ("noise behind the head", ".fgb"): map_[:12] + b"\xa5" * (len(map_) - 12),
        ("nothing", ".parquet"): b"",
        ("a head alone", ".parquet"): b"PAR1",
        ("half a table", ".parquet"): table[: len(table) // 2],
        ("no note on the shapes", ".parquet"): table.replace(b"geo", b"oeg"),
        ("a note of noise", ".parquet"): table.replace(b'"primary_column"', b'"primary_noising"'),
        ("noise in the middle", ".parquet"): table[:8] + b"\xa5" * 40 + table[48:],
        ("nothing", ".dxf"): b"",
        ("another text", ".dxf"): b"no drawing",
        ("half a drawing", ".dxf"): DXF[:40],
        ("a drawing of nothing", ".dxf"): b"0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n",
        ("a drawing of noise", ".dxf"): b"0\nSECTION\n2\nENTITIES\n" + b"\xa5\n" * 1000,
    }


def hostile_files() -> dict[str, dict[str, bytes]]:
    """List all bad files: what is bad about it, and its parts by name; the first is to be read."""
    named = {(what, ".geojson"): text.encode() for what, text in GEOJSON.items()}
    named |= {(what, ".geojson"): content for what, content in GEOJSON_BYTES.items()}
    named |= {key: text.encode() for key, text in XML.items()}
    named |= {(what, ".csv"): text.encode() for what, text in TABLES.items()}
    named |= {(what, ".zip"): content for what, content in zips().items()}
    named |= {(what, ".gpkg"): content for what, content in databases().items()}
    named |= _binary()
    one = {f"{end[1:]}: {what}": {f"farm{end}": text} for (what, end), text in named.items()}
    for what, parts in shapefiles().items():
        one[f"shp: {what}"] = {f"farm{end}": parts[end] for end in sorted(parts, reverse=True)}
        if ".shp" in parts:
            one[f"shp: {what}"] = {"farm.shp": parts[".shp"], **one[f"shp: {what}"]}
    return one
