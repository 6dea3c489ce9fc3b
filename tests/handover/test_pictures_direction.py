"""The picture of three ways: every word on it, the same bytes every time."""

from functools import cache
from pathlib import Path

import pytest
from matplotlib.figure import Figure

from geolayout import jobs
from geolayout.errors import FileError
from geolayout.handover.pictures.direction import WaysView, ways_bytes, ways_picture
from geolayout.jobs.direction import which_way

SAMPLES = Path(__file__).parents[2] / "sample_fields"


@cache
def view_of(name):
    (ways,) = which_way(jobs.read(SAMPLES / f"{name}.toml"))
    told = tuple((letter, one, ways.way(one), ways.told(one)) for letter, one in ways.best)
    return WaysView(ways.field, "", ways.compared, told, tuple(ways.beside))


def texts(monkeypatch, view):
    """Draw, and return every word on the sheet."""
    figures = []
    save = Figure.savefig

    def kept(figure, *args, **more):
        figures.append(figure)
        return save(figure, *args, **more)

    monkeypatch.setattr(Figure, "savefig", kept)
    ways_bytes(view, "png")
    (figure,) = figures
    inside = [text for axes in figure.axes for text in axes.texts]
    return " ".join(text.get_text() for text in [*figure.texts, *inside])


def test_three_ways_are_drawn_with_what_they_mean(monkeypatch):
    view = view_of("windy_bank")
    said = texts(monkeypatch, view)
    assert "fewest hours of those compared" in said
    for letter, option, way, _ in view.told:
        assert f"{letter}: {way.split(' (')[0]}" in said
        assert f"{option.found.hours.least:.1f} to" in said
    assert "steeper than keeps soil in place" in said
    assert "north-south" in said
    assert "pass of drill barley" in said


def test_what_was_assumed_stands_at_the_foot(monkeypatch):
    assert "No speed is given for drill" in texts(monkeypatch, view_of("windy_bank"))


@pytest.mark.parametrize("form", ["png", "svg"])
def test_the_same_ways_make_the_same_bytes(form):
    view = view_of("church_close")
    assert ways_bytes(view, form) == ways_bytes(view, form)


def test_a_name_that_is_no_picture_is_refused(tmp_path):
    with pytest.raises(FileError, match="svg or"):
        ways_picture(view_of("church_close"), tmp_path / "ways.pdf")


def test_many_passes_are_thinned_and_that_is_said(monkeypatch):
    view = view_of("crooked_hedge")
    most = max(max(option.found.passes.values()) for _, option, _, _ in view.told)
    assert most > 45
    assert "every third pass" in texts(monkeypatch, view)
