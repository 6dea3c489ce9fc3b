"""
Every file of an output folder tells its hazards, or stands on a list that says why it does not.

A folder is walked name by name, so that a file that comes new to it fails here until it is read.
"""

import csv
import json
import zipfile
from fnmatch import fnmatch

import ezdxf
import gpxpy
import icalendar
import pdfplumber
import pyogrio
import pytest
from click.testing import CliRunner
from hazard_plans import feature, flat, home
from lxml import etree

from geolayout.apps.cli import cli
from geolayout.handover.words.hazards import NO_HAZARD

SEASONS = """[[season]]
year = 2027
[[season]]
year = 2028
"""


def plan_in(folder):
    """Write a plan with two hazards, trees and two seasons."""
    plan = home(folder, "slope", signed=False)
    drawn = [feature("overhead line", 3.0, 5.0, as_line=True), feature("pond", -9.0, -8.0)]
    plan.write_text("".join([plan.read_text(), *drawn, SEASONS]))
    return plan


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("walk")
    words = ["lay", str(plan_in(place)), "--out", str(place / "out")]
    result = CliRunner().invoke(cli, words)
    assert result.exit_code == 0, result.output
    return place / "out"


@pytest.fixture(scope="module")
def hazards(folder):
    """Give what is to be told: the hazards' sentences, whole; and the names of their marks."""
    found = json.loads((folder / "summary.json").read_bytes())["hazards"]
    assert len(found) >= 2
    assert all(one["acknowledged"] for one in found)
    return found


def told_in(text, hazards):
    """Tell which hazards a text holds as they are told everywhere."""
    words = flat(text)
    whole = (f"{one['sentence']} {one['remedy']} ({one['acknowledged']})" for one in hazards)
    return [flat(one) in words for one in whole]


def text_of(path):
    return path.read_text("utf-8")


def paper(path):
    with pdfplumber.open(path) as file:
        pages = [page.crop((0, 70, page.width, page.height - 48)) for page in file.pages]
        return " ".join(page.extract_text() for page in pages)


def map_legend(path):
    """Return the words of a map, whose legend stands in a column of its own beside the map."""
    with pdfplumber.open(path) as file:
        return " ".join(word["text"] for word in file.pages[0].extract_words(use_text_flow=True))


def planting_sheet(path):
    return text_of(path).replace("[", "(").replace("]", ")")


def calendar(path):
    """Return the shortest description of a calendar's entries: every one has to tell."""
    entries = icalendar.Calendar.from_ical(text_of(path)).walk("VEVENT")
    return min((str(one["DESCRIPTION"]) for one in entries), key=len)


def in_json(path):
    hazards = json.loads(path.read_bytes())["hazards"]
    return " ".join(f"{h['sentence']} {h['remedy']} ({h['acknowledged']})" for h in hazards)


def in_geojson(path):
    shapes = [one["properties"] for one in json.loads(path.read_bytes())["features"]]
    return " ".join(f"{h['sentence']} {h['remedy']} ({h['acknowledged']})" for h in shapes)


WORDS = {
    "README.txt": text_of,
    "*/README.txt": text_of,
    "field_walks.txt": text_of,
    "summary.txt": text_of,
    "pegs/planting_sheet.txt": planting_sheet,
    "summary.json": in_json,
    "hazards.geojson": in_geojson,
    "season.ics": calendar,
    "sheets/strip_map.pdf": map_legend,
    "sheets/*.pdf": paper,
}
"""Files that tell hazards in whole sentences, by the first pattern that a name meets."""


def names_in_taskdata(path):
    return [one.get("B") for one in etree.parse(str(path)).iter("PNT")]


def names_in_gpx(path):
    return [one.name for one in gpxpy.parse(text_of(path)).waypoints]


def names_in_kml(path):
    return list(pyogrio.read_dataframe(path, layer="Hazards")["Name"])


def names_in_package(path):
    table = pyogrio.read_dataframe(path, layer="hazards")
    return [f"HAZARD {a} {b}" for a, b in zip(table["letter"], table["hazard"], strict=True)]


def names_in_drawing(path):
    return [one.dxf.text for one in ezdxf.readfile(path).modelspace().query("TEXT")]


MARKS = {
    "*/TASKDATA/TASKDATA.XML": names_in_taskdata,
    "phone/*.gpx": names_in_gpx,
    "phone/*.km?": names_in_kml,
    "gis/*.gpkg": names_in_package,
    "rover/*.dxf": names_in_drawing,
}
"""Files that mark hazards at their places by name."""

NEED_NOT = {
    "plan.toml": "what the user wrote, byte by byte",
    "plan_resolved.toml": "the same plan in figures; it states features and acknowledgements",
    "field.geojson": "the outline alone, which the plan reads",
    "feature_*.geojson": "the features themselves, which the plan reads",
    "*.geojson": "one layer a file, and hazards.geojson is the one for hazards",
    "guidance/*.*": "lines in a form that has no room for a sentence; README.txt beside them has",
    "prescription/*.*": "rates in a form that has no room for a sentence; README.txt beside them",
    "gis/*.*": "cells or one layer; layout.gpkg beside them has the hazards",
    "*/TASKDATA/GRD*.bin": "rates by cell; TASKDATA.XML beside them has the hazards",
    "handover.zip": "the folder again, looked into by a test of its own",
    "*.png": "pictures; that the map marks hazards is tested where it is drawn",
    "pegs/*.csv": "places to peg, read by receivers; the planting sheet beside them has them",
}
"""Files without hazards, by the first pattern that a name meets, and why."""


def first_of(table, name):
    return next((table[pattern] for pattern in table if fnmatch(name, pattern)), None)


def names(folder):
    return sorted(one.relative_to(folder).as_posix() for one in folder.rglob("*") if one.is_file())


def test_every_file_has_a_reader_or_a_reason(folder):
    tables = (WORDS, MARKS, NEED_NOT)
    lost = [name for name in names(folder) if not any(first_of(t, name) for t in tables)]
    assert lost == [], "read these files for hazards, or say why they need not tell them"


def test_hazards_are_told_whole_in_every_file_with_words(folder, hazards):
    readers = {name: first_of(WORDS, name) for name in names(folder)}
    placed = [one for one in hazards if one["place_m"] is not None]
    wrong = {
        name: told
        for name, reader in readers.items()
        if reader is not None
        for told in [told_in(reader(folder / name), placed if "geojson" in name else hazards)]
        if not told or not all(told)
    }
    assert wrong == {}
    assert sum(reader is not None for reader in readers.values()) > 10


def test_hazards_with_a_place_are_marked_in_every_file_with_places(folder, hazards):
    letters = "abcde"
    wanted = {
        f"HAZARD {letters[i]} {one['hazard']}"[:32]
        for i, one in enumerate(hazards)
        if one["place_m"] is not None
    }
    found = {
        name: wanted - set(first_of(MARKS, name)(folder / name))
        for name in names(folder)
        if first_of(MARKS, name) is not None and first_of(WORDS, name) is None
    }
    assert len(found) > 6
    assert {name: lost for name, lost in found.items() if lost} == {}


def test_the_zip_holds_the_folder_again(folder):
    with zipfile.ZipFile(folder / "handover.zip") as held:
        inside = {name: held.read(name) for name in held.namelist()}
    beside = {n: (folder / n).read_bytes() for n in names(folder)}
    assert inside == {n: b for n, b in beside.items() if n not in {"handover.zip", "summary.json"}}


def test_a_folder_without_hazards_says_that_none_was_given(tmp_path):
    plan = home(tmp_path, "slope", signed=False)
    words = ["lay", str(plan), "--out", str(tmp_path / "out")]
    assert CliRunner().invoke(cli, words).exit_code == 0
    told = {"README.txt", "guidance/README.txt", "taskdata_4/README.txt", "prescription/README.txt"}
    out = tmp_path / "out"
    for name in told & set(names(out)):
        assert NO_HAZARD in text_of(out / name)


def test_a_planting_sheet_tells_hazards_and_its_pegs_are_places_alone(tmp_path, hazards):
    words = ["pegs", str(plan_in(tmp_path)), "--out", str(tmp_path / "pegs")]
    result = CliRunner().invoke(cli, words)
    assert result.exit_code == 0, result.output
    sheet = flat(text_of(tmp_path / "pegs" / "planting_sheet.txt"))
    for one in hazards:
        assert flat(f"{one['sentence']} {one['remedy']} [{one['acknowledged']}]") in sheet
    with (tmp_path / "pegs" / "pegs_trees.csv").open(encoding="utf-8", newline="") as file:
        row = next(csv.DictReader(file))
    assert "hazard" not in " ".join(row)
    assert (float(row["lon"]), float(row["lat"])) == pytest.approx((10.0, 52.0), abs=0.01)
