"""Layers as FlatGeobuf and GeoParquet: readers that did not write them find the layout in them."""

import json
import re

import fiona
import numpy as np
import pytest
import shapely
from click.testing import CliRunner
from pyarrow import parquet
from sample_layouts import SAMPLE_FOLDER, SAMPLES, STRIPS, sample_layout
from shapely.geometry import shape
from strategies import no_faults_on, real_fields

from geolayout.apps.cli import cli
from geolayout.errors import FileError
from geolayout.handover.files import asked as askedfiles
from geolayout.handover.files.asked import ASKED, check_asked, write_asked
from geolayout.handover.files.geopackage import feature_tables, field_table, hazard_table
from geolayout.handover.tables import (
    ground_table,
    on_wgs84,
    passes_table,
    rounds_table,
    rows_table,
    trees_table,
)
from geolayout.plan.parse import parse_plan

FORMATS = {"flatgeobuf": "fgb", "geoparquet": "parquet"}
PLAN = parse_plan(
    STRIPS.replace("width = 10.0", "width = 12.0").replace(
        'bearing = 0.0\nfrom = "west"', 'choose = "longest edge"'
    )
)


def tables_of(layout):
    makers = (ground_table, rows_table, trees_table, passes_table, rounds_table)
    drawn = {
        make.__name__.removesuffix("_table"): on_wgs84(make(layout), layout.field.frame)
        for make in makers
    }
    own = {"hazards": hazard_table(layout, ()), "field": field_table(layout)}
    return {**own, **feature_tables(layout), **drawn}


@pytest.fixture(scope="module", params=SAMPLES)
def written(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp(request.param)
    tables = tables_of(sample_layout(request.param))
    write_asked(ASKED, tables, folder)
    return tables, folder


def flatgeobuf(path):
    """Read by fiona, whose GDAL is another build than the one that wrote."""
    with fiona.open(path) as sheet:
        assert sheet.driver == "FlatGeobuf"
        assert sheet.crs.to_epsg() == 4326
        rows = list(sheet)
    drawn = [shape(row["geometry"]) for row in rows]
    return drawn, [dict(row["properties"]) for row in rows]


def geoparquet(path):
    """Read as a plain table of bytes and the text beside it, as the standard describes them."""
    table = parquet.read_table(path)
    told = json.loads(table.schema.metadata[b"geo"])
    assert (told["version"], told["primary_column"]) == ("1.1.0", "geometry")
    column = told["columns"]["geometry"]
    assert (column["encoding"], column["crs"]["id"]["code"]) == ("WKB", 4326)
    drawn = shapely.from_wkb(table["geometry"].to_pylist())
    assert shapely.total_bounds(drawn) == pytest.approx(column["bbox"], abs=1e-12)
    bounds = [list(one.values()) for one in table["bbox"].to_pylist()]
    assert np.allclose(bounds, shapely.bounds(drawn), atol=1e-6)  # 32-bit numbers, rounded outwards
    rows = table.drop_columns(["geometry", "bbox"]).to_pylist()
    return list(drawn), rows


READ = {"flatgeobuf": flatgeobuf, "geoparquet": geoparquet}


def in_words(drawn, rows):
    """Return features as words, in an order of their own: an index of places sorts them anew."""
    return sorted(
        json.dumps([shapely.normalize(as_multi(one)).wkt, row], sort_keys=True, default=float)
        for one, row in zip(drawn, rows, strict=True)
    )


def as_multi(geometry):
    return shapely.MultiPolygon([geometry]) if geometry.geom_type == "Polygon" else geometry


def faults(tables, folder):
    """Say which layer is not read back as it is in memory."""
    wrong = []
    for word, ending in FORMATS.items():
        filled = {name for name, table in tables.items() if len(table)}
        if {path.name for path in (folder / word).iterdir()} != {f"{n}.{ending}" for n in filled}:
            wrong.append(f"{word} has not one file a layer")
        for name in filled:
            table = tables[name]
            rows = table.drop(columns="geometry").to_dict("records")
            got = READ[word](folder / word / f"{name}.{ending}")
            if in_words(*got) != in_words(np.asarray(table.geometry.array), rows):
                wrong.append(f"{word} {name}")
    return wrong


def test_another_reader_gets_every_feature_of_every_layer_back(written):
    assert faults(*written) == []


def test_the_same_layers_give_the_same_bytes(written, tmp_path):
    tables, folder = written
    write_asked(ASKED, tables, tmp_path)
    for word in FORMATS:
        for path in (folder / word).iterdir():
            assert path.read_bytes() == (tmp_path / word / path.name).read_bytes(), path.name


def test_no_layer_names_a_place_on_this_machine(written):
    _, folder = written
    for path in folder.rglob("*.*"):
        assert str(folder.parent).encode() not in path.read_bytes(), path.name


def test_nothing_is_written_that_nobody_asked_for(tmp_path):
    tables = tables_of(sample_layout("pond_piece"))
    write_asked((), tables, tmp_path)
    assert list(tmp_path.iterdir()) == []
    write_asked(["flatgeobuf"], tables, tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["flatgeobuf"]


def test_geoparquet_without_its_library_is_refused_in_one_sentence_each(monkeypatch):
    monkeypatch.setattr(askedfiles, "find_spec", lambda _: None)
    with pytest.raises(FileError, match="pyarrow, which writes it, is not installed"):
        check_asked(["geoparquet"])
    check_asked(["flatgeobuf"])


def test_a_word_that_is_none_is_refused_with_those_there_are():
    with pytest.raises(FileError, match=re.escape(f"Ask for some of: {', '.join(ASKED)}.")):
        check_asked(["flatgeobuf", "spreadsheet"])


def test_lay_writes_what_is_asked_for_one_step_deep_and_lists_it(tmp_path):
    out = tmp_path / "out"
    plan = str(SAMPLE_FOLDER / "pond_piece.toml")
    also = [part for word in ASKED for part in ("--also", word)]
    result = CliRunner().invoke(cli, ["lay", plan, "--out", str(out), *also])
    assert result.exit_code == 0, result.output
    page = (out / "README.txt").read_text("utf-8")
    files = json.loads((out / "summary.json").read_text("utf-8"))["files"]
    for word in ASKED:
        assert (out / word).is_dir()
        assert f"\n{word}/: " in page
        assert any(name.startswith(f"{word}/") for name in files)


def test_lay_refuses_an_unknown_word_before_it_writes(tmp_path):
    out = tmp_path / "out"
    plan = str(SAMPLE_FOLDER / "pond_piece.toml")
    result = CliRunner().invoke(cli, ["lay", plan, "--out", str(out), "--also", "paper"])
    assert result.exit_code == 2
    assert "Ask for some of" in result.stderr
    assert not out.exists()


def check(fields, folder):
    """Read the files of every field that the plan fits on."""

    def asked_faults(layout, own):
        tables = tables_of(layout)
        write_asked(ASKED, tables, own)
        return faults(tables, own)

    no_faults_on(fields, PLAN, folder, asked_faults)


def test_layers_of_six_real_fields_come_back(tmp_path):
    check(real_fields(6, seed=1763), tmp_path)


@pytest.mark.every_field
@pytest.mark.parametrize("part", range(4))
def test_layers_of_200_real_fields_come_back(part, tmp_path):
    check(real_fields(200, seed=1764)[part::4], tmp_path)
