"""A returned file of work done: what is read of it, and what is said. All invented."""

import json

import numpy as np
import pytest

from geolayout.appraisal.worked.done import moving
from geolayout.errors import FileError
from geolayout.jobs.strands import strand_in
from geolayout.jobs.workfile import read_work_file
from geolayout.land.frames.frame import Frame

HEAD = "lon,lat,time,rate,width,product,pass,working"
STEP = 1e-5
"""A metre or so of latitude. [degrees]"""


def table(tmp_path, lines, head=HEAD, name="work.csv"):
    path = tmp_path / name
    path.write_text("\n".join([head, *lines]) + "\n", "utf-8")
    return path


def passes(count=2, places=5, rate=40.0):
    """Lines of a table: passes a few metres apart, places a second."""
    return [
        f"{10 + 5 * STEP * p:.7f},{STEP * i:.7f},2027-04-01T09:{p:02d}:{i:02d},"
        f"{rate},3,beans,{p},yes"
        for p in range(count)
        for i in range(places)
    ]


def geojson(tmp_path, shapes, name="work.geojson"):
    features = [
        {"type": "Feature", "properties": columns, "geometry": {"type": kind, "coordinates": xy}}
        for kind, xy, columns in shapes
    ]
    path = tmp_path / name
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}), "utf-8")
    return path


def test_a_table_of_places_is_parted_by_its_passes(tmp_path):
    read = read_work_file(table(tmp_path, passes()))
    assert [len(one) for one in read.strands] == [5, 5]
    first = read.strands[0]
    assert (first.rate == 40.0).all()
    assert (first.width == 3.0).all()
    assert first.product.tolist() == ["beans"] * 5
    assert np.diff(first.seconds).tolist() == [1.0] * 4
    assert read.rated
    assert read.notes == ()


def test_places_with_decimal_commas_and_semicolons(tmp_path):
    lines = ["10,0;0,0;40,5", "10,0;0,00001;41,5"]
    read = read_work_file(table(tmp_path, lines, head="lon;lat;rate"))
    assert read.strands[0].rate.tolist() == [40.5, 41.5]


def test_a_gap_parts_a_strand_and_so_does_a_machine_lifted(tmp_path):
    lat = [0, 1, 2, 30, 31, 32, 33, 34]  # metres or so; 28 m between the third and the fourth
    lines = [f"10,{STEP * y:.7f},{0 if y == 33 else 40}" for y in [*lat, 35]]
    read = read_work_file(table(tmp_path, lines, head="lon,lat,rate"))
    assert [len(one) for one in read.strands] == [3, 3, 2]
    assert read.notes == ("1 of 9 rows are of a machine that was not working.",)


def test_places_out_of_order_are_put_in_the_order_of_their_times(tmp_path):
    lines = passes(1)
    read = read_work_file(table(tmp_path, [lines[2], lines[0], lines[1], *lines[3:]]))
    assert np.diff(read.strands[0].lonlat[:, 1]) == pytest.approx([STEP] * 4)
    assert "order of their times" in read.notes[0]


def test_a_lone_place_is_left_out_and_said(tmp_path):
    read = read_work_file(table(tmp_path, [*passes(1), "10.001,0,,40,3,beans,9,yes"]))
    assert [len(one) for one in read.strands] == [5]
    assert "1 places stand alone" in read.notes[-1]


def test_a_time_that_cannot_be_read_is_said_and_the_place_stays(tmp_path):
    lines = passes(1)
    lines[1] = lines[1].replace("2027-04-01T09:00:01", "one past nine")
    read = read_work_file(table(tmp_path, lines))
    assert len(read.strands[0]) == 5
    assert read.notes == ("1 times of work.csv cannot be read and were not used.",)


def test_lines_and_areas_come_with_their_columns(tmp_path):
    square = [[[10, 0], [10.001, 0], [10.001, 0.001], [10, 0.001], [10, 0]]]
    shapes = [
        ("LineString", [[10, 0], [10, 0.001]], {"Rate": 180, "Product": "wheat", "Width": 6}),
        ("MultiLineString", [[[10, 0], [10, 0.1]], [[11, 0], [11, 0.1]]], {"Rate": 170}),
        ("Polygon", square, {"Rate": 160.5, "unit": "kg/ha"}),
    ]
    read = read_work_file(geojson(tmp_path, shapes))
    assert [one.is_line for one in read.strands] == [True] * 3
    assert read.strands[0].width.tolist() == [6.0, 6.0]
    assert read.areas[0][1:] == (160.5, "")
    assert read.unit == "kg/ha"


def test_rows_without_a_shape_are_counted(tmp_path):
    path = geojson(tmp_path, [("LineString", [[10, 0], [10, 0.001]], {})])
    told = json.loads(path.read_text("utf-8"))
    told["features"].append({"type": "Feature", "properties": {}, "geometry": None})
    path.write_text(json.dumps(told), "utf-8")
    assert "1 of 2 rows" in read_work_file(path).notes[0]


def test_a_track_of_a_phone_is_a_line(tmp_path):
    path = tmp_path / "drill.gpx"
    points = "".join(f'<trkpt lat="{i / 1e5}" lon="10"/>' for i in range(4))
    path.write_text(
        '<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><trkseg>{points}</trkseg></trk></gpx>",
        "utf-8",
    )
    read = read_work_file(path)
    assert [len(one) for one in read.strands] == [4]
    assert not read.rated


def gpx_track(path, *pieces):
    """Write pieces of tracks: each a list of latitude (1e-5 degrees, 1.1 m) and minute:second."""
    drawn = []
    for piece in pieces:
        points = "".join(
            f'<trkpt lat="{place / 1e5}" lon="10"><time>2027-04-20T08:{at}Z</time></trkpt>'
            for place, at in piece
        )
        drawn.append(f"<trk><trkseg>{points}</trkseg></trk>")
    path.write_text(
        '<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">'
        f"{''.join(drawn)}</gpx>",
        "utf-8",
    )
    return path


def test_times_of_a_track_put_its_pieces_and_points_in_order(tmp_path):
    later = [(30, "10:00"), (31, "10:01"), (32, "10:02")]
    earlier = [(2, "05:02"), (0, "05:00"), (1, "05:01")]  # a phone that writes late
    read = read_work_file(gpx_track(tmp_path / "a.gpx", later, earlier))
    latitudes = [(one.lonlat[:, 1] * 1e5).round().tolist() for one in read.strands]
    assert latitudes == [[0, 1, 2], [30, 31, 32]]
    assert [np.diff(one.seconds).tolist() for one in read.strands] == [[1.0, 1.0]] * 2
    # from 08:05:02 to 08:10:00
    assert read.strands[1].seconds[0] - read.strands[0].seconds[-1] == 298.0


def test_a_machine_parked_in_its_track_stands_still(tmp_path):
    parked = [(0, "05:00"), (1, "05:01"), (1, "06:00"), (1, "07:00"), (2, "07:01")]
    (one,) = read_work_file(gpx_track(tmp_path / "a.gpx", parked)).strands
    strand = moving(strand_in(Frame(10.0, 0.0), one, 6.0))
    assert (strand.xy[:, 1] / strand.xy[1, 1]).round().tolist() == [0.0, 1.0, 2.0]
    # It stood from 08:05:01 to 08:07:00; the place it left at counts once.
    assert np.ptp(strand.seconds) == 121.0


@pytest.mark.parametrize(
    "pieces",
    [
        pytest.param(
            [[(0, "05:00"), (1, "05:05")], [(9, "05:02"), (8, "05:03")]], id="two at once"
        ),
        pytest.param([[(0, "05:00"), (1, "soon")], [(9, "06:02"), (8, "06:03")]], id="no time"),
    ],
)
def test_times_that_give_no_order_leave_the_lines_as_drawn(tmp_path, pieces):
    read = read_work_file(gpx_track(tmp_path / "a.gpx", *pieces))
    assert [len(one) for one in read.strands] == [2, 2]
    assert all(one.is_line for one in read.strands)


def test_a_column_of_rates_by_name(tmp_path):
    lines = ["10,0,41,7", "10,0.00001,42,8"]
    path = table(tmp_path, lines, head="lon,lat,rate,dry")
    assert read_work_file(path, rate="Dry").strands[0].rate.tolist() == [7.0, 8.0]


def test_metres_need_their_grid(tmp_path):
    path = table(tmp_path, ["500000,5000000", "500000,5000001"], head="easting,northing")
    read = read_work_file(path, crs="EPSG:32633")
    assert read.strands[0].lonlat[0, 0] == pytest.approx(15.0)
    with pytest.raises(FileError, match="coordinate system"):
        read_work_file(path)


@pytest.mark.parametrize(
    ("lines", "head", "match"),
    [
        pytest.param(
            ["10,0,x", "10,0,1"], "lon,lat,rate", "Line 2 .* 'x' for a rate", id="letters"
        ),
        pytest.param(["10,0,-4"], "lon,lat,rate", "a rate of -4", id="a rate below nought"),
        pytest.param(["10,0,inf"], "lon,lat,rate", "a rate of inf", id="a rate without end"),
        pytest.param(["10,0,3000"], "lon,lat,width", "width of 3000 m", id="a width in mm"),
        pytest.param(["10,0,maybe"], "lon,lat,working", "'maybe'", id="neither yes nor no"),
        pytest.param(["10,"], "lon,lat", "Line 2 of work.csv has no place", id="half a place"),
        pytest.param(["10,0"], "lon,lat", "nothing that was worked", id="one place"),
        pytest.param([], "lon,lat", "nothing that was worked", id="no line"),
        pytest.param(["10,0,0", "10,1,0"], "lon,lat,rate", "2 of them without", id="never worked"),
        pytest.param(["1,2"], "a,b", "names no columns that are known", id="no places"),
        pytest.param(["10,95", "10,96"], "lon,lat", "95", id="off the earth"),
        pytest.param(
            ["10,0,1,kg/ha", "10,0,1,lb/ac"], "lon,lat,rate,unit", "in 2 units", id="two units"
        ),
    ],
)
def test_nonsense_is_refused(tmp_path, lines, head, match):
    with pytest.raises((FileError, ValueError), match=match):
        read_work_file(table(tmp_path, lines, head=head))


def test_a_column_that_is_not_there(tmp_path):
    with pytest.raises(FileError, match="no column 'dose'"):
        read_work_file(table(tmp_path, ["10,0"], head="lon,lat"), rate="dose")


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(FileError, match="Work done is read from a file"):
        read_work_file(tmp_path / "gone.csv")


def test_bytes_that_are_no_text(tmp_path):
    path = tmp_path / "work.csv"
    path.write_bytes(b"lon,lat\n\x00\x01")
    with pytest.raises(FileError, match="is no text"):
        read_work_file(path)
