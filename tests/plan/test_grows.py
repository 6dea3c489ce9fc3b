"""Which stand grows where in which season, and how far the bands move."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.plan.grows import season_shift, stand_on, stand_options
from geolayout.plan.parse import parse_plan
from geolayout.plan.section.section import cut_section, shifted

PLAN = """
schema = 1
[[stand]]
name = "maize"
sowing = [ {{ crop = "maize", spacing = 0.75 }} ]
[[stand]]
name = "beans"
sowing = [ {{ crop = "field beans", spacing = 0.25 }} ]
[[stand]]
name = "grass"
sowing = [ {{ crop = "grass", place = "broadcast" }} ]
[[pattern]]
name = "p"
bands = [
  {{ name = "A", width = 6.0, stand = "maize" }},
  {{ name = "B", width = 3.0, stand = "beans" }},
]
{more}
"""


def grown(more: str, year: int | None, block: str = "", far: float = 9.0) -> list[str | None]:
    plan = parse_plan(PLAN.format(more=more))
    pattern = plan.pattern("p")
    season = plan.season(year) if year else None
    stands = [
        stand_on(plan, season, block, pattern, cut) for cut in cut_section(pattern, (0, far)).cuts
    ]
    return [stand.name if stand else None for stand in stands]


def test_without_a_season_each_band_grows_its_own_stand():
    assert grown("", None) == ["maize", "beans"]


def test_a_rotation_moves_the_stands_and_leaves_the_ground():
    swap = '[[season]]\nyear = 2028\ngrows = { A = "beans", B = "maize" }'
    assert grown(swap, 2028) == ["beans", "maize"]


def test_a_band_may_lie_bare_for_a_season():
    assert grown('[[season]]\nyear = 2028\ngrows = { A = "none" }', 2028) == [None, "beans"]


BLOCKS = (
    '[[block]]\nname = "north"\npattern = "p"\nland = "x"\n'
    '[[block]]\nname = "south"\npattern = "p"\nrest = true\n'
    '[[season]]\nyear = 2028\ngrows = { A = "beans", "north/A" = "grass" }'
)


@pytest.mark.parametrize(("block", "first"), [("north", "grass"), ("south", "beans")])
def test_a_block_may_grow_something_else_on_a_band_of_the_same_name(block, first):
    assert grown(BLOCKS, 2028, block) == [first, "beans"]


def test_the_rest_has_its_stand_and_may_change_it_too():
    rest = 'repeats = 1\nrest = "grass"\n[[season]]\nyear = 2028\ngrows = { rest = "beans" }'
    assert grown(rest, None, far=20.0)[-1] == "grass"
    assert grown(rest, 2028, far=20.0)[-1] == "beans"


def test_nothing_of_the_section_grows_on_land_given_up():
    assert grown('remainder = "headland"', None, far=10.0) == ["maize", "beans", None]


def test_all_stands_that_ever_grow_on_a_band_are_found_once():
    plan = parse_plan(
        PLAN.format(
            more='[[season]]\nyear = 2027\n[[season]]\nyear = 2028\ngrows = { A = "beans" }\n'
            '[[season]]\nyear = 2029\ngrows = { A = "none" }'
        )
    )
    cut = cut_section(plan.pattern(), (0.0, 9.0)).cuts[0]
    assert [s.name for s in stand_options(plan, "", plan.pattern(), cut)] == ["maize", "beans"]


# ---- shifts


@pytest.mark.parametrize(
    ("keys", "metres"),
    [
        pytest.param("shift = 3.0", 3.0, id="metres"),
        pytest.param("shift = -3.0", -3.0, id="back"),
        pytest.param("shift_bands = 1", 6.0, id="one band is the first band's width"),
        pytest.param("shift_bands = 2", 9.0, id="two bands are a whole repeat"),
        # 6 + half of 3
        pytest.param("shift_bands = 1.5", 7.5, id="one and a half"),
        # 9 + 6
        pytest.param("shift_bands = 3", 15.0, id="more than a repeat"),
        pytest.param("shift_bands = -2", -9.0, id="back by a repeat"),
        pytest.param("shift_bands = 0", 0.0, id="not at all"),
        pytest.param("", 0.0, id="nothing said"),
    ],
)
def test_a_season_moves_the_bands(keys, metres):
    plan = parse_plan(PLAN.format(more=f"[[season]]\nyear = 2028\n{keys}"))
    assert season_shift(plan.pattern(), plan.season(2028)) == metres


def test_no_season_moves_nothing():
    assert season_shift(parse_plan(PLAN.format(more="")).pattern(), None) == 0.0


@given(repeats=st.integers(-4, 4))
def test_a_shift_by_whole_repeats_puts_every_band_on_ground_of_its_own_kind(repeats):
    """9 m is a repeat: the cuts lie where they lay, only repeats and numbers have moved on."""
    plan = parse_plan(PLAN.format(more=f"[[season]]\nyear = 2028\nshift_bands = {2 * repeats}"))
    pattern, shift = plan.pattern(), season_shift(plan.pattern(), plan.season(2028))
    before = cut_section(pattern, (0.0, 36.0))
    after = shifted(cut_section(pattern, (-shift, 36.0 - shift), before.number_at_anchor), shift)
    assert [(c.t0, c.t1, c.band) for c in after.cuts] == [(c.t0, c.t1, c.band) for c in before.cuts]
    assert [c.number for c in after.cuts] == [c.number - 2 * repeats for c in before.cuts]
