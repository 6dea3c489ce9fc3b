"""A handover read back: as written, moved, changed, torn. All invented."""

import json
import shutil
import zipfile

import geopandas as gpd
import numpy as np
import pytest
from sample_layouts import SAMPLE_FOLDER

from geolayout import jobs
from geolayout.errors import GeolayoutError
from geolayout.handover.files.prescription import prescriptions
from geolayout.jobs.readback import back_dict, read_back
from geolayout.jobs.writing import write


@pytest.fixture(scope="module")
def handed(tmp_path_factory):
    """The handover of a sample: the layout, and its folder, which tests copy before they change."""
    job = jobs.resolve(jobs.read(SAMPLE_FOLDER / "windy_bank.toml"))
    layout = jobs.lay(job)
    folder = tmp_path_factory.mktemp("handed") / "out"
    write(job, layout, folder)
    return layout, folder


@pytest.fixture
def folder(handed, tmp_path):
    """A copy of the handover to change."""
    return shutil.copytree(handed[1], tmp_path / "out")


def test_a_handover_as_written_is_the_plans(handed):
    layout, folder = handed
    back = read_back(folder)
    assert back.differences == ()
    assert back.layout.field.area == pytest.approx(layout.field.area, rel=1e-9)
    assert [line.off_m for line in back.references] == pytest.approx([0.0], abs=1e-3)
    assert [one.lines for one in back.guidance] == [one.planned for one in back.guidance]
    assert max(one.off_m for one in back.guidance) < 1e-3
    for one, planned in zip(back.rates, prescriptions(layout), strict=True):
        assert (one.product, one.unit) == (planned.product, planned.unit)
        assert one.amount == pytest.approx(one.planned, rel=1e-4)  # areas to a square metre
        assert one.changed_m2 < 0.5


def test_its_zip_reads_as_the_folder_does(handed):
    _, folder = handed
    of_zip, of_folder = back_dict(read_back(folder / "handover.zip")), back_dict(read_back(folder))
    assert of_zip == of_folder


def test_a_reference_line_moved_by_a_terminal_shows_by_how_much(folder):
    path = folder / "reference_line.geojson"
    told = json.loads(path.read_text("utf-8"))
    line = told["features"][0]["geometry"]["coordinates"]
    # 1e-5 degrees of latitude are 1.112 m north; the line runs 99.5 degrees: x cos 9.5 = 1.097 m
    told["features"][0]["geometry"]["coordinates"] = [[lon, lat + 1e-5] for lon, lat in line]
    path.write_text(json.dumps(told), "utf-8")
    back = read_back(folder)
    assert back.references[0].off_m == pytest.approx(1.097, abs=0.005)
    assert "lies 1.10 m from the plan's" in back.differences[0]


def test_a_guidance_line_less_and_one_moved_are_told(folder):
    path = folder / "guidance" / "spray.shp"
    table = gpd.read_file(path)
    table = table.iloc[1:].copy()
    table.geometry = table.geometry.translate(yoff=1e-5)
    table.to_file(path)
    back = read_back(folder)
    one = next(one for one in back.guidance if one.file == "spray.shp")
    assert (one.lines, one.planned) == (25, 26)
    assert 1.0 < one.off_m < 1.2
    assert len(back.differences) == 2


def test_a_rate_set_by_hand_is_told_with_its_ground(handed, folder):
    path = folder / "prescription" / "springba.shp"
    table = gpd.read_file(path)
    table.loc[table["RATE"] == 320.0, "RATE"] = 300.0
    table.to_file(path)
    back = read_back(folder)
    (one,) = [one for one in back.rates if one.product == "spring barley"]
    wide = prescriptions(handed[0])[0].zones[0].wide.area
    assert one.changed_m2 == pytest.approx(wide, rel=1e-4)
    assert one.amount == pytest.approx(one.planned * 300 / 320, rel=1e-4)
    assert "another rate of spring barley" in back.differences[0]


def test_a_product_that_is_gone_is_missed(folder):
    for path in (folder / "prescription").glob("whiteclo.*"):
        path.unlink()
    (folder / "reference_line.geojson").unlink()
    assert read_back(folder).differences == (
        "There is no reference line.",
        "The rates of white clover (spread clover) are not there.",
    )


def test_a_product_the_plan_has_not_is_all_changed(folder):
    path = folder / "prescription" / "whiteclo.shp"
    table = gpd.read_file(path)
    table["PRODUCT"] = "red clover"
    table.to_file(path)
    (one,) = [one for one in read_back(folder).rates if one.product == "red clover"]
    assert one.planned == 0.0
    assert one.changed_m2 > 30_000.0


def test_a_rate_without_a_figure_is_refused(folder):
    path = folder / "prescription" / "whiteclo.shp"
    table = gpd.read_file(path)
    table["RATE"] = np.nan
    table.to_file(path)
    with pytest.raises(GeolayoutError, match="no figure in column RATE"):
        read_back(folder)


def test_a_summary_that_is_no_json_does_not_stop_it(folder):
    (folder / "summary.json").write_text("{", "utf-8")
    assert read_back(folder).differences == ()


def _zip(path, files):
    with zipfile.ZipFile(path, "w") as archive:
        for name, text in files.items():
            archive.writestr(name, text)
    return path


@pytest.mark.parametrize(
    ("files", "match"),
    [
        pytest.param({"a.txt": "x"}, "holds no plan_resolved.toml", id="something else"),
        pytest.param({"../plan_resolved.toml": ""}, "other folders", id="a name that leads out"),
        pytest.param({"/etc/plan_resolved.toml": ""}, "the root", id="a name from the root"),
        pytest.param({"plan_resolved.toml": "schema = "}, "plan|TOML", id="a torn plan"),
    ],
)
def test_a_zip_that_is_none_is_refused(tmp_path, files, match):
    with pytest.raises(GeolayoutError, match=match):
        read_back(_zip(tmp_path / "x.zip", files))


def test_what_is_no_folder_is_refused(tmp_path):
    with pytest.raises(GeolayoutError, match="no folder and no zip"):
        read_back(tmp_path / "gone")
    (tmp_path / "torn.zip").write_bytes(b"PK\x03\x04")
    with pytest.raises(GeolayoutError, match="not a whole zip"):
        read_back(tmp_path / "torn.zip")
    with pytest.raises(GeolayoutError, match=r"holds no plan_resolved\.toml"):
        read_back(tmp_path)
