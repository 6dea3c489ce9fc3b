"""The worst files through the real command line: one line, exit 2, in little time and memory."""

import json
import random
import subprocess
import sys
import time
import zipfile
from io import BytesIO
from pathlib import Path

import geopandas as gpd
import pytest
import shapefile
import shapely
from hostile_files import (
    FIELD,
    GEOJSON,
    KML,
    LAUGHS,
    MARK,
    TASK,
    TRACK,
    databases,
    packed,
    shapefile_parts,
    zips,
)

from geolayout.land.files.limits import MAX_ELEMENTS, MAX_TEXT, MAX_VALUES

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="the system tells no peak"),
]

LONGEST = 10.0
"""Time a file may take. [s]"""

MOST = 500_000
"""Memory a file may take, at its peak. [kB]"""

# ru_maxrss of a child begins at the size of its parent; VmHWM of /proc is its own.
RUN = """
import atexit, pathlib, sys
atexit.register(lambda: pathlib.Path(sys.argv[-1]).write_text(
    pathlib.Path("/proc/self/status").read_text()))
from geolayout.apps.cli import main
peak = sys.argv[-1]
sys.argv = ["geolayout", "check", sys.argv[1]]
try:
    main()
finally:
    sys.argv.append(peak)
"""


def nested_rings(count):
    """Write a shapefile of rings one within another, which are sorted out pair by pair."""
    rings = []
    for n in range(count):
        a, b = 500_000 + n * 0.1, 501_000 - n * 0.1
        rings.append([[a, a], [a, b], [b, b], [b, a], [a, a]])
    parts = {end: BytesIO() for end in ("shp", "shx", "dbf")}
    with shapefile.Writer(**parts, shapeType=5) as writer:
        writer.field("NAME", "C", 40)
        writer.poly(rings)
        writer.record("Home")
    return packed({f"farm.{end}": part.getvalue() for end, part in parts.items()})


def tangle(corners):
    """Write a ring that crosses itself everywhere."""
    chance = random.Random(3)  # noqa: S311
    ring = [[10 + chance.random() / 100, 52 + chance.random() / 100] for _ in range(corners)]
    return json.dumps({"type": "Polygon", "coordinates": [[*ring, ring[0]]]}).encode()


def jitter(points):
    """Write the walk of a tractor that stands still, as a receiver sees it."""
    chance = random.Random(3)  # noqa: S311
    places = ((chance.gauss(52, 1e-6), chance.gauss(10, 1e-6)) for _ in range(points))
    return TRACK.format(
        "".join(f'<trkpt lat="{a:.8f}" lon="{b:.8f}"/>' for a, b in places)
    ).encode()


def blocks(depth):
    """Write a drawing of a block that holds ten of the next, and so on."""
    text = "0 SECTION 2 HEADER 9 $ACADVER 1 AC1015 0 ENDSEC 0 SECTION 2 TABLES 0 ENDSEC "
    text += "0 SECTION 2 BLOCKS "
    for n in range(depth):
        inside = f"0 INSERT 8 0 2 b{n + 1} 10 0 20 0 " * 10
        text += f"0 BLOCK 8 0 2 b{n} 10 0 20 0 {inside}0 ENDBLK 8 0 "
    text += f"0 BLOCK 8 0 2 b{depth} 10 0 20 0 0 LINE 8 0 10 0 20 0 11 1 21 1 0 ENDBLK 8 0 "
    text += "0 ENDSEC 0 SECTION 2 ENTITIES 0 INSERT 8 0 2 b0 10 0 20 0 0 ENDSEC 0 EOF "
    return text.replace(" ", "\n").encode()


def parquet_bomb():
    frame = gpd.GeoDataFrame(
        {"note": ["x" * 20_000] * 90_000}, geometry=[shapely.Point(10, 52)] * 90_000, crs=4326
    )
    out = BytesIO()
    frame.to_parquet(out)
    return out.getvalue()


def pairs(room):
    return b"[" + b"[1,2]," * (room // 6 - 1) + b"[1,2]]"


EMOJI = "\U0001f33e".encode()
POINTS = '<trkpt lat="52" lon="10"/><trkpt lat="52.1" lon="10.1"/>'
PLACES = '<PNT A="2" C="52" D="10"/><PNT A="2" C="52.1" D="10.1"/>'

WORST = {
    "a zip bomb": ("farm.zip", lambda: zips()["a bomb"]),
    "a zip bomb that lies": ("farm.zip", lambda: zips()["a bomb that lies"]),
    "a zip bomb in a rare way": ("farm.zip", lambda: zips()["a bomb packed in a rare way"]),
    "a zip of 60,000 files": (
        "farm.zip",
        lambda: packed({f"{n}.csv": b"" for n in range(60_000)}, zipfile.ZIP_STORED),
    ),
    "99 MB of noughts as a zipped database": (
        "farm.zip",
        lambda: packed(
            {"farm.gpkg": b"SQLite format 3\x00" + bytes(99_000_000)}, zipfile.ZIP_STORED
        ),
    ),
    "99 MB of noughts as a zipped shapefile": (
        "farm.zip",
        lambda: packed(
            {f"farm{end}": part for end, part in shapefile_parts().items()}
            | {"farm.dbf": bytes(98_000_000)},
            zipfile.ZIP_STORED,
        ),
    ),
    "30 MB of brackets": ("farm.geojson", lambda: b"[]," * (MAX_TEXT // 3)),
    "30 MB of pairs": ("farm.geojson", lambda: pairs(MAX_TEXT - 100)),
    "as many objects as are read": (
        "farm.geojson",
        lambda: b"[" + b'{"a":1},' * (MAX_VALUES // 2 - 9) + b"{}]",
    ),
    "30 MB of one word with wide letters": (
        "farm.geojson",
        lambda: b'{"type":"' + EMOJI + b"x" * (MAX_TEXT - 40) + b'"}',
    ),
    "30 MB of lists within lists": ("farm.geojson", lambda: b"[" * MAX_TEXT),
    "a ring that crosses itself everywhere": ("farm.geojson", lambda: tangle(20_000)),
    "30 MB of one number": (
        "farm.geojson",
        lambda: GEOJSON["a ring of one corner"].encode().replace(b"52", b"5" * (MAX_TEXT - 100)),
    ),
    "words that stand for words": (
        "farm.kml",
        (LAUGHS + KML.format(MARK.format("&a9;"))).encode,
    ),
    "30 MB of elements": ("farm.kml", lambda: b"<kml>" + b"<a/>" * (MAX_TEXT // 4 - 10)),
    "30 MB of wide letters": ("farm.gpx", lambda: b"<gpx><name>" + EMOJI * (MAX_TEXT // 4 - 20)),
    "a walk of as many points as are read": (
        "farm.gpx",
        lambda: TRACK.format(POINTS * (MAX_ELEMENTS // 2 - 9)).encode(),
    ),
    "a walk that stands still": ("farm.gpx", lambda: jitter(100_000)),
    "a field of as many points as are read": (
        "TASKDATA.XML",
        lambda: TASK.format(FIELD.format(PLACES * (MAX_ELEMENTS // 2 - 9))).encode()[:MAX_TEXT],
    ),
    "30 MB of corners in a table": (
        "farm.csv",
        lambda: b"longitude,latitude\n" + b"10,52\n" * (MAX_TEXT // 6 - 9),
    ),
    "30 MB of columns": ("farm.csv", lambda: b"a," * (MAX_TEXT // 2 - 9)),
    "a database that counts without end": (
        "farm.gpkg",
        lambda: databases()["a layer that counts without end"],
    ),
    "3,000 rings one within another": ("farm.zip", lambda: nested_rings(3_000)),
    "blocks of blocks of blocks": ("farm.dxf", lambda: blocks(9)),
    "a table of one text over and over": ("farm.parquet", parquet_bomb),
    "24 MB of noise as a map": ("farm.fgb", lambda: b"fgb\x03fgb\x00" + b"\xa5\x5a" * 11_900_000),
}


@pytest.mark.parametrize("what", WORST)
def test_the_worst_files_end_soon_and_small(tmp_path, what):
    name, write = WORST[what]
    folder = tmp_path / "given"
    folder.mkdir()
    (folder / name).write_bytes(write())
    begin = time.monotonic()
    done = subprocess.run(
        [sys.executable, "-c", RUN, str(folder / name), str(tmp_path / "peak")],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    took = time.monotonic() - begin
    status = (tmp_path / "peak").read_text()
    peak = int(status.partition("VmHWM:")[2].split()[0])
    print(
        f"{what}: {took:.1f} s, {peak / 1000:.0f} MB, exit {done.returncode}: {done.stderr[:300]}"
    )
    assert done.returncode == 2
    assert done.stdout == ""
    assert len(done.stderr.splitlines()) == 1
    assert len(done.stderr) < 620
    assert took < LONGEST
    assert peak < MOST
    assert [file.name for file in folder.iterdir()] == [name]
