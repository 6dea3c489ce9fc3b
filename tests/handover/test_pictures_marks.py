"""Names on a map stand beside each other, not over each other."""

from itertools import combinations

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from geolayout.handover.pictures.marks import write_name


@pytest.fixture
def axes():
    """Return axes of 100 m x 100 m on a sheet of 100 mm x 100 mm."""
    figure = Figure(figsize=(100 / 25.4, 100 / 25.4), dpi=200)
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, 100)
    axes.set_ylim(0, 100)
    return axes


def boxes(axes):
    """Return where the letters of each name stand."""
    renderer = axes.figure.canvas.get_renderer()
    return [text.get_window_extent(renderer) for text in axes.texts]


@pytest.mark.parametrize(
    "names",
    [
        pytest.param(["power line", "poles"], id="a pole on the line's name"),
        pytest.param(["power line", "poles", "stay wire"], id="and its stay wire"),
        pytest.param(["a", "b", "c", "d"], id="four at one place"),
    ],
)
def test_names_at_one_place_do_not_lie_over_each_other(axes, names):
    for name in names:
        write_name(axes, name, [(50.0, 50.0)])
    assert [text.get_text() for text in axes.texts] == names
    assert not any(one.overlaps(other) for one, other in combinations(boxes(axes), 2))


def test_a_name_moves_along_its_line_before_it_lies_over_another(axes):
    write_name(axes, "poles", [(20.0, 50.0)])
    write_name(axes, "power line", [(20.0, 50.0), (80.0, 50.0)])
    assert axes.texts[1].xy == (80.0, 50.0)


def test_a_name_without_neighbours_stands_at_its_first_place(axes):
    write_name(axes, "poles", [(20.0, 50.0), (80.0, 50.0)])
    assert axes.texts[0].xy == (20.0, 50.0)


def test_where_no_place_is_free_a_name_is_written_all_the_same(axes):
    for _ in range(6):
        write_name(axes, "gate", [(50.0, 50.0)])
    assert len(axes.texts) == 6
