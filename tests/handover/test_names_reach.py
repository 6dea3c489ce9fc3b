"""Names with accents, in Cyrillic and long ones stand in every file, whole or cut with a note."""

import json

import ezdxf
import gpxpy
import pdfplumber
import pyogrio
import pytest
import shapefile
from click.testing import CliRunner
from hazard_plans import home
from lxml import etree

from geolayout.apps.cli import cli

FIELD = "Поле за рекой, Große Wiese"
CROP = "ячмень яровой"
WORK = "säen und eggen über alles, was dort noch steht"
POND = "étang du père Goriot, celui qui déborde chaque hiver"
HOLDS = 32
"""Letters of a name that task data hold (ISO 11783-10, designators of 32 characters)."""

FEATURE = f"""[[feature]]
kind = "pond"
name = "{POND}"
at = [10.0001, 52.0001]
radius = 3.0
keep_clear = 2.0
measured_from = "drawn edge"
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("names")
    plan = home(place, "slope", signed=False)
    said = plan.read_text("utf-8").replace("[field]", f'[field]\nname = "{FIELD}"', 1)
    said = said.replace('"oats", spacing', f'"{CROP}", rate = {{ kg_per_ha = 150 }}, spacing')
    plan.write_text(said.replace('"sow"', f'"{WORK}"') + FEATURE, "utf-8")
    result = CliRunner().invoke(cli, ["lay", str(plan), "--out", str(place / "out")])
    assert result.exit_code == 0, result.output
    return place / "out"


def told(path):
    return " ".join(path.read_text("utf-8").split())


def test_texts_for_people_have_them_whole(folder):
    summary = told(folder / "summary.txt")
    assert all(name in summary for name in (FIELD, CROP, WORK, POND))
    assert all(name in told(folder / "guidance" / "README.txt") for name in (WORK, POND))
    assert json.loads((folder / "summary.json").read_bytes())["field"]["name"] == FIELD


def test_sheets_have_them_whole(folder):
    (job,) = (path for path in (folder / "sheets").glob("job_*.pdf") if "spray" not in path.name)
    with pdfplumber.open(job) as file:
        words = " ".join(" ".join(page.extract_text().split()) for page in file.pages)
    assert all(name in words for name in (FIELD, CROP, WORK))


def test_files_for_maps_and_phones_have_them_whole(folder):
    package = folder / "gis" / "layout.gpkg"
    assert CROP in set(pyogrio.read_dataframe(package, layer="rows")["crop"])
    assert WORK in set(pyogrio.read_dataframe(package, layer="passes")["operation"])
    assert POND in told(folder / "phone" / "field.kml")
    points = gpxpy.parse((folder / "phone" / "field.gpx").read_text("utf-8")).waypoints
    assert any(POND in f"{one.name} {one.description}" for one in points)
    (drawing,) = (folder / "rover").glob("*.dxf")
    texts = [one.dxf.text for one in ezdxf.readfile(drawing).modelspace().query("TEXT")]
    assert any(POND in text for text in texts)


def test_shapefiles_have_them_whole_under_a_plain_short_name(folder):
    lines = [path for path in (folder / "guidance").glob("*.shp") if path.stem != "spray"]
    rates = list((folder / "prescription").glob("*.shp"))
    assert len(lines) == len(rates) == 1
    for path in (*lines, *rates):
        assert path.stem.isascii()
        assert len(path.stem) <= 8
        assert f"{path.stem}.shp" in told(path.with_name("README.txt"))
    with shapefile.Reader(str(lines[0]), encoding="utf-8") as file:
        cells = {str(cell) for record in file.records() for cell in record}
    assert any(cell.startswith(WORK) for cell in cells)


@pytest.mark.parametrize("version", ["taskdata_4", "taskdata_3"])
def test_task_data_have_them_cut_and_say_so(folder, version):
    tree = etree.parse(str(folder / version / "TASKDATA" / "TASKDATA.XML"))
    names = {value for one in tree.iter() for key, value in one.attrib.items() if key == "B"}
    assert any(name.startswith(WORK[:20]) and len(name) <= HOLDS for name in names)
    note = told(folder / version / "README.txt")
    assert f"Names cut to {HOLDS} letters" in note
    assert WORK in note.partition("Names cut")[2]
    assert POND in note.partition("Names cut")[2]


def test_the_planting_sheet_has_them_whole(folder):
    sheet = told(folder / "pegs" / "planting_sheet.txt")
    assert FIELD in sheet
    assert POND in sheet
