"""The picture of a field as read: one sheet, at its scale, the same every time."""

import io
import xml.etree.ElementTree as ET

import pytest
import shapely
from matplotlib.figure import Figure
from PIL import Image

from geolayout.appraisal.caution import Caution
from geolayout.errors import FileError
from geolayout.handover.pictures import field as fieldpicture
from geolayout.handover.pictures.field import FieldView, field_bytes, field_picture
from geolayout.land.boundary.report import boundary_report
from geolayout.land.field import make_field
from geolayout.land.frames.frame import Frame
from geolayout.land.readers import DrawnBoundary

FRAME = Frame(10.0, 52.0)
HOLED = shapely.box(-100.0, -60.0, 100.0, 60.0) - shapely.box(-20.0, -20.0, 20.0, 20.0)
BOW_TIE = shapely.Polygon([(-100, -60), (100, 60), (100, -60), (-100, 60)])
WIRES = Caution(
    key="overhead line",
    severity="hazard",
    sentence="An overhead line crosses the field.",
    remedy="Ask its operator.",
    source="invented",
    place=(10.0, 0.0),
    acknowledged="not acknowledged",
)


def view_of(shape, hazards=()):
    drawn = DrawnBoundary(FRAME.to_geographic(shape), "Home", source="home.geojson", crs="WGS 84")
    field = make_field(drawn.geometry, name="Home")
    report = boundary_report(field, drawn)
    return FieldView(field, report, field.frame.to_local(drawn.geometry), hazards)


def texts(monkeypatch, view):
    """Draw a field, and return every word on the sheet."""
    figures = []
    save = Figure.savefig

    def kept(figure, *args, **more):
        figures.append(figure)
        return save(figure, *args, **more)

    monkeypatch.setattr(Figure, "savefig", kept)
    field_bytes(view, "svg")
    return [text.get_text() for axes in figures[0].axes for text in axes.texts]


@pytest.mark.parametrize("shape", [HOLED, BOW_TIE], ids=["with a hole", "a bow tie"])
@pytest.mark.parametrize("form", ["svg", "png"])
def test_a_field_is_drawn_the_same_every_time(shape, form):
    view = view_of(shape)
    assert field_bytes(view, form) == field_bytes(view, form)


def test_a_png_is_a_sheet_of_a4():
    # 297 x 210 mm at 200 dots an inch
    width, height = Image.open(io.BytesIO(field_bytes(view_of(HOLED), "png"))).size
    assert (width, height) == (pytest.approx(2338, abs=1), pytest.approx(1653, abs=1))


def test_an_svg_is_one():
    drawn = field_bytes(view_of(HOLED), "svg")
    assert ET.fromstring(drawn).tag.endswith("svg")  # noqa: S314  (written by ourselves)


def test_findings_are_numbered_at_their_places_and_beside(monkeypatch):
    view = view_of(BOW_TIE)
    words = texts(monkeypatch, view)
    assert any(finding.places for finding in view.report.findings)
    # once on the map at the least, and once before its sentence
    assert words.count("1") >= 2
    assert any("crosses itself" in word for word in words)
    assert "What needs an answer" in words


def test_what_each_look_means_is_told(monkeypatch):
    words = texts(monkeypatch, view_of(HOLED))
    assert "the field" in words
    assert "a hole, no part of the field" in words
    assert "drawn, and left out" not in words
    assert "the outline as drawn" not in words


def test_ground_that_was_left_out_is_told(monkeypatch):
    # a second part of 40 m2 is kept; one of 0.9 x 0.9 m is dropped, and drawn as a dropped ground
    small = shapely.box(120.0, 0.0, 120.9, 0.9)
    words = texts(monkeypatch, view_of(shapely.MultiPolygon([shapely.box(0, 0, 60, 60), small])))
    assert "drawn, and left out" in words
    assert "the outline as drawn" in words


def test_hazards_have_their_triangle_and_their_letter(monkeypatch):
    words = texts(monkeypatch, view_of(HOLED, (WIRES,)))
    assert "a" in words
    assert "▲a" in words
    assert any("An overhead line" in word for word in words)


def test_a_spike_far_out_does_not_make_the_field_small():
    near = fieldpicture.View.fitting(
        lambda paper: fieldpicture._extent(view_of(HOLED), paper), fieldpicture.FIELD_SCALES
    )
    far = view_of(HOLED)
    far = FieldView(far.field, far.report, shapely.box(-100.0, -60.0, 9000.0, 60.0))
    paper = fieldpicture.View.fitting(
        lambda paper: fieldpicture._extent(far, paper), fieldpicture.FIELD_SCALES
    )
    assert paper.scale <= 1.6 * near.scale


def test_numbers_do_not_stand_on_one_another():
    place = shapely.get_coordinates(shapely.Point(0.0, 0.0))[0]
    taken = []
    for _ in range(8):
        spot = fieldpicture._free_spot(place, taken, 4.0)
        if spot is not None:
            taken.append(spot)
    apart = [
        shapely.Point(a).distance(shapely.Point(b)) for a in taken for b in taken if a is not b
    ]
    assert len(taken) > 2
    assert min(apart) >= 4.0


@pytest.mark.parametrize("side", [2.0, 60_000.0], ids=["a garden bed", "a ranch"])
def test_any_size_of_field_fits_the_sheet(side):
    assert field_bytes(view_of(shapely.box(0.0, 0.0, side, side)), "svg")


@pytest.mark.parametrize("name", ["a.svg", "A.PNG"])
def test_the_name_says_which_kind_of_picture(name, tmp_path):
    field_picture(view_of(HOLED), tmp_path / name)
    start = (tmp_path / name).read_bytes()[:5]
    assert start == (b"<?xml" if name.endswith("svg") else b"\x89PNG\r")


@pytest.mark.parametrize(
    ("name", "match"),
    [("a.pdf", "SVG or PNG"), ("a", "SVG or PNG"), ("none/a.png", "cannot be written")],
)
def test_a_picture_that_cannot_be_written_is_refused(name, match, tmp_path):
    with pytest.raises(FileError, match=match):
        field_picture(view_of(HOLED), tmp_path / name)
