"""GeoParquet: its system, its columns, and files that unfold to too much (all invented)."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from boundary_files import AWAY, HOME
from pyproj import CRS

from geolayout.errors import FileError
from geolayout.land.files import parquet as parquet_module
from geolayout.land.files.parquet import read_parquet
from geolayout.land.files.source import Source

gpd = pytest.importorskip("geopandas")
pa = pytest.importorskip("pyarrow", reason="pyarrow is an extra")
pq = pytest.importorskip("pyarrow.parquet")


def frame(**columns):
    table = {"name": ["Home", "Away"], "no": [7, None], **columns}
    return gpd.GeoDataFrame(table, geometry=[HOME, AWAY], crs=4326)


def saved(folder, data, **options):
    path = folder / "farm.parquet"
    data.to_parquet(path, **options)
    return path


def read(path, layer=None):
    return read_parquet(Source(path), layer)


def with_note(path, change):
    """Write the file again, with its note on the columns of shapes changed."""
    table = pq.read_table(path)
    note = json.loads(table.schema.metadata[b"geo"])
    note = change(note) or note
    kept = {**table.schema.metadata, b"geo": json.dumps(note).encode()}
    pq.write_table(table.replace_schema_metadata(kept), path)
    return path


def test_rows_columns_and_system_are_kept(tmp_path):
    sheet = read(saved(tmp_path, frame()))
    first, second = sheet.rows
    assert first.geometry.equals(HOME)
    assert second.geometry.equals(AWAY)
    assert first.properties == {"name": "Home", "no": 7.0}
    assert second.properties == {"name": "Away", "no": None}
    assert (first.number, second.number) == ("1", "2")
    assert type(first.properties["no"]) is float
    assert sheet.crs.equals(CRS.from_epsg(4326), ignore_axis_order=True)
    assert sheet.findings == ()


def test_the_suffix_and_the_coding_of_shapes_make_no_difference(tmp_path):
    path = saved(tmp_path, frame(), geometry_encoding="geoarrow")
    assert read(path).rows[0].geometry.equals(HOME)
    named = path.rename(tmp_path / "farm.geoparquet")
    assert read(named).rows[1].geometry.equals(AWAY)


def test_another_system_is_kept_as_it_is(tmp_path):
    sheet = read(saved(tmp_path, frame().to_crs(25832)))
    assert sheet.crs == CRS.from_epsg(25832)
    assert sheet.rows[0].geometry.bounds[0] > 500_000


def test_a_silent_note_is_longitude_and_latitude_and_null_is_none(tmp_path):
    # GeoParquet 1.1, column metadata, crs: default OGC:CRS84; null for one that is not known.
    path = saved(tmp_path, frame())

    def without(note):
        del note["columns"]["geometry"]["crs"]

    def null(note):
        note["columns"]["geometry"]["crs"] = None

    assert read(with_note(path, without)).crs.to_authority() == ("OGC", "CRS84")
    assert read(with_note(path, null)).crs is None


def test_rows_without_a_shape_are_kept(tmp_path):
    data = frame()
    data.loc[1, "geometry"] = None
    first, second = read(saved(tmp_path, data)).rows
    assert first.geometry.equals(HOME)
    assert second.geometry is None


def test_the_primary_column_is_read_and_others_are_told(tmp_path):
    data = frame(other=gpd.GeoSeries([AWAY, HOME], crs=25832))
    sheet = read(saved(tmp_path, data))
    assert sheet.rows[0].geometry.equals(HOME)
    assert sheet.rows[0].properties == {"name": "Home", "no": 7.0}
    assert "other columns of shapes: other" in sheet.findings[0].sentence
    other = read(saved(tmp_path, data), "other")
    assert other.rows[0].geometry.equals(AWAY)
    assert other.crs == CRS.from_epsg(25832)
    assert other.findings == ()
    with pytest.raises(FileError, match="columns of shapes are: other, geometry"):
        read(saved(tmp_path, data), "third")


def test_a_parquet_file_of_figures_is_refused(tmp_path):
    path = tmp_path / "farm.parquet"
    pq.write_table(pa.table({"yield": [8.1]}), path)
    with pytest.raises(FileError, match="without shapes"):
        read(path)


@pytest.mark.parametrize(
    "change",
    [
        pytest.param(lambda note: note.update(primary_column="gone"), id="a column gone"),
        pytest.param(lambda note: note.update(columns={}), id="no columns"),
        pytest.param(lambda note: note.update(columns=7), id="a number for columns"),
        pytest.param(lambda note: note.pop("version"), id="no version"),
        pytest.param(
            lambda note: note["columns"]["geometry"].update(encoding="x"), id="a strange coding"
        ),
        pytest.param(
            lambda note: note["columns"]["geometry"].update(crs="nowhere"), id="no system"
        ),
        pytest.param(lambda _: ["geo"], id="a list"),
    ],
)
def test_a_broken_note_is_refused_in_one_line(tmp_path, change):
    path = with_note(saved(tmp_path, frame()), change)
    with pytest.raises(FileError, match="cannot be read as GeoParquet") as refusal:
        read(path)
    assert "\n" not in str(refusal.value)
    assert len(str(refusal.value)) < 500


def test_bytes_that_are_no_shapes_are_refused(tmp_path):
    path = saved(tmp_path, frame())
    table = pq.read_table(path)
    torn = pa.array([b"\x01\x03", b""], type=pa.binary())
    column = table.schema.get_field_index("geometry")
    pq.write_table(table.set_column(column, "geometry", torn), path)
    with pytest.raises(FileError, match="cannot be read as GeoParquet"):
        read(path)


def test_text_that_is_no_utf_8_is_refused(tmp_path):
    path = saved(tmp_path, frame())
    path.write_bytes(path.read_bytes().replace(b"Home", b"\x80ome"))
    with pytest.raises(FileError, match="cannot be read as GeoParquet"):
        read(path)


@pytest.mark.parametrize("kept", [0.05, 0.5, 0.99])
def test_a_torn_file_is_refused(tmp_path, kept):
    path = saved(tmp_path, frame())
    content = path.read_bytes()
    path.write_bytes(content[: int(len(content) * kept)])
    with pytest.raises(FileError, match="cannot be read as GeoParquet"):
        read(path)


def test_a_small_file_that_unfolds_without_end_is_refused(tmp_path):
    """3,000 rows of one text of a million letters, which a dictionary holds once."""
    path = saved(tmp_path, frame())
    table = pq.read_table(path)
    shape = table["geometry"][0].as_py()
    once = pa.DictionaryArray.from_arrays(pa.array([0] * 3000), ["x" * 1_000_000])
    bomb = pa.table({"name": once, "geometry": [shape] * 3000})
    pq.write_table(
        bomb.replace_schema_metadata(table.schema.metadata),
        path,
        compression="zstd",
        dictionary_pagesize_limit=2_000_000,
    )
    assert path.stat().st_size < 10_000
    with pytest.raises(FileError, match=r"holds 3,00\d MB"):
        read(path)


def test_a_list_of_equal_values_without_end_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(parquet_module, "_MAX_VALUES", 1000)
    path = saved(tmp_path, frame(list=[[1.0] * 600, [1.0] * 600]))
    # 2 names, 2 numbers, 2 shapes and 1,200 members of lists.
    with pytest.raises(FileError, match="1,206 values"):
        read(path)


def test_without_pyarrow_the_command_to_install_it_is_told(tmp_path):
    path = saved(tmp_path, frame())
    code = (
        "import sys; sys.modules['pyarrow'] = None\n"
        "from pathlib import Path\n"
        "from geolayout.errors import FileError\n"
        "from geolayout.land.files.formats import read_sheet\n"
        "try:\n    read_sheet(Path(sys.argv[1]), None)\n"
        "except FileError as error:\n    print(error.remedy)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(path)],
        cwd=Path(__file__).resolve().parents[3],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == "Run: pip install 'geolayout[parquet]'."
