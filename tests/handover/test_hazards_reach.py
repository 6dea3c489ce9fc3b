"""
Every kind of hazard reaches every output, acknowledged or not; none can be silenced.

For each kind a small invented plan brings it. It is laid out and checked as a person would do it,
and what comes out is searched: the terminal, the JSON, the two summaries and the map.
"""

import json
import re
from dataclasses import dataclass
from pathlib import Path

import ezdxf
import gpxpy
import numpy as np
import pdfplumber
import pyogrio
import pytest
from click.testing import CliRunner
from hazard_plans import EVERY, FIRST_OF, FRAME, KEY, ON_FIELD, PLAN, feature, flat, home
from lxml import etree
from matplotlib.figure import Figure
from pyproj import Transformer

from geolayout.appraisal.hazards.words import HAZARDS
from geolayout.apps.cli import cli
from geolayout.handover.pictures.letters import HAZARD_LETTERS

FORBIDDEN = re.compile(
    r"\b(safe|safely|safety|legal|legally|compliant|clear|cleared)\b|✓|✔", re.IGNORECASE
)

LOOKED = "acknowledged by the grower (invented) on 2027-01-15"
OPEN = "not acknowledged"


@dataclass(frozen=True)
class Outputs:
    """What came out of one plan."""

    laid: str
    laid_json: dict
    summary: dict
    summary_text: str
    checked: str
    checked_json: dict
    letters: tuple[tuple[str, float, float], ...]
    triangles: tuple[tuple[float, float], ...]
    folder: Path


def run(*words):
    result = CliRunner().invoke(cli, [str(word) for word in words])
    assert result.exit_code == 0, result.output
    return result.stdout


def outputs(folder, key, *, signed):
    """Lay a plan out and check it, keeping the map as what was drawn on it."""
    maps = []

    def keep(figure, out, **_):
        maps.append(figure)
        out.write(b"")

    plan = home(folder, key, signed=signed)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Figure, "savefig", keep)
        laid = run("lay", plan, "--out", folder / "out")
        laid_json = run("lay", plan, "--out", folder / "again", "--json")
    axes = maps[0].axes[0]
    letters = [(text.get_text(), *text.xy) for text in axes.texts if hasattr(text, "xy")]
    marks = [line for line in axes.lines if line.get_marker() == "^"]
    return Outputs(
        flat(laid),
        json.loads(laid_json),
        json.loads((folder / "out" / "summary.json").read_bytes()),
        flat((folder / "out" / "summary.txt").read_text("utf-8")),
        flat(run("check", plan)),
        json.loads(run("check", plan, "--json")),
        tuple(letters),
        tuple((float(m.get_xdata()[0]), float(m.get_ydata()[0])) for m in marks),
        folder / "out",
    )


@pytest.fixture(scope="module")
def said(tmp_path_factory):
    """Give the outputs of a hazard's plan, each made once."""
    made = {}

    def of(key, *, signed):
        if (key, signed) not in made:
            made[key, signed] = outputs(tmp_path_factory.mktemp("reach"), key, signed=signed)
        return made[key, signed]

    return of


def cautions_in(summary):
    """Return all cautions of a summary, hazards and others."""
    return [*summary["hazards"], *summary["cautions"]]


def caution_of(summary, key):
    """Return the caution of a hazard in a summary."""
    (one, *_) = [c for c in cautions_in(summary) if c["key"] == KEY.get(key, key)]
    return one


def test_a_consent_is_printed_wherever_the_plan_is_told(said):
    out = said("consent", signed=False)
    told = (
        "well: the water board (invented) was asked on 2027-01-08 for trees beside it. "
        "Answer: none yet."
    )
    assert [told in text for text in (out.laid, out.summary_text, out.checked)] == [True] * 3
    assert out.summary["consents"] == [
        {
            "feature": "well",
            "owner": "the water board (invented)",
            "for_what": "trees beside it",
            "asked": "2027-01-08",
            "answer": "none yet",
        }
    ]


BOTH = pytest.mark.parametrize("signed", [False, True], ids=["not acknowledged", "acknowledged"])


@BOTH
@pytest.mark.parametrize("key", EVERY)
def test_a_hazard_reaches_every_output_of_lay(said, key, signed):
    out = said(key, signed=signed)
    caution = caution_of(out.summary, key)
    assert caution["hazard"] == key
    assert caution["acknowledged"] == (LOOKED if signed else OPEN)
    assert caution_of(out.laid_json, key) == caution
    for text in (out.laid, out.summary_text):
        assert flat(f"{caution['sentence']} {caution['remedy']}") in text
    assert f"{caution['remedy']} ({caution['acknowledged']})" in out.summary_text


def on_paper(path):
    """Return the words of a sheet without heads and feet of its pages, as another reader has it."""
    with pdfplumber.open(path) as file:
        pages = [page.crop((0, 70, page.width, page.height - 48)) for page in file.pages]
        return flat(" ".join(page.extract_text() for page in pages))


@BOTH
@pytest.mark.parametrize("key", EVERY)
def test_a_hazard_reaches_the_sheets(said, key, signed):
    out = said(key, signed=signed)
    caution = caution_of(out.summary, key)
    for name in ("job_sow.pdf", "job_spray.pdf", "season.pdf"):
        told = on_paper(out.folder / "sheets" / name)
        assert flat(caution["sentence"]) in told, name
        assert "absence" in caution["key"] or flat(caution["remedy"]) in told, name


@BOTH
@pytest.mark.parametrize("key", ON_FIELD)
def test_a_hazard_of_the_field_reaches_check(said, key, signed):
    out = said(key, signed=signed)
    caution = caution_of(out.summary, key)
    assert flat(f"{caution['sentence']} {caution['remedy']}") in out.checked
    assert json.dumps(caution["sentence"]) in json.dumps(out.checked_json)


@BOTH
@pytest.mark.parametrize("key", HAZARDS)
def test_a_hazard_with_a_place_stands_on_the_map_by_symbol_and_letter(said, key, signed):
    out = said(key, signed=signed)
    hazards = out.summary["hazards"]
    letter = HAZARD_LETTERS[[one["key"] for one in hazards].index(FIRST_OF[key])]
    place = tuple(caution_of(out.summary, key)["place_m"])
    assert any(
        name == letter and (x, y) == pytest.approx(place, abs=1e-6) for name, x, y in out.letters
    )
    assert any(mark == pytest.approx(place, abs=1e-6) for mark in out.triangles)


def in_task_data(folder, version):
    root = etree.parse(str(folder / version / "TASKDATA" / "TASKDATA.XML"))
    return [
        (point.get("B") or "", (float(point.get("D")), float(point.get("C"))))
        for point in root.iter("PNT")
    ]


def in_gpx(folder):
    data = gpxpy.parse((folder / "phone" / "field.gpx").read_text("utf-8"))
    return [(one.name, (one.longitude, one.latitude)) for one in data.waypoints]


def in_kmz(folder):
    table = pyogrio.read_dataframe(folder / "phone" / "field.kmz", layer="Hazards")
    return [(one.Name, (one.geometry.x, one.geometry.y)) for one in table.itertuples()]


def in_geopackage(folder):
    table = pyogrio.read_dataframe(folder / "gis" / "layout.gpkg", layer="hazards")
    rows = zip(table["letter"], table["hazard"], table.geometry, strict=True)
    return [(f"HAZARD {letter} {kind}", (at.x, at.y)) for letter, kind, at in rows]


def in_drawing(folder):
    (path,) = (folder / "rover").iterdir()
    texts = ezdxf.readfile(path).modelspace().query('TEXT[layer=="HAZARD"]')
    back = Transformer.from_crs("EPSG:32632", "EPSG:4326", always_xy=True)
    return [(one.dxf.text, back.transform(*one.dxf.insert.vec2)) for one in texts]


FILES = {
    "task data 4.3": lambda folder: in_task_data(folder, "taskdata_4"),
    "task data 3.3": lambda folder: in_task_data(folder, "taskdata_3"),
    "GPX": in_gpx,
    "KMZ": in_kmz,
    "GeoPackage": in_geopackage,
    "DXF": in_drawing,
}
"""Files that can carry a place: a reader of another hand for each, giving names and lon/lat."""


@BOTH
@pytest.mark.parametrize("key", HAZARDS)
@pytest.mark.parametrize("name", FILES)
def test_a_hazard_with_a_place_is_named_there_in_every_file(said, name, key, signed):
    out = said(key, signed=signed)
    hazards = out.summary["hazards"]
    letter = HAZARD_LETTERS[[one["key"] for one in hazards].index(FIRST_OF[key])]
    place = caution_of(out.summary, key)["place_m"]
    marks = [
        FRAME.metres(np.array([lonlat]))[0]
        for told, lonlat in FILES[name](out.folder)
        if told == f"HAZARD {letter} {key}"[:32]
    ]
    assert any(np.allclose(mark, place, atol=0.002) for mark in marks)


@BOTH
@pytest.mark.parametrize("key", EVERY)
def test_a_hazard_is_told_on_the_page_of_the_folder(said, key, signed):
    out = said(key, signed=signed)
    caution = caution_of(out.summary, key)
    page = flat((out.folder / "README.txt").read_text("utf-8"))
    if caution in out.summary["hazards"]:
        told = f"{caution['sentence']} {caution['remedy']} ({caution['acknowledged']})"
        assert flat(told) in page
    assert FORBIDDEN.search(page) is None


@pytest.mark.parametrize("key", EVERY)
def test_acknowledging_takes_no_sentence_away(said, key):
    without, with_it = said(key, signed=False), said(key, signed=True)
    # Whoever acknowledges is one name more in the files: that sentence alone counts anew.
    sentences = [
        {
            one["sentence"]
            for one in cautions_in(out.summary)
            if "named in the plan" not in one["sentence"]
        }
        for out in (without, with_it)
    ]
    assert sentences[0] <= sentences[1]


@pytest.mark.parametrize("key", EVERY)
def test_no_sentence_that_is_printed_promises_anything(said, key):
    told = [
        text
        for one in cautions_in(said(key, signed=False).summary)
        for text in (one["sentence"], one["remedy"], one["acknowledged"])
    ]
    assert len(told) > 20
    assert [text for text in told if FORBIDDEN.search(text)] == []


def test_at_most_five_hazards_are_told_first_and_the_rest_is_counted(tmp_path):
    plan = home(tmp_path, "overhead line", signed=False)
    kinds = ["overhead line", "buried pipe", "pond", "ditch", "pit", "bridge", "right of way"]
    places = [feature(kind, -25.0 + 7 * i, 0.0, as_line=True) for i, kind in enumerate(kinds)]
    plan.write_text(PLAN + "".join(places))
    laid = run("lay", plan, "--out", tmp_path / "out")
    count = len(json.loads((tmp_path / "out" / "summary.json").read_bytes())["hazards"])
    assert count > 5
    assert f"{count - 5} more" in flat(laid)
