"""Drawn and told sections: every number in them can be checked by hand."""

from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from geolayout.plan.grows import season_shift
from geolayout.plan.parse import farm_file, parse_farm, parse_plan
from geolayout.plan.section import sketch
from geolayout.plan.section.profile import profile_of, shown_span
from geolayout.plan.section.sketch import plain_ascii, section_drawing, section_words
from geolayout.plan.units import IMPERIAL, METRIC
from geolayout.trial.design import expand_trials

PLANS = Path(__file__).parents[1] / "plans"
EVERY = sorted(path.stem for path in PLANS.glob("*.toml") if ".expected" not in path.name)


def plan_named(name):
    text = (PLANS / f"{name}.toml").read_text(encoding="utf-8")
    farm = farm_file(text)
    shared = parse_farm((PLANS / farm).read_text(encoding="utf-8")) if farm else None
    return expand_trials(parse_plan(text, farm=shared))


def profiles_of(plan, width=None, year=None):
    season = plan.season(year)
    for pattern in plan.patterns:
        span = shown_span(pattern, shift=season_shift(pattern, season), width=width)
        yield profile_of(plan, pattern, span, season=season)


def only(name, width=None, year=None):
    return next(profiles_of(plan_named(name), width, year))


def test_strips_are_drawn_to_scale():
    """
    12 m on 78 columns: 6.5 a metre. The border at 6 m stands in cell 39.

    Maize at 0.375 + 0.75 k: 0.375 x 6.5 = 2.4, cell 2, so the second letter inside the border.
    """
    drawing = section_drawing(only("strips")).split("\n")
    assert drawing[1].split() == ["0.00", "6.00", "12.00", "m"]
    assert drawing[2] == "┌" + "─" * 38 + "┬" + "─" * 38 + "┐"
    assert drawing[3].split() == ["│", "A", "1", "│", "B", "2", "│"]
    assert drawing[4].split() == ["│", "6.00", "m", "│", "6.00", "m", "│"]
    assert drawing[6].startswith("│ m ")
    assert drawing[6].count("m") == 8  # rows of maize
    assert "m maize, w white clover, f field beans" in drawing


def test_rows_closer_than_two_columns_are_drawn_again_larger():
    """24 rows of beans at 0.25 m: 3 columns each in the close-up."""
    text = section_drawing(only("strips"))
    close = text.split("Close up, B 2, beans:\n")[1].split("\n")[1]
    assert close.count("f") == 24
    assert "f  f  f  f" in close


def test_a_tree_row_stands_over_its_place():
    """27 m on 78 columns at most: the tree at 25.5 m of 27 m."""
    lines = section_drawing(only("alleys")).split("\n")
    trees = next(line for line in lines if "▲" in line)
    end = len(lines[2]) - 1
    assert abs(trees.index("▲") / end - 25.5 / 27.0) < 1 / 78


def test_passes_are_drawn_under_what_they_work():
    """A drill of 3 m makes two passes in each band of 6 m, with one border between."""
    lines = section_drawing(only("complete")).split("\n")
    passes = lines[lines.index("drill beans: drill, 3 m") + 1]
    border = lines[2].index("┬")
    assert passes.index("└") == border
    assert passes.split() == ["└────────", "1", "────────┴───────", "2", "────────┘"]


def test_a_machine_wider_than_the_drawing_has_open_ends():
    lines = section_drawing(only("complete")).split("\n")
    spray = lines[lines.index("spray: sprayer, 24 m") + 1]
    assert spray.startswith("←")
    assert spray.endswith("→")


def test_the_middle_of_a_wide_section_is_left_out():
    """
    A band of 6 m in 8 columns of 78: 58.5 m, 9 bands to a line.

    480 m are 80 bands, 9 lines, the last of 8; lines 1, 2 and 9 are drawn, 6 x 9 bands left out.
    """
    drawing = section_drawing(only("rotation", width=480.0))
    assert "⋯ 54 bands more ⋯" in drawing
    assert "B 80" in drawing
    assert "A 19" not in drawing


def test_words_give_edges_places_and_half_gaps():
    """
    8 rows of 0.75 m reach 5.25 m: (6 - 5.25) / 2 = 0.375 m at either edge of the band.

    Beans: (6 - 23 x 0.25) / 2 = 0.125 m. Across the border 0.375 + 0.125 = 0.5 m.
    """
    words = section_words(only("strips"))
    assert words[0] == "Band 1 (A): 0.00 to 6.00 m, 6.00 m wide; maize + clover."
    assert words[1] == (
        "  maize: 8 rows, 0.3750 to 5.6250 m, 0.75 m apart; 0.375 m from the near edge, "
        "0.375 m from the far edge"
    )
    assert words[-1] == (
        "Border of band 1 (A) and band 2 (B) at 6.00 m: the last row 0.375 m before it, "
        "the first 0.125 m beyond it, 0.5 m from row to row."
    )


def test_bands_that_come_again_are_told_once():
    words = section_words(only("strips", width=24.0))
    assert "Band 3 (A): 12.00 to 18.00 m, 6.00 m wide; the same as band 1 (A)." in words


def test_uneven_rows_are_told_place_by_place():
    """
    (3 + 0.05) / 0.762 = 4.003: 4 motifs, 3.048 m, which begin at (3 - 3.048) / 2 = -0.024 m.

    Rows at -0.024 + 0.0953 = 0.0713, -0.024 + 0.2858 = 0.2618, 0.0713 + 0.762 = 0.8333 m.
    """
    words = section_words(only("relay"))
    assert words[1].startswith("  wheat: 8 rows at 0.0713, 0.2618, 0.8333, ")


def test_what_gave_way_is_told():
    """40 m of strips of 6 m: 3 x 12 = 36 m, a cut A of 4 m."""
    words = section_words(only("strips", width=40.0))
    assert words[-1] == "Band A is cut to 4.00 m at the edge."
    assert "Band 7 (A): 36.00 to 40.00 m, 4.00 m wide; maize + clover (cut to 4.00 m)." in words


def test_ground_worked_twice_by_the_last_pass_is_told():
    """A 3 m drill over a band cut to 4 m: two passes reach 6 m, 2 m of them no fresh ground."""
    plan = plan_named("strips")
    text = (
        (PLANS / "strips.toml")
        .read_text(encoding="utf-8")
        .replace("rate = { plants_per_ha = 80000 }", 'operation = "plant"')
    )
    text += (
        '[[machine]]\nname = "planter"\nworking_width = 3.0\n'
        '[[operation]]\nname = "plant"\nmachine = "planter"\n'
    )
    plan = parse_plan(text)
    words = section_words(next(profiles_of(plan, width=40.0)))
    assert "plant (planter, 3 m, band): 8 passes; 2.00 m of its width is no fresh ground." in words


@pytest.mark.parametrize("name", EVERY)
def test_every_practice_fits_a_terminal_and_plain_letters(name):
    for profile in profiles_of(plan_named(name)):
        drawing = section_drawing(profile)
        assert max(len(line) for line in drawing.split("\n")) <= 80
        assert plain_ascii(drawing).isascii()
        assert len(plain_ascii(drawing)) == len(drawing)
        assert section_words(profile)


@pytest.mark.parametrize("name", EVERY)
def test_every_row_of_the_section_is_counted_in_the_words(name):
    """Rows told band by band, those of bands told once counted as often as they come."""
    for profile in profiles_of(plan_named(name)):
        counts: dict[str, int] = {}
        total, here = 0, ""
        for line in section_words(profile):
            if line.startswith("Border of"):
                break
            if line.startswith("Band "):
                here = line.split(":")[0].removeprefix("Band ")
                like = line.partition("the same as band ")[2].removesuffix(".")
                counts[here] = counts.get(like, 0)
                total += counts[here]
            elif " row" in line and not line.startswith("  trees:") and "no row" not in line:
                number = int(line.split(": ", 1)[1].split(" row")[0])
                counts[here] += number
                total += number
        assert total == len(profile.rows.t)


@given(width=st.floats(13.0, 600.0), columns=st.integers(60, 160))
@example(width=225.28, columns=80)
def test_any_width_of_land_is_drawn_within_its_columns(width, columns):
    profile = only("straddling_planter", width=width)
    drawing = section_drawing(profile, columns=columns)
    assert max(len(line) for line in drawing.split("\n")) <= columns


def test_feet_stand_where_metres_stood():
    # bands of 6 m are 19.69 ft; a drill of 3 m is 9.84 ft
    drawn = section_drawing(only("strips", 24.0), units=IMPERIAL)
    assert "19.69 ft" in drawn
    assert " m\n" not in drawn
    words = " ".join(section_words(only("strips", 24.0), IMPERIAL))
    assert "0.00 to 19.69 ft, 19.69 ft wide" in words
    assert " in apart" in words
    assert " m " not in words


def test_a_width_is_shortened_and_not_cut():
    assert [sketch._width_in(room, 12.0, METRIC.width) for room in (9, 6, 5, 3, 1)] == [
        "12.00 m",
        "12.00",
        "12.00",
        "12",
        "",
    ]
