"""Features in and out of pipes: every form that GeoJSON comes in, held one at a time."""

import io
import json
import tracemalloc
from itertools import chain

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geolayout.apps.stream import Form, read_features, writing
from geolayout.errors import FileError

POINT = '{"type":"Point","coordinates":[10.0,50.0]}'


def feature(number, **properties):
    geometry = {"type": "Point", "coordinates": [number, 50.0]}
    return {"type": "Feature", "id": number, "properties": properties, "geometry": geometry}


def collection(*features, **more):
    return {"type": "FeatureCollection", **more, "features": list(features)}


class Drops(io.RawIOBase):
    """A pipe that gives a few bytes at a time."""

    def __init__(self, data, size):
        self.data, self.size = io.BytesIO(data), size

    def read1(self, _size):
        return self.data.read(self.size)


def read(text):
    data = text if isinstance(text, bytes) else text.encode()
    return [json.loads(item) for item in read_features(io.BytesIO(data))]


ONE, TWO = feature(1, name="home"), feature(2, name="Höhe")


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(json.dumps(collection(ONE, TWO)), id="a collection"),
        pytest.param(json.dumps(collection(ONE, TWO), indent=1), id="a collection over many lines"),
        pytest.param("\ufeff" + json.dumps(collection(ONE, TWO)), id="a byte order mark"),
        pytest.param(f"{json.dumps(ONE)}\n{json.dumps(TWO)}\n", id="a sequence"),
        pytest.param(f"{json.dumps(ONE)}\r\n\r\n{json.dumps(TWO)}", id="empty lines, no last end"),
        pytest.param(json.dumps(ONE) + json.dumps(TWO), id="a sequence without ends of lines"),
        pytest.param(f"\x1e{json.dumps(ONE)}\n\x1e{json.dumps(TWO)}\n", id="record separators"),
        pytest.param(
            f"\x1e{json.dumps(ONE, indent=2)}\n\x1e{json.dumps(TWO, indent=2)}\n",
            id="record separators, each over many lines",
        ),
        pytest.param(
            json.dumps(collection(ONE)) + json.dumps(collection(TWO)), id="two collections"
        ),
        pytest.param(json.dumps(collection(ONE)) + json.dumps(TWO), id="both in one pipe"),
        pytest.param(
            '{"features":['
            + json.dumps(ONE)
            + ","
            + json.dumps(TWO)
            + '],"type":"FeatureCollection"}',
            id="the type behind the features",
        ),
    ],
)
def test_the_same_two_features_come_out_of_every_form(text):
    assert read(text) == [ONE, TWO]


def test_one_feature_and_a_bare_geometry_are_given_as_they_are():
    assert read(json.dumps(ONE)) == [ONE]
    assert read(POINT) == [json.loads(POINT)]


def test_an_empty_collection_gives_nothing():
    assert read(json.dumps(collection())) == []


def test_each_feature_carries_the_coordinate_system_of_its_collection():
    crs = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::25832"}}
    assert read(json.dumps(collection(ONE, TWO, crs=crs))) == [
        collection(ONE, crs=crs),
        collection(TWO, crs=crs),
    ]


def test_a_coordinate_system_behind_the_features_is_refused():
    text = json.dumps({**collection(ONE), "crs": {"type": "name"}})
    with pytest.raises(FileError, match="behind its features"):
        read(text)


@settings(deadline=None)
@given(
    st.lists(st.text(max_size=8), min_size=1, max_size=6),
    st.integers(1, 40),
    st.sampled_from(list(Form)),
)
def test_what_was_written_is_read_again_however_the_pipe_cuts_it(names, size, form):
    """Also within a letter of several bytes, and within a number."""
    features = [feature(i, name=name) for i, name in enumerate(names)]
    out = io.BytesIO()
    with writing(out, form) as write:
        write(json.dumps(item, ensure_ascii=False) for item in features)
    again = [json.loads(item) for item in read_features(Drops(out.getvalue(), size))]
    assert again == features


@pytest.mark.parametrize(
    ("text", "match"),
    [
        pytest.param("", "Nothing came in", id="nothing"),
        pytest.param(" \n\x1e\n", "Nothing came in", id="only blanks"),
        pytest.param("lon,lat\n10,50\n", "{ was due where l came", id="a table"),
        pytest.param("[1, 2]", r"{ was due where \[ came", id="a list"),
        pytest.param('{"type": "Feature"', "} was due where the end came", id="cut off"),
        pytest.param('{"type": ', "Expecting value", id="cut off before a value"),
        pytest.param('{"type" "Feature"}', ': was due where " came', id="no colon"),
        pytest.param('{"features": [{}, ]}', "Expecting value", id="a comma too many"),
        pytest.param('{"a": "' + "x" * 70_000, "Unterminated string", id="an endless word"),
        pytest.param('{"a": ' + "[" * 200_000, "nested too deeply", id="a tower of brackets"),
        pytest.param(b'{"a": "\xff"}', "not in UTF-8", id="another encoding"),
        pytest.param(b'{"a": "\xc3', "not in UTF-8", id="cut off within a letter"),
    ],
)
def test_what_is_no_geojson_is_refused_in_one_line(text, match):
    with pytest.raises(FileError, match=match) as refusal:
        read(text)
    assert "\n" not in str(refusal.value)
    assert len(str(refusal.value)) < 400


def test_features_before_a_fault_are_given():
    features = read_features(io.BytesIO(json.dumps(ONE).encode() + b" nonsense"))
    assert json.loads(next(features)) == ONE
    with pytest.raises(FileError, match=r"\{ was due where n came"):
        next(features)


def test_a_feature_without_end_is_refused_before_it_fills_the_memory(monkeypatch):
    monkeypatch.setattr("geolayout.apps.stream.LONGEST", 2**20)
    with pytest.raises(FileError, match="longer than 1 million letters"):
        read('{"coordinates": [' + "[10.0, 50.0]," * 200_000)


class Flow(io.RawIOBase):
    """A pipe that makes its features as they are asked for."""

    def __init__(self, count, form):
        item = json.dumps(feature(1, note="x" * 1000)).encode()
        before, between, after = (b'{"features":[', b",", b"]}")
        if form == "sequence":
            before, between, after = b" ", b"\n", b"\n"
        self.pieces = chain([before, item], (between + item for _ in range(count - 1)), [after])

    def read1(self, _size):
        return next(self.pieces, b"")


@pytest.mark.parametrize("form", ["collection", "sequence"])
def test_memory_does_not_grow_with_the_number_of_features(form):
    """A hundred times the features, and hardly a byte more."""

    def most_memory(count):
        tracemalloc.start()
        given = sum(1 for _ in read_features(Flow(count, form)))
        most = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        assert given == count
        return most

    assert most_memory(20_000) < most_memory(200) + 10_000


def test_a_collection_is_whole_although_the_work_breaks_off():
    out = io.BytesIO()

    def stopped():
        with writing(out, Form.COLLECTION) as write:
            write([json.dumps(ONE)])
            write([json.dumps(TWO)])
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        stopped()
    assert json.loads(out.getvalue()) == collection(ONE, TWO)


@pytest.mark.parametrize("form", list(Form))
def test_no_feature_is_no_text(form):
    out = io.BytesIO()
    with writing(out, form) as write:
        write([])
    assert out.getvalue() == b""


def test_separated_features_each_follow_a_record_separator():
    out = io.BytesIO()
    with writing(out, Form.SEPARATED) as write:
        write(["{}", "{}"])
        write(["{}"])
    assert out.getvalue() == b"\x1e{}\n\x1e{}\n\x1e{}\n"
