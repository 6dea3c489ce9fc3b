"""The eight conventions, filled with the layout's own values."""

import pytest
from appraisal_layouts import ALLEYS, BANDS, GRASS, HEADLAND, MACHINES, STANDS, layout_of, strips
from sample_layouts import SAMPLES, sample_layout

from geolayout.appraisal.conventions import conventions


@pytest.fixture(scope="module")
def paper():
    return conventions(strips(HEADLAND))


@pytest.mark.parametrize(
    ("place", "words"),
    [
        pytest.param(0, "0.7200 ha, is geodesic", id="C1 areas"),
        pytest.param(1, "clockwise from true north", id="C2 which north"),
        pytest.param(1, "rows run at 0.00 degrees", id="C2 the bearing of the rows"),
        pytest.param(2, "maize in band A 0.375 m", id="C3 first row of maize"),
        pytest.param(2, "field beans in band B 0.125 m", id="C3 first row of beans"),
        pytest.param(3, "all its ground from border to border", id="C4 width is ground"),
        pytest.param(4, "like fence posts", id="C5 trees"),
        pytest.param(5, "at the ends of the rows only, 10 m wide, mitred", id="C6 headland"),
        pytest.param(6, "from south to north", id="C7 words for directions"),
        pytest.param(7, "not known here", id="C8 age of coordinates"),
    ],
)
def test_conventions_name_their_values(paper, place, words):
    assert len(paper) == 8
    assert words in paper[place]


def test_trees_name_their_first_distance_and_count():
    sentence = conventions(layout_of(GRASS, ALLEYS))[4]
    assert "the first 1.5 m from the start" in sentence
    assert "80 stand" in sentence


def test_a_bearing_just_under_360_degrees_is_north():
    layout = layout_of(STANDS, BANDS, MACHINES, guide='bearing = 359.999\nfrom = "west"')
    assert "rows run at 0.00 degrees" in conventions(layout)[1]


def test_edges_with_a_width_of_their_own_and_the_order_of_work_are_told():
    edges = 'edge = [ { side = "north", width = 24.0 }, { side = "east", width = 0.0 } ]'
    said = conventions(strips(f'{HEADLAND}{edges}\nworked = "first"'))[5]
    assert "10 m wide, 24 m along the north edge, none along the east edge, mitred" in said
    assert "worked first" in said
    alone = f'[headland]\nwhere = "none"\n{edges}'
    assert conventions(strips(alone))[5].startswith("Headland: 24 m along the north edge")


def test_a_field_without_headland_says_so():
    assert conventions(strips())[5].startswith("Headland: none.")


def test_rows_from_west_to_east():
    east = layout_of(GRASS, ALLEYS, guide='bearing = 90.0\nfrom = "south"')
    assert "from west to east" in conventions(east)[6]


@pytest.mark.parametrize("name", SAMPLES)
def test_the_samples_have_all_eight(name):
    sentences = conventions(sample_layout(name))
    assert len(sentences) == 8
    assert all(sentence.endswith(".") for sentence in sentences)
