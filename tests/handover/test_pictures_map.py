"""The map is a sheet of A4 at the scale it states, the same every time."""

import io
from dataclasses import replace
from functools import partial

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from PIL import Image
from sample_layouts import SAMPLES, STRIPS, paper_layout, rectangle, sample_layout

from geolayout.appraisal.caution import Caution
from geolayout.handover.pictures import map as picture
from geolayout.handover.pictures.legend import Legend, draw_legend
from geolayout.handover.pictures.map import DOTS, map_png, write_map
from geolayout.handover.pictures.paper import SCALES, Sheet, View, bar_length

WIRES = Caution(
    key="overhead-line",
    severity="hazard",
    sentence="An overhead line crosses the field 40 m from the south.",
    remedy="Ask its operator for the height before any work.",
    source="invented",
    code="W30",
    place=(0.0, 0.0),
    acknowledged="not acknowledged",
)


def seen(png):
    """Return the picture as grey values, rows from the top."""
    return np.asarray(Image.open(io.BytesIO(png)).convert("L"))


def words_beside(layout, hazards=()):
    """Return every word that stands beside the map."""
    figure = Figure()
    FigureCanvasAgg(figure)
    draw_legend(figure, Sheet.landscape(), Legend(layout, tuple(hazards), 1000))
    return " ".join(text.get_text() for text in figure.axes[0].texts)


def test_a_metre_on_the_map_is_a_metre_by_its_scale(monkeypatch):
    # 60 m x 120 m with its chain of dimensions fits on A4 at 1:750, where 60 m are 80 mm;
    # at 200 dots an inch these are 80 / 25.4 x 200 = 630 dots
    layout = paper_layout()
    monkeypatch.setattr(picture, "draw_chain", lambda *_: None)
    monkeypatch.setattr(picture, "_draw_band_labels", lambda *_: None)
    monkeypatch.setattr(picture, "_draw_anchor", lambda *_: None)
    monkeypatch.setattr(picture, "draw_legend", lambda *_: None)
    view = View.fitting(partial(picture._extent, layout))
    dark = np.flatnonzero((seen(map_png(layout, ())) < 250).any(axis=0))
    expected = 60.0 / view.scale * 1000 / 25.4 * DOTS
    assert view.scale in SCALES
    assert dark[-1] - dark[0] == pytest.approx(expected, abs=6)  # and the width of the edge line


def test_the_picture_is_a4_and_carries_neither_date_nor_program():
    image = Image.open(io.BytesIO(map_png(paper_layout(), (WIRES,))))
    assert sorted(image.size) == [1653, 2338]  # 210 and 297 mm at 200 dots an inch
    assert set(image.info) <= {"dpi"}


def test_the_same_layout_gives_the_same_bytes(tmp_path):
    for name in ("a.png", "b.png"):
        write_map(paper_layout(), (WIRES,), tmp_path / name)
    assert (tmp_path / "a.png").read_bytes() == (tmp_path / "b.png").read_bytes()


def test_a_hazard_changes_the_map():
    assert map_png(paper_layout(), (WIRES,)) != map_png(paper_layout(), ())


@pytest.mark.parametrize("name", SAMPLES)
def test_every_sample_field_has_a_map_with_something_on_it(name):
    grey = seen(map_png(sample_layout(name), (WIRES,)))
    assert (grey < 128).mean() > 0.005
    edge = np.concatenate([grey[:20].ravel(), grey[-20:].ravel(), grey[:, :20].ravel()])
    assert (edge == 255).all()  # nothing runs off the paper


@pytest.mark.parametrize(
    ("width", "height"),
    [pytest.param(5.0, 40.0, id="a garden"), pytest.param(4000.0, 2500.0, id="1,000 ha")],
)
def test_any_size_of_field_fits_on_the_sheet(width, height):
    text = STRIPS.replace("width = 10.0", "width = 2.0")
    layout = paper_layout(text, rectangle(width, height))
    grey = seen(map_png(layout, ()))
    assert (grey[:, :20] == 255).all()


def test_hazards_are_told_first_and_without_codes():
    words = words_beside(paper_layout(), [WIRES])
    assert words.index("HAZARDS") < words.index("Ground")
    assert "not acknowledged" in words
    assert "W30" not in words


def test_at_most_five_hazards_are_told_and_the_rest_counted():
    words = words_beside(paper_layout(), [WIRES] * 7)
    assert words.count("An overhead line") == 5
    assert "2 more in summary.txt." in words


def test_hazards_of_many_words_leave_room_for_the_ground():
    long = replace(WIRES, sentence=f"{WIRES.sentence} {'Look up before you turn. ' * 30}")
    figure = Figure()
    FigureCanvasAgg(figure)
    sheet = Sheet.landscape()
    draw_legend(figure, sheet, Legend(paper_layout(), (long,) * 5, 1000))
    texts = figure.axes[0].texts
    words = " ".join(text.get_text() for text in texts)
    assert words.count("An overhead line") == 5
    assert words.count("not acknowledged") == 5
    assert "the field" in words
    assert min(text.get_position()[1] for text in texts) > 5.0  # nothing falls off the paper [mm]


def test_the_legend_says_which_north_and_which_point():
    words = words_beside(paper_layout())
    assert "grid north of the field's own frame, true north at its centre" in words
    assert "from the anchor" in words


def test_areas_of_the_legend_add_up_to_the_field():
    words = words_beside(paper_layout())
    # maize 0.300, beans 0.300, headland 0.120, field 0.720 ha
    for figure in ("0.300", "0.120", "0.720"):
        assert figure in words


@pytest.mark.parametrize(
    ("scale", "room", "length"),
    [(1000, 60.0, 50.0), (3000, 60.0, 100.0), (200, 60.0, 10.0), (25_000, 60.0, 1000.0)],
)
def test_the_scale_bar_is_a_round_length_that_fits(scale, room, length):
    assert bar_length(scale, room) == length


def test_one_of_a_thing_is_told_as_one():
    words = words_beside(sample_layout("church_close"))
    assert "1 band (" in words
    assert "1 bands" not in words
