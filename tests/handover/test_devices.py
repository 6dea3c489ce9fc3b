"""Files by device: the page names what is there and nothing else, and marks hold each hazard."""

import re
import zipfile
from pathlib import Path

import numpy as np
import pytest
from sample_layouts import SAMPLES, paper_layout, sample_layout

from geolayout.appraisal.cautions import cautions
from geolayout.handover.devices import readme_text, write_devices
from geolayout.handover.folder import files_in
from geolayout.handover.matchcode import match_code
from geolayout.handover.tables import ground_table, on_wgs84
from geolayout.handover.zipped import ZIP, write_zip

NAMED = re.compile(r"^(\S+?/?): ", flags=re.M)


def written(layout, folder):
    folder.mkdir(exist_ok=True)
    tables = {"ground": on_wgs84(ground_table(layout), layout.field.frame)}
    write_devices(layout, cautions(layout), tables, folder)
    return files_in(folder)


@pytest.fixture(scope="module", params=["pond_piece", "market_plots", "ridge_road"])
def devices(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp("devices")
    return sample_layout(request.param), folder, written(sample_layout(request.param), folder)


def test_every_file_is_named_on_the_page_and_nothing_else(devices):
    layout, _, files = devices
    named = NAMED.findall(readme_text(layout, (), files).split("What is for", 1)[1])
    for name in files:
        assert any(name.startswith(one) for one in [*named, "phone/field.kml"]), name
    for one in named:
        assert any(name.startswith(one) for name in files), one


def test_no_folder_is_deeper_than_a_medium_needs(devices):
    _, _, files = devices
    assert max(name.count("/") for name in files if "/TASKDATA/" not in name) == 1


def test_the_page_says_field_code_and_hazards_first(devices):
    layout, _, files = devices
    said = cautions(layout)
    text = " ".join(readme_text(layout, said, files).split())
    assert text.startswith(layout.field.name)
    assert match_code(layout) in text.split("HAZARDS")[0]
    for one in said:
        if one.severity == "hazard":
            assert " ".join(f"{one.sentence} {one.remedy} ({one.acknowledged})".split()) in text


def test_without_a_hazard_the_page_says_that_none_was_given():
    text = readme_text(paper_layout(), (), ())
    assert "HAZARDS: none was given. That does not mean there is none. Look." in text


def test_the_page_says_what_coordinates_are_fixed_to():
    text = " ".join(readme_text(paper_layout(), (), ()).split())
    assert "WGS 84 / UTM zone 32N (EPSG:32632)" in text
    assert "Nobody said which frame and epoch the correction service works in" in text
    # The field lies at 10 E, 52 N, a degree from the middle of zone 32: 68.6 km, so 0.9996 x
    # (1 + (68.6 / 6,384)^2 / 2) = 0.99966.
    assert "100 m on the ground are 99.966 m there" in text


def test_the_same_layout_gives_the_same_bytes(devices, tmp_path):
    layout, folder, files = devices
    assert written(layout, tmp_path) == files
    for name in files:
        assert (folder / name).read_bytes() == (tmp_path / name).read_bytes(), name


def test_no_file_names_a_place_on_this_machine(devices):
    _, folder, files = devices
    for name in files:
        assert str(folder.parent).encode() not in (folder / name).read_bytes(), name


def test_a_zip_holds_what_it_was_asked_to_hold_and_no_date(tmp_path):
    (tmp_path / "inner").mkdir()
    (tmp_path / "inner" / "a.txt").write_text("a" * 1000)
    (tmp_path / "b.png").write_bytes(bytes(range(256)))
    for name in ("one.zip", "two.zip"):
        write_zip(tmp_path, ["inner/a.txt", "b.png"], tmp_path / name)
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()
    with zipfile.ZipFile(tmp_path / "one.zip") as archive:
        assert archive.testzip() is None
        assert archive.namelist() == ["b.png", "inner/a.txt"]
        assert {one.date_time[0] for one in archive.infolist()} == {1980}
        assert archive.read("inner/a.txt") == b"a" * 1000
    assert Path(ZIP).suffix == ".zip"


@pytest.mark.parametrize("name", [n for n in SAMPLES if n not in ("two_halves", "windy_bank")])
def test_every_sample_has_a_hazard_with_a_place(name):
    """Or else the tests of marks would look at nothing."""
    layout = sample_layout(name)
    assert any(one.place is not None for one in cautions(layout) if one.severity == "hazard")
    assert np.isfinite(layout.field.land.bounds).all()
