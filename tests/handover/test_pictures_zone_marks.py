"""Rate zones on the map: shades, dotted borders, and what the legend says of them."""

import re
import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import PathCollection
from matplotlib.figure import Figure
from sample_layouts import SAMPLE_FOLDER, paper_layout

from geolayout import jobs
from geolayout.handover.pictures.legend import Legend, draw_legend
from geolayout.handover.pictures.looks import steady_style
from geolayout.handover.pictures.map import map_figure, map_png, map_view
from geolayout.handover.pictures.paper import Sheet
from geolayout.handover.pictures.zone_marks import DARKEST, draw_zones

PAGE = (Path(__file__).parents[2] / "docs" / "zones.md").read_text("utf-8")
(TABLE,) = re.findall(r"```toml\n(.*?)```", PAGE, flags=re.S)


@pytest.fixture(scope="module")
def layout(tmp_path_factory):
    """Windy Bank with the zones of the page on rate zones; field and map are invented."""
    folder = tmp_path_factory.mktemp("marks") / "fields"
    shutil.copytree(SAMPLE_FOLDER, folder)
    path = folder / "zones.toml"
    path.write_text((folder / "windy_bank.toml").read_text("utf-8") + TABLE, encoding="utf-8")
    return jobs.lay(jobs.read(path))


def drawn(layout):
    axes = Figure().add_subplot()
    draw_zones(axes, layout)
    return axes


def test_every_class_has_a_shade_the_higher_the_darker(layout):
    shades = [one.get_alpha() for one in drawn(layout).collections]
    assert shades == pytest.approx([0.0, DARKEST / 2, DARKEST])
    assert all(isinstance(one, PathCollection) for one in drawn(layout).collections)


def test_dots_run_where_zones_meet_and_nowhere_else(layout):
    land = layout.field.land
    lines = [line.get_xydata() for line in drawn(layout).lines]
    along = shapely.union_all([shapely.LineString(xy) for xy in lines])
    classes = [one.geometry for one in layout.zones.zones.classes]
    met = sum(
        shapely.intersection(a.boundary, b.boundary).length
        for i, a in enumerate(classes)
        for b in classes[:i]
    )
    assert along.length == pytest.approx(met, rel=1e-6)
    # the edge of the field is no border of two zones
    assert shapely.intersection(along, land.boundary.buffer(1e-6)).length < 0.01 * along.length


def test_each_class_is_named_within_its_own_zone(layout):
    zones = {one.name: one.geometry for one in layout.zones.zones.classes}
    texts = {text.get_text(): text.get_position() for text in drawn(layout).texts}
    assert set(texts) == set(zones)
    assert all(zones[name].contains(shapely.Point(place)) for name, place in texts.items())


def beside(layout):
    figure = Figure()
    FigureCanvasAgg(figure)
    draw_legend(figure, Sheet.landscape(), Legend(layout, (), 1000))
    return [text.get_text() for text in figure.axes[0].texts]


def test_the_legend_has_quantity_limits_and_ground_of_each(layout):
    words = beside(layout)
    assert "Rate zones: soil conductivity [mS/m]" in words
    for name, limits, ground in (
        ("light", "< 21.15", "1.416"),
        ("middle", "21.15 - 29.05", "2.174"),
        ("heavy", "> 29.05", "1.388"),
    ):
        place = words.index(f"{name}: {limits}")
        assert words[place + 1] == ground


def test_without_zones_nothing_is_drawn_or_told(layout):
    plain = replace(layout, zones=None)
    assert not drawn(plain).collections
    assert not any("Rate zones" in word for word in beside(plain))
    assert not any("Rate zones" in word for word in beside(paper_layout()))


def test_the_map_shows_them_and_is_the_same_every_time(layout):
    with steady_style():
        figure, axes = map_figure(layout, (), map_view(layout))
        assert {"light", "middle", "heavy"} <= {text.get_text() for text in axes.texts}
        assert figure.axes
    assert map_png(layout, ()) == map_png(layout, ())
    assert map_png(layout, ()) != map_png(replace(layout, zones=None), ())
    assert np.isfinite(shapely.bounds(layout.field.land)).all()
