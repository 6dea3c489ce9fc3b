"""Which operation reaches which strip, on sections that can be drawn on paper."""

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from section_profiles import (
    BEANS,
    DRILL,
    MAIZE,
    PLANTER,
    SOWN,
    bands,
    idle,
    profile,
    stand,
    strips,
    work,
)

from geolayout.appraisal.fit.reach import Reach
from geolayout.appraisal.fit.table import strip_table, unsaid_works
from geolayout.appraisal.works import Work

ALLEYS = """
[[pattern]]
name = "alleys"
bands = [
  { name = "A", width = 18.0, stand = "beans" },
  { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 8.0 } },
]
close_with = "A"
"""


def lines(section, operation):
    return [line for line in strip_table(section) if line.operation.name == operation]


def reached(section, operation):
    """How an operation reaches each stand, where all its strips are reached alike."""
    found = {line.stand: line.reach.value for line in lines(section, operation)}
    assert len(found) == len(lines(section, operation))
    return found


def kinds(line):
    return [cause.kind for cause in line.causes]


# Alone, together, not possible


def test_a_spreader_of_24_m_over_strips_of_6_m_reaches_both_crops():
    # yard arithmetic [geo]: a 24 m disc spreader over 6 m strips reaches both crops
    spread = lines(strips(work("spread", "working_width = 24.0", "block")), "spread")
    assert [(line.stand, line.reach, line.others) for line in spread] == [
        ("maize", Reach.TOGETHER, ("beans",)),
        ("beans", Reach.TOGETHER, ("maize",)),
    ]
    assert kinds(spread[0]) == ["wider", "no sections"]


def test_what_the_planter_places_reaches_one_crop():
    # yard arithmetic [geo]: fertiliser placed by the planter reaches one
    (line,) = lines(strips(), "plant")
    assert (line.stand, line.reach, line.others, line.causes) == ("maize", Reach.ALONE, (), ())


@pytest.mark.parametrize(
    ("sections", "told", "kind"),
    [
        pytest.param(8, "alone", "sections fit", id="3 m parts end on 6 m borders"),
        pytest.param(24, "alone", "sections fit", id="1 m parts end on 6 m borders"),
        pytest.param(6, "only together", "sections off", id="4 m parts do not"),
        pytest.param(1, "only together", "sections off", id="one part is none"),
    ],
)
def test_a_boom_reaches_a_strip_alone_where_its_parts_end_on_borders(sections, told, kind):
    keys = f"working_width = 24.0\nsections = {sections}"
    section = strips(work("spray", keys, "block"), span=(0.0, 48.0))
    assert reached(section, "spray") == {"maize": told, "beans": told}
    assert all(kinds(line)[1] == kind for line in lines(section, "spray"))


def test_parts_that_fit_in_width_but_not_in_phase_do_not_end_on_borders():
    # Parts of 3 m from 1.5 m on: borders at 6, 12 ... lie in the middle of parts.
    keys = "working_width = 24.0\nsections = 8"
    section = strips(work("spray", keys, "block", "offset = 13.5"), span=(0.0, 96.0))
    inner = [line for line in lines(section, "spray") if line.reach is Reach.TOGETHER]
    assert {line.stand for line in inner} == {"maize", "beans"}


def test_a_planter_wider_than_its_strip_cannot_sow_it():
    section = profile(
        MAIZE,
        BEANS,
        bands(6.0, 6.0),
        work("plant", PLANTER.replace("6.0", "9.0", 1)),
        work("drill", DRILL),
    )
    (line,) = lines(section, "plant")
    assert (line.reach, line.others) == (Reach.NOT_POSSIBLE, ("beans",))
    assert kinds(line) == ["wider", "no sections"]
    assert line.causes[0].figures == (9.0,)


def test_a_planter_that_straddles_two_strips_sows_both_together():
    soya = stand("beans", 'crop = "soya", spacing = 0.75, operation = "plant"')
    section = profile(
        MAIZE, soya, bands(6.0, 6.0), work("plant", "working_width = 12.0", "pattern")
    )
    assert reached(section, "plant") == {"maize": "only together", "beans": "only together"}
    assert kinds(lines(section, "plant")[0]) == ["wider", "sows both"]


def test_a_seed_spreader_throws_over_the_strip_beside():
    clover = stand("beans", 'crop = "clover", place = "broadcast", operation = "throw"')
    section = profile(
        MAIZE,
        clover,
        bands(6.0, 6.0),
        work("plant", PLANTER),
        work("throw", "working_width = 12.0"),
    )
    assert reached(section, "throw") == {"beans": "only together"}


def test_a_header_takes_the_strip_beside_where_it_reaches_over():
    section = strips(work("combine", "working_width = 7.5"))
    assert reached(section, "combine") == {"maize": "only together", "beans": "only together"}


def test_a_header_may_reach_over_by_a_hands_breadth():
    # 0.05 m each side, the limit is 0.1 m.
    assert reached(strips(work("combine", "working_width = 6.1")), "combine") == {
        "maize": "alone",
        "beans": "alone",
    }


def test_bare_ground_and_the_same_crop_beside_are_no_neighbours():
    section = profile(
        MAIZE,
        '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = 6.0, stand = "maize" },'
        ' { name = "N", width = 3.0, stand = "none" } ]',
        work("plant", PLANTER),
        work("roll", "working_width = 9.0"),
    )
    assert reached(section, "roll") == {"maize": "alone"}


def test_a_boom_wider_than_its_alley_meets_the_tree_row():
    # 18 m of alley, trees 1.5 m beyond its edge: 24 m reach 3 m beyond.
    section = profile(BEANS, ALLEYS, work("drill", DRILL), work("spray", "working_width = 24.0"))
    assert {line.reach for line in lines(section, "spray")} == {Reach.NOT_POSSIBLE}
    assert {kinds(line)[0] for line in lines(section, "spray")} == {"tree row"}
    section = profile(BEANS, ALLEYS, work("drill", DRILL), work("spray", "working_width = 18.0"))
    assert reached(section, "spray") == {"beans": "alone"}


def test_what_stands_out_meets_trees_too():
    # 19 m reach 0.5 m beyond the alley, 1.2 m of overhang then pass the trees at 1.5 m.
    keys = "working_width = 19.0\noverhang = 1.2"
    section = profile(BEANS, ALLEYS, work("drill", DRILL), work("spray", keys), span=(0.0, 60.0))
    assert {line.reach for line in lines(section, "spray")} == {Reach.NOT_POSSIBLE}


# Rows


def test_rows_between_coulters_cannot_be_sown():
    clover = stand("beans", 'crop = "clover", spacing = 0.15, operation = "drill"')
    (line,) = lines(profile(MAIZE, clover, bands(6.0, 6.0), SOWN), "drill")
    assert line.reach is Reach.NOT_POSSIBLE
    assert line.causes[0].figures == (0.15, 0.125)


@pytest.mark.parametrize(
    ("rows", "spacing", "told"),
    [
        # yard arithmetic [geo]: a header of 5.4 m is 7.2 rows of 0.75 m, and 9 of 0.60 m
        pytest.param(8, 0.75, "not possible", id="8 rows of 0.75 m"),
        pytest.param(10, 0.60, "alone", id="10 rows of 0.60 m"),
    ],
)
def test_a_header_of_5_4_m_takes_whole_rows_only(rows, spacing, told):
    crop = stand("maize", f'crop = "maize", rows = {rows}, spacing = {spacing}')
    combine = work("combine", "working_width = 5.4\nheader = { width = 5.4, rows = 9 }")
    section = profile(crop, BEANS, bands(6.0, 6.0), work("drill", DRILL), combine)
    assert reached(section, "combine")["maize"] == told


def test_a_header_not_made_for_rows_takes_them_with_a_word():
    # yard arithmetic [geo]: 5.4 m is 7.2 rows of 0.75 m
    (maize, beans) = lines(
        strips(work("combine", "working_width = 5.4\nheader = { width = 5.4 }")), "combine"
    )
    assert (maize.reach, kinds(maize)[0]) == (Reach.ALONE, "part rows")
    assert maize.causes[0].figures == (5.4, 0.75)
    assert "part rows" not in kinds(beans)


def test_a_header_that_takes_9_of_10_rows_comes_twice():
    # yard arithmetic [geo]: 9 of 10 rows at 0.60 m
    crop = stand("maize", 'crop = "maize", rows = 10, spacing = 0.60')
    combine = work("combine", "working_width = 5.4\nheader = { width = 5.4 }")
    section = profile(crop, BEANS, bands(6.0, 6.0), work("drill", DRILL), combine)
    line = next(line for line in lines(section, "combine") if line.stand == "maize")
    (cause,) = [cause for cause in line.causes if cause.kind == "header passes"]
    assert cause.figures == (9.0, 10.0, 2.0, 1.0)


def test_a_hoe_keeps_its_rows_and_leaves_the_crop_beside():
    hoe = work("hoe", PLANTER)
    section = strips(hoe)
    # Rows of 0.25 m under tools 0.75 m apart.
    assert reached(section, "hoe") == {"maize": "alone", "beans": "not possible"}


def test_a_hoe_that_reaches_rows_that_stand_otherwise_cannot_work():
    hoe = work("hoe", "working_width = 9.0\nrow_spacing = 0.75", more='stands = ["maize"]')
    assert reached(strips(hoe), "hoe") == {"maize": "not possible"}
    assert "other rows" in kinds(lines(strips(hoe), "hoe")[0])


def test_a_harrow_without_rows_goes_over_both():
    harrow = work("harrow", "working_width = 9.0")
    assert reached(strips(harrow), "harrow") == {"maize": "only together", "beans": "only together"}


def test_a_guess_row_is_told_where_passes_lie_side_by_side():
    # 6.3 m with 8 rows of 0.75 m: 1.05 m from pass to pass.
    planter = work("plant", "working_width = 6.3\nrows = 8\nrow_spacing = 0.75")
    loose = MAIZE.replace("rows = 8, ", "")
    drill = work("drill", DRILL)
    wide = profile(loose, BEANS, bands(12.6, 6.0), planter, drill, span=(0.0, 37.2))
    (line,) = lines(wide, "plant")
    (cause,) = [cause for cause in line.causes if cause.kind == "guess row"]
    assert cause.figures == (pytest.approx(1.05), 0.75)
    single = profile(loose, BEANS, bands(6.3, 6.0), planter, drill, span=(0.0, 24.6))
    (line,) = lines(single, "plant")
    assert kinds(line) == []


# Passes and ends


@pytest.mark.parametrize(
    ("width", "passes", "back"),
    [
        pytest.param(6.0, (2,), True, id="2 passes come back"),
        pytest.param(9.0, (3,), False, id="3 passes end at the far end"),
        # Agridea, Reihenabstand, after Bender et al. 2009: 24 m and a 3 m drill are 8 passes
        pytest.param(24.0, (8,), True, id="8 passes come back"),
    ],
)
def test_passes_in_a_strip_tell_the_end(width, passes, back):
    section = profile(MAIZE, BEANS, bands(6.0, width), SOWN, span=(0.0, 2 * (6.0 + width)))
    (line,) = lines(section, "drill")
    assert (line.passes, line.back) == (passes, back)


def test_a_cut_strip_with_another_number_of_passes_is_told_with_the_others():
    # Beans 6 to 12 m, then 18 to 21 m: 2 passes and 1.
    (line,) = lines(strips(span=(0.0, 21.0)), "drill")
    assert (line.passes, line.widths, line.strips) == ((1, 2), (3.0, 6.0), 2)
    assert line.back is False


def test_passes_across_strips_are_not_counted_by_strip():
    (line, _) = lines(strips(work("spray", "working_width = 24.0", "block")), "spray")
    assert (line.passes, line.back) == ((), None)


# Wheels and what stands beside


def test_rows_under_wheels_are_counted():
    # 8 rows at 0.375 + 0.75 k; wheels at 3 -+ 1.125 = 1.875 and 4.125, on rows 3 and 6.
    hoe = work("hoe", PLANTER + "\ntrack_width = 2.25\ntyre_width = 0.3", more='stands = ["maize"]')
    (line,) = lines(strips(hoe, span=(0.0, 12.0)), "hoe")
    assert [(hit.crop, hit.under, hit.rows) for hit in line.rows_under] == [("maize", 2, 8)]
    assert (line.reach, kinds(line)) == (Reach.NOT_POSSIBLE, ["wheels on rows"])


def test_wheels_between_rows_hit_none():
    hoe = work("hoe", PLANTER + "\ntrack_width = 1.5\ntyre_width = 0.3", more='stands = ["maize"]')
    (line,) = lines(strips(hoe, span=(0.0, 12.0)), "hoe")
    assert [(hit.under, hit.rows) for hit in line.rows_under] == [(0, 8)]
    assert line.reach is Reach.ALONE


def test_wheels_wider_than_the_strip_run_in_the_crop_beside():
    # Strips of 1.2 m under a track of 1.8 m.
    two = stand("maize", 'crop = "maize", rows = 2, spacing = 0.6, operation = "plant"')
    plant = work("plant", "working_width = 1.2\ntrack_width = 1.8\ntyre_width = 0.3")
    section = profile(two, BEANS, bands(1.2, 1.2), plant, work("drill", DRILL), span=(0.0, 12.0))
    assert {line.wheels_in for line in lines(section, "plant")} == {("beans",)}


def test_one_pass_between_other_crops_leaves_no_place_for_a_trailer():
    section = strips(work("combine", "working_width = 6.0"), span=(0.0, 60.0))
    assert all("trailer" in kinds(line) for line in lines(section, "combine"))
    section = strips(work("combine", "working_width = 3.0"))
    assert not any("trailer" in kinds(line) for line in lines(section, "combine"))


def test_what_a_harvester_stands_out_is_told():
    section = strips(work("combine", "working_width = 3.0\noverhang = 0.3"))
    assert all("overhang" in kinds(line) for line in lines(section, "combine"))


# Said and not said


def test_a_machine_that_no_operation_names_is_held_against_the_strips_too():
    (maize, beans) = lines(strips(idle("sprayer", "working_width = 24.0")), "spray?")
    assert (maize.said, maize.reach, beans.reach) == (False, Reach.TOGETHER, Reach.TOGETHER)


def test_what_is_not_said_is_told_with_the_crops_left():
    clover = stand("beans", 'crop = "clover", spacing = 0.25')
    section = profile(MAIZE, clover, bands(6.0, 6.0), work("plant", PLANTER))
    told = unsaid_works(section, strip_table(section))
    assert told == [
        (Work.SOW, ("clover",)),
        (Work.ROLL, ()),
        (Work.SPREAD, ()),
        (Work.SPRAY, ()),
        (Work.HOE, ()),
        (Work.IRRIGATE, ()),
        (Work.HARVEST, ("maize", "beans")),
        (Work.CART, ()),
    ]


def test_what_stands_already_and_what_is_not_taken_needs_no_machine():
    sward = stand("maize", 'crop = "grass", place = "standing"')
    green = stand(
        "beans", 'crop = "mustard", spacing = 0.25, harvested = false, operation = "drill"'
    )
    section = profile(sward, green, bands(6.0, 6.0), work("drill", DRILL))
    told = dict(unsaid_works(section, strip_table(section)))
    assert Work.SOW not in told
    assert Work.HARVEST not in told


# Properties


@given(width=st.floats(1.0, 30.0), strip=st.floats(3.0, 15.0))
@example(width=6.05, strip=6.0)
@example(width=24.0, strip=6.0)
def test_a_roll_reaches_alone_what_is_as_wide_as_itself_or_wider(width, strip):
    """Passes move inward at the edge, so only a strip narrower than the machine is left."""
    section = profile(
        MAIZE.replace("rows = 8, ", ""),
        BEANS,
        bands(strip, strip),
        work("roll", f"working_width = {width}"),
        work("plant", PLANTER),
        work("drill", DRILL),
        span=(0.0, 6 * strip),
    )
    over = (width - strip) / 2  # each side
    if abs(over - 0.05) < 1e-6:
        return
    told = "alone" if over <= 0.05 else "only together"
    assert reached(section, "roll") == {"maize": told, "beans": told}


@given(
    boom=st.sampled_from([12.0, 18.0, 24.0, 36.0]),
    sections=st.integers(1, 36),
    move=st.integers(0, 48).map(lambda quarters: quarters / 4),
)
def test_parts_that_end_on_every_border_reach_alone_and_only_they(boom, sections, move):
    """Counted another way: is each border a whole number of parts from the pass's edge."""
    keys = f"working_width = {boom}\nsections = {sections}"
    section = strips(work("spray", keys, "block", f"offset = {move}"), span=(0.0, 144.0))
    part = boom / sections
    index = len(section.plan.operations) - 1
    mine = section.passes.of(index)
    alone = {cut.number: True for cut in section.section.cuts}
    for cut in section.section.cuts:
        for t0, t1, r0, r1 in zip(mine.t0, mine.t1, mine.reach0, mine.reach1, strict=True):
            if min(t1, cut.t1) - max(t0, cut.t0) <= 0.05:
                continue
            inside = [e for e in (cut.t0, cut.t1) if r0 + 0.05 < e < r1 - 0.05 and 0 < e < 144]
            off = [abs((e - r0) / part - round((e - r0) / part)) * part for e in inside]
            assume(all(abs(x - 0.05) > 1e-6 for x in off))  # on the limit rounding decides
            alone[cut.number] &= all(x <= 0.05 for x in off)
    found = lines(section, "spray")
    counted = sum(line.strips for line in found if line.reach is Reach.ALONE)
    assert counted == sum(alone.values())
    assert sum(line.strips for line in found) == len(section.section.cuts)
