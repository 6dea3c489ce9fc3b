"""What grew where, year by year: sums on paper, and rotations that come round. All invented."""

import pytest
from appraisal_layouts import LAND, layout_of
from hypothesis import example, given
from hypothesis import strategies as st
from rotation_plans import EXCHANGED, TWO
from sample_layouts import SAMPLES, sample_layout

from geolayout.appraisal.rotation.years import pieces_of, rotation_rows, section_pieces
from geolayout.plan.parse import parse_plan


def told(*parts):
    """Return, by story, the stands of each year with strips and width."""
    rows = rotation_rows(layout_of(TWO, *parts))
    return {
        tuple(grown.stand or grown.crops[0] for grown in row.years): (
            row.strips,
            round(row.width_m, 3),
        )
        for row in rows
    }


def test_stands_that_change_places():
    # 60 m: five strips of 6 m each way
    assert told(EXCHANGED) == {("maize", "beans"): (5, 30.0), ("beans", "maize"): (5, 30.0)}


@pytest.mark.parametrize(
    ("shift", "stories"),
    [
        pytest.param(
            "shift_bands = 1",
            {("maize", "beans"): 30.0, ("beans", "maize"): 30.0},
            id="one band is a full change",
        ),
        # 1.5 bands of 6 m are 9 m: half of each strip keeps its crop
        pytest.param(
            "shift_bands = 1.5",
            {
                ("maize", "maize"): 15.0,
                ("maize", "beans"): 15.0,
                ("beans", "maize"): 15.0,
                ("beans", "beans"): 15.0,
            },
            id="one and a half puts half on its own land",
        ),
        pytest.param(
            "shift = 12.0",
            {("maize", "maize"): 30.0, ("beans", "beans"): 30.0},
            id="a whole repeat changes nothing",
        ),
    ],
)
def test_shifts(shift, stories):
    found = told(f"[[season]]\nyear = 2028\n{shift}\n")
    assert {story: width for story, (_, width) in found.items()} == stories


def test_history_comes_first():
    past = '[[history]]\nyear = 2025\ncrops = ["wheat"]\n'
    assert set(told(past)) == {("wheat", "maize"), ("wheat", "beans")}


def test_a_season_counts_over_the_history_of_its_year():
    past = '[[history]]\nyear = 2027\ncrops = ["wheat"]\n'
    assert set(told(past, EXCHANGED)) == {("maize", "beans"), ("beans", "maize")}


def test_one_year_alone_has_no_story():
    assert rotation_rows(layout_of(TWO)) == ()


def test_trees_stay():
    text = """
    [[stand]]
    name = "maize"
    sowing = [ { crop = "maize", spacing = 0.75 } ]
    [[stand]]
    name = "barley"
    sowing = [ { crop = "barley", spacing = 0.125 } ]
    [[pattern]]
    name = "alleys"
    close_with = "C"
    bands = [
      { name = "C", width = 12.0, stand = "maize" },
      { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 3.0 } },
    ]
    [[season]]
    year = 2027
    [[season]]
    year = 2028
    grows = { C = "barley" }
    """
    rows = rotation_rows(layout_of(text))
    bands = {tuple(grown.band for grown in row.years): row.width_m for row in rows}
    # 60 m: 12 3 12 3 12 3 then 15 of C
    assert bands == {
        ("C", "C"): pytest.approx(51.0, abs=1e-3),
        ("T", "T"): pytest.approx(9.0, abs=1e-3),
    }


def plan_of(widths, shifts):
    """Return a plan of as many stands as bands; each season moves the bands on."""
    stands = "".join(
        f'[[stand]]\nname = "s{i}"\nsowing = [ {{ crop = "c{i}", spacing = 0.25 }} ]\n'
        for i in range(len(widths))
    )
    bands = ", ".join(
        f'{{ name = "b{i}", width = {width!r}, stand = "s{i}" }}' for i, width in enumerate(widths)
    )
    seasons = "".join(
        f"[[season]]\nyear = {2027 + k}\nshift_bands = {shift}\n" for k, shift in enumerate(shifts)
    )
    return parse_plan(
        f'schema = 1\n{stands}[[pattern]]\nname = "p"\nbands = [ {bands} ]\n{seasons}'
    )


@given(
    width=st.sampled_from([3.0, 4.5, 6.0, 7.3, 24.0]),
    count=st.integers(2, 5),
    length=st.floats(30.0, 400.0),
)
@example(width=6.0, count=2, length=60.0)
def test_a_full_rotation_returns_and_gives_each_crop_each_strip(width, count, length):
    plan = plan_of([width] * count, range(count + 1))
    pieces = section_pieces(plan, plan.pattern(), (0.0, length))
    assert pieces
    for piece in pieces:
        stands = [grown.stand for grown in piece.years]
        assert stands[0] == stands[-1]
        assert len(set(stands)) == count


@given(
    widths=st.lists(st.sampled_from([1.5, 3.0, 4.5, 6.0, 12.0]), min_size=2, max_size=4),
    shift=st.floats(-30.0, 30.0),
    repeats=st.integers(1, 6),
)
def test_every_year_gives_each_stand_the_width_of_its_bands(widths, shift, repeats):
    """Over whole repeats a shift moves bands and takes nothing from any of them."""
    plan = plan_of(widths, [0, 0.0])
    plan = plan.model_copy(
        update={
            "seasons": (
                plan.seasons[0],
                plan.seasons[1].model_copy(update={"shift_bands": None, "shift": shift}),
            )
        }
    )
    pieces = section_pieces(plan, plan.pattern(), (0.0, repeats * sum(widths)))
    assert sum(piece.width for piece in pieces) == pytest.approx(repeats * sum(widths))
    for year in (0, 1):
        for i, width in enumerate(widths):
            mine = [p.width for p in pieces if p.years[year].stand == f"s{i}"]
            # a band may gain or lose what falls under the slack of 5 cm at both ends
            assert sum(mine) == pytest.approx(repeats * width, abs=0.11 * repeats + 0.11)


def test_the_span_is_that_of_the_land():
    rows = rotation_rows(layout_of(TWO, EXCHANGED))
    west, _, east, _ = LAND.bounds
    assert sum(row.width_m for row in rows) == pytest.approx(east - west, abs=1e-3)


@pytest.mark.parametrize("name", SAMPLES)
def test_the_season_laid_is_the_season_told(name):
    """Where a season was laid, its story has the same bands and stands at the same places."""
    layout = sample_layout(name)
    if layout.season is None:
        pytest.skip("this plan has no season")
    for block in layout.blocks:
        for piece in pieces_of(layout.plan, block):
            middle = (piece.t0 + piece.t1) / 2.0
            (now,) = [one for one in piece.years if one.year == layout.season.year]
            (index,) = [i for i, c in enumerate(block.section.cuts) if c.t0 <= middle < c.t1]
            stand = block.stands[index]
            assert now.band == block.section.cuts[index].band
            assert now.stand == (stand.name if stand is not None else "")
