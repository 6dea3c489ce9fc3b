"""
Feed the readers of texts what a coverage-guided fuzzer makes up.

Each input must give a sheet or an error of ours, in one short line; anything else stops the run.
It is no test and not run by pytest. Atheris has no place among the dependencies of the package;
an environment of its own does::

    python -m venv fuzzing
    fuzzing/bin/pip install atheris . pyarrow
    fuzzing/bin/python tests/fuzz/fuzz_readers.py -max_total_time=300 -seed=1 [FOLDER OF INPUTS]

The first byte of an input chooses the reader. What it finds becomes a row in
``tests/hostile_files.py``.
"""

import sys
import tempfile
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["geolayout", "json", "xml", "csv", "defusedxml"]):
    from geolayout.errors import GeolayoutError
    from geolayout.land.files.corners import read_corners
    from geolayout.land.files.geojson import read_geojson
    from geolayout.land.files.gpx import read_gpx
    from geolayout.land.files.source import Source
    from geolayout.land.files.taskdata import read_taskdata
    from geolayout.land.frames.lonlat import on_earth

READERS = (
    (".geojson", read_geojson),
    (".csv", read_corners),
    (".xml", read_taskdata),
    (".gpx", read_gpx),
)

LONGEST = 600
"""Of what is said about a file, in letters."""

SEEDS = (
    (
        b'\x00{"type":"Feature","id":1,"properties":{"name":"a"},"geometry":{"type"'
        b':"Polygon","coordinates":[[[10,52],[10.003,52],[10.003,52.001],[10,52]'
        b"]]}}"
    ),
    (
        b'\x00\x1e{"type":"Point","coordinates":[10,52,1]}\n\x1e{"type":"LineString","coor'
        b'dinates":[[10,52],[11,52]],"crs":{"type":"name","properties":{"name":"'
        b'EPSG:25832"}}}'
    ),
    (b"\x01field;longitude;latitude\na;10,0;52,0\na;10,003;52,0\na;10,003;52,001\n"),
    (b'\x01name,wkt\na,"POLYGON((10 52,10.003 52,10.003 52.001,10 52))"\n'),
    (b"\x01lat\tlon\n52 30 12.3 N\t10 0 0 E\n52 30 13 N\t10 0 0 E\n52 30 13 N\t10 0 1 E\n"),
    (
        b'\x02<ISO11783_TaskData VersionMajor="4"><PFD A="PFD1" C="Home" D="22920">'
        b'<PLN A="1"><LSG A="1"><PNT A="2" C="52" D="10"/><PNT A="2" C="52" D="1'
        b'0.003"/><PNT A="2" C="52.001" D="10.003"/></LSG></PLN></PFD></ISO11783'
        b"_TaskData>"
    ),
    (
        b'\x03<gpx version="1.1"><wpt lat="52" lon="10"/><rte><rtept lat="52" lon="'
        b'10"/><rtept lat="52" lon="10.003"/></rte><trk><name>a</name><trkseg><t'
        b'rkpt lat="52" lon="10"/><trkpt lat="52.001" lon="10"><ele>3</ele></trk'
        b"pt></trkseg></trk></gpx>"
    ),
)


def read_one(data: bytes, folder: Path) -> None:
    """Read one input; let pass only what the readers may raise."""
    if not data:
        return
    suffix, read = READERS[data[0] % len(READERS)]
    path = folder / f"farm{suffix}"
    path.write_bytes(data[1:])
    try:
        on_earth(read(Source(path), None))
    except GeolayoutError as error:
        said = str(error)
    else:
        return
    assert len(said) < LONGEST, said
    assert said.isprintable(), said


def main() -> None:
    """Write the seeds, and run until told to stop."""
    with tempfile.TemporaryDirectory() as name:
        folder, seeds = Path(name), Path(name, "seeds")
        seeds.mkdir()
        for number, seed in enumerate(SEEDS):
            (seeds / str(number)).write_bytes(seed)
        atheris.Setup([*sys.argv, str(seeds)], lambda data: read_one(data, folder))
        atheris.Fuzz()


if __name__ == "__main__":
    main()
