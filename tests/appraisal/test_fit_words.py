"""The operation-by-strip table and tramlines in words."""

import pytest
from section_profiles import BEANS, DRILL, MAIZE, PLANTER, SOWN, bands, idle, profile, strips, work

from geolayout.appraisal.fit.table import strip_table, unsaid_works
from geolayout.appraisal.fit.tramlines import tramlines_of
from geolayout.appraisal.fit.words import (
    STRIP_HEAD,
    strip_lines,
    strip_reasons,
    strip_rows,
    tramline_words,
    unsaid_words,
)
from geolayout.plan.units import IMPERIAL

LOOSE = MAIZE.replace("rows = 8, ", "")


def reasons(section):
    return "\n".join(strip_reasons(strip_table(section)))


def rows_of(section, operation):
    return [row for row in strip_rows(strip_table(section)) if row[0] == operation]


def test_a_row_tells_operation_machine_strips_stand_reach_and_passes():
    assert strip_rows(strip_table(strips())) == [
        ("plant", "plant", "A, 6 m", "maize", "alone", "1, far"),
        ("drill", "drill", "B, 6 m", "beans", "alone", "2, back"),
    ]
    assert len(STRIP_HEAD) == 6


def test_a_way_out_at_the_far_end_is_told():
    section = strips(work("roll", "working_width = 6.0\nfar_side_access = true"))
    assert {row[5] for row in rows_of(section, "roll")} == {"1, out"}
    told = strip_lines(strip_table(section))[-1]
    assert told.endswith("1 pass, ends at the far end, where it has a way out.")


def test_strips_of_several_widths_and_passes_are_one_row():
    assert rows_of(strips(span=(0.0, 21.0)), "drill") == [
        ("drill", "drill", "B, 3 to 6 m", "beans", "alone", "1 or 2")
    ]


def test_strips_of_one_stand_that_are_reached_otherwise_have_their_count():
    # Beans 6 to 12 m and 18 to 20 m, under a drill of 3 m.
    found = rows_of(strips(span=(0.0, 20.0)), "drill")
    assert [row[2] for row in found] == ["B (1), 6 m", "B (1), 2 m"]
    assert [row[4] for row in found] == ["alone", "no"]


def test_the_table_can_be_read_without_columns():
    assert strip_lines(strip_table(strips())) == [
        "plant (plant) on A, 6 m, maize: alone; 1 pass, ends at the far end.",
        "drill (drill) on B, 6 m, beans: alone; 2 passes, back where it began.",
    ]


def test_widths_follow_the_units():
    (row, _) = strip_rows(strip_table(strips()), IMPERIAL)
    assert row[2] == "A, 19.69 ft"  # 6 / 0.3048


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        pytest.param(
            work("spread", "working_width = 24.0", "block"),
            "spread, maize: only together with beans: 24.00 m at once over strips of 6 m; "
            "nothing of it shuts off.",
            id="a spreader over both",
        ),
        pytest.param(
            work("spray", "working_width = 24.0\nsections = 8", "block"),
            "spray, maize; beans: alone: 24.00 m at once over strips of 6 m; its parts of 3.00 m "
            "end on the borders and can be shut off.",
            id="parts that shut off",
        ),
        pytest.param(
            work("combine", "working_width = 5.4\nheader = { width = 5.4 }"),
            "combine, maize: the header of 5.40 m covers 7.2 rows of maize at 0.75 m, so a row "
            "stands under its edge.",
            id="7.2 rows, yard arithmetic [geo]",
        ),
        pytest.param(
            work("combine", "working_width = 6.0\nheader = { width = 6.0, rows = 8 }"),
            "combine, beans: not possible: the header of 6.00 m, made for 8 rows, covers 24.0 "
            "rows of field beans at 0.25 m.",
            id="a header made for rows",
        ),
        pytest.param(
            work("hoe", PLANTER),
            "hoe, beans: not possible: rows of field beans stand 0.25 m apart, those of the "
            "machine 0.75 m.",
            id="a hoe in other rows",
        ),
        pytest.param(
            work("combine", "working_width = 6.0\noverhang = 0.3"),
            "combine, maize; beans: it stands out 0.30 m over the strips beside.",
            id="what stands out",
        ),
        pytest.param(
            work("combine", "working_width = 6.0"),
            "combine, maize; beans: one pass takes the strip, so a trailer alongside runs in the "
            "strip beside.",
            id="a trailer",
        ),
        pytest.param(
            idle("sprayer", "working_width = 24.0"),
            '"?": no operation of the plan says so; one of its machines could.',
            id="what the question mark means",
        ),
    ],
)
def test_reasons_are_said(parts, said):
    assert said in strip_reasons(strip_table(strips(parts)))


def test_a_strip_reached_alone_without_a_word_needs_none():
    assert strip_reasons(strip_table(strips())) == []


def test_a_track_that_straddles_no_rows_is_said_with_those_that_do():
    # yard arithmetic [geo]: 1.8 m straddles no 0.75 m rows, 1.5 or 2.25 m with the right phase
    keys = "working_width = 24.0\ntrack_width = 1.8\ntyre_width = 0.4"
    assert (
        "a track of 1.80 m straddles no rows of maize 0.75 m apart; 1.50 m (middle of the pass "
        "between two rows) or 2.25 m (middle of the pass on a row) does."
    ) in reasons(strips(work("spray", keys, "block")))


def test_a_track_that_straddles_rows_but_runs_on_them_is_said_its_phase():
    # 8 rows about 3 m: the middle of the pass lies between two rows, and 2.25 m wants it on one.
    keys = PLANTER + "\ntrack_width = 2.25\ntyre_width = 0.4"
    told = reasons(strips(work("roll", keys), span=(0.0, 12.0)))
    assert "its wheels run on 2 of 8 rows of maize." in told
    assert (
        "a track of 2.25 m straddles rows of maize 0.75 m apart with the middle of the pass on a "
        "row."
    ) in told


def test_a_guess_row_is_said():
    planter = work("plant", "working_width = 6.3\nrows = 8\nrow_spacing = 0.75")
    section = profile(
        LOOSE, BEANS, bands(12.6, 6.0), planter, work("drill", DRILL), span=(0.0, 37.2)
    )
    assert "plant, maize: rows are 1.05 m apart from pass to pass, 0.75 m within one." in reasons(
        section
    )


def test_rows_left_for_the_last_pass_of_a_header_are_said():
    # yard arithmetic [geo]: 9 of 10 rows at 0.60 m
    crop = MAIZE.replace("rows = 8, spacing = 0.75", "rows = 10, spacing = 0.6")
    combine = work("combine", "working_width = 5.4\nheader = { width = 5.4 }")
    assert (
        "combine, maize: 9 rows of maize a pass, 10 in the strip: 2 passes, the last takes 1."
    ) in reasons(profile(crop, BEANS, bands(6.0, 6.0), SOWN, combine))


# Tramlines


def tramlines(*parts, span=(0.0, 72.0)):
    (told,) = tramline_words(tramlines_of(strips(*parts, span=span)))
    return told


def test_tramlines_on_borders_are_said_with_the_remedy():
    # yard arithmetic [geo]: 12, 36, 60 m on borders; a first strip of 3 m
    keys = "working_width = 24.0\ntrack_width = 1.8\ntyre_width = 0.4"
    assert tramlines(work("spray", keys, "block")) == (
        "spray: 3 of 3 tramlines at 12.00, 36.00, 60.00 m run on a border, a wheel in each crop. "
        "With the strips 3.00 m farther from the near side, so with a first strip of that width, "
        "each keeps 3.00 m: add 3 m to the guide's start and take it from the operation's offset."
    )


def test_tramlines_that_run_well_are_said_so():
    told = tramlines(
        work("spray", "working_width = 24.0", "block", "offset = -3.0"), span=(-3.0, 69.0)
    )
    assert told == "spray: tramlines at 9.00, 33.00, 57.00 m; each keeps 3.00 m from a border."


def test_passes_moved_inward_at_the_edge_are_said_to_be():
    # 12 m of land under 24 m: the pass runs in the middle, on the border.
    told = tramlines(work("spray", "working_width = 24.0", "block", "offset = -3.0"), span=(0, 12))
    assert told == (
        "spray: 1 of 1 tramline at 6.00 m runs on a border, a wheel in each crop. Only passes "
        "moved inward at the land's edges do."
    )


def test_strips_that_stay_are_said_the_offset():
    keys = "working_width = 24.0"
    section = profile(
        MAIZE,
        BEANS,
        bands(6.0, 6.0, more="repeats = 2"),
        SOWN,
        work("spray", keys, "block"),
        span=(0.0, 72.0),
    )
    (told,) = tramline_words(tramlines_of(section))
    assert "m more in the operation's offset all but those at the land's edges keep" in told


def test_strips_too_narrow_for_the_track_are_said_so():
    section = profile(
        LOOSE,
        BEANS,
        bands(1.5, 1.5),
        work("spray", "working_width = 12.0\ntrack_width = 1.8\ntyre_width = 0.4", "block"),
        SOWN,
        span=(0.0, 36.0),
    )
    (told,) = tramline_words(tramlines_of(section))
    assert "Nowhere do these strips leave room for all: at best 0.75 m." in told


# Not said


def test_what_is_not_said_is_said():
    section = strips()
    assert unsaid_words(unsaid_works(section, strip_table(section))) == [
        "Not said: what harvests maize and beans.",
        "Not said, with no machine for it: roll, spread, spray, hoe, irrigate, cart.",
    ]
