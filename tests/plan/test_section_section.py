"""A pattern laid across a span: who is cut, who gives way, and what never moves."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from geolayout.errors import LayoutError, MeasureError
from geolayout.plan.pattern import Band, BandTrees, Pattern, Trial
from geolayout.plan.section.section import Cut, CutKind, Section, cut_section, shifted
from geolayout.plan.slack import ACROSS_SLACK

TREES = BandTrees(in_row_spacing=5.0)


def alleys(**keys) -> Pattern:
    """Return the alleys of the rule of the remainder: A 24 m, T 3 m whole, closed with A."""
    bands = (
        Band(name="A", width=24.0, stand="barley", min_width=12.0),
        Band(name="T", width=3.0, whole=True, trees=TREES),
    )
    return Pattern(name="alleys", bands=bands, **{"close_with": "A", **keys})


def strips(*widths: float, whole: str = "", **keys) -> Pattern:
    """Return bands A, B, C ... of these widths; those named in `whole` are never cut."""
    bands = tuple(
        Band(name=name, width=width, stand="none", whole=name in whole)
        for name, width in zip("ABCDE", widths, strict=False)
    )
    return Pattern(name="strips", bands=bands, **keys)


def written(section: Section) -> list[tuple[str, float]]:
    """Return names and widths, as one would write the section on paper."""
    return [(cut.band or str(cut.kind), round(cut.width, 6)) for cut in section.cuts]


def widths(section: Section) -> list[float]:
    return [width for _, width in written(section)]


# ---- the rule of the remainder, by hand


@pytest.mark.parametrize(
    ("span", "expected"),
    [
        # 24 + 3 + 24 + 3 + 24 + 3 = 81, 19 are left: at least 12, so A is cut
        pytest.param(100.0, [24, 3, 24, 3, 24, 3, 19], id="100 m end with a cut alley"),
        # 9 are left after 81: less than 12, T falls away, A is 24 + 3 + 9 = 36
        pytest.param(90.0, [24, 3, 24, 3, 36], id="90 m end with a wide alley"),
        # 80 - 54 = 26: A whole is 24, 2 m hold no whole T and join A
        pytest.param(80.0, [24, 3, 24, 3, 26], id="80 m end with an alley that takes the rest"),
    ],
)
def test_alleys_give_way_as_the_rule_says(span, expected):
    assert widths(cut_section(alleys(), (0.0, span))) == expected


@pytest.mark.parametrize(
    ("remainder", "expected"),
    [
        pytest.param("cut", [("A", 6), ("B", 3), ("A", 6), ("B", 3), ("A", 2)], id="cut"),
        # no min_width was said, so nothing is cut: the last B takes the 2 m
        pytest.param("widen", [("A", 6), ("B", 3), ("A", 6), ("B", 5)], id="widen"),
        # 2 m over 18 m of bands: each grows by a ninth
        pytest.param(
            "spread",
            [("A", 6 + 6 / 9), ("B", 3 + 3 / 9), ("A", 6 + 6 / 9), ("B", 3 + 3 / 9)],
            id="spread",
        ),
        pytest.param(
            "headland", [("A", 6), ("B", 3), ("A", 6), ("B", 3), ("headland", 2)], id="headland"
        ),
    ],
)
def test_two_metres_left_go_where_the_pattern_says(remainder, expected):
    """20 m = 2 repeats of 6 + 3 m, 2 m are left."""
    section = cut_section(strips(6.0, 3.0, remainder=remainder), (0.0, 20.0))
    assert [name for name, _ in written(section)] == [name for name, _ in expected]
    np.testing.assert_allclose(widths(section), [width for _, width in expected], atol=1e-6)


@pytest.mark.parametrize("remainder", ["widen", "spread", "headland"])
def test_a_band_with_a_least_width_is_cut_whatever_the_remainder(remainder):
    """A states min_width 2 m and 4 m are left, so it is cut before anything is shared out."""
    bands = (Band(name="A", width=6.0, stand="none", min_width=2.0),)
    section = cut_section(Pattern(name="p", bands=bands, remainder=remainder), (0.0, 10.0))
    assert written(section) == [("A", 6), ("A", 4)]


def test_whole_bands_leave_what_they_cannot_take():
    section = cut_section(strips(6.0, 6.0, whole="AB"), (0.0, 40.0))
    assert written(section)[-1] == ("left over", 4)
    assert section.cuts[-1].note == "given up by the pattern"


def test_a_cut_band_that_may_not_stay_gives_its_ground_to_the_band_before():
    """10 m: A 6 m; B is whole and finds 4 m. With remainder cut, A takes them: 10 m."""
    assert written(cut_section(strips(6.0, 6.0, whole="B"), (0.0, 10.0))) == [("A", 10)]


def test_the_near_side_follows_the_same_rule():
    """Back from 0: T to -3, then 17 m for A (at least 12): cut."""
    assert written(cut_section(alleys(), (-20.0, 24.0))) == [("A", 17), ("T", 3), ("A", 24)]
    # back from 0: T to -3, then 5 m for A (less than 12): A and T go, the first A is 24 + 8
    assert written(cut_section(alleys(), (-8.0, 24.0))) == [("A", 32)]


@pytest.mark.parametrize(
    ("far", "count", "last"),
    [
        pytest.param(36.04, 6, 6.04, id="4 cm join the last band"),
        pytest.param(36.06, 7, 0.06, id="6 cm are a band of their own"),
        pytest.param(35.96, 6, 5.96, id="4 cm short is no cut"),
    ],
)
def test_five_centimetres_decide_nothing(far, count, last):
    section = cut_section(strips(6.0, 6.0), (0.0, far))
    assert len(section.cuts) == count
    assert section.cuts[-1].width == pytest.approx(last, abs=1e-9)


def test_a_sliver_behind_the_anchor_lays_no_band():
    """1.5 cm of the B behind the anchor: without it nothing fits, and with it nothing does."""
    pattern = strips(1.0, 0.5, whole="A")
    assert written(cut_section(pattern, (0.0, 0.5))) == [("left over", 0.5)]
    assert written(cut_section(pattern, (-0.015, 0.5))) == [("left over", 0.515)]


def test_a_cut_band_is_kept_at_its_least_width_and_given_up_below():
    """A is at least 12: 54 + 12 = 66 keeps it, 5 cm less still does, 6 cm less does not."""
    assert widths(cut_section(alleys(), (0.0, 66.0)))[-1] == 12
    assert widths(cut_section(alleys(), (0.0, 65.95)))[-1] == pytest.approx(11.95)
    assert widths(cut_section(alleys(), (0.0, 65.94)))[-1] == pytest.approx(24 + 3 + 11.94)


def test_what_gave_way_is_told_with_its_amount():
    section = cut_section(alleys(), (0.0, 90.0))
    told = [(given.what.split(" at ")[0], round(given.amount, 6)) for given in section.gave_way]
    assert told == [
        ("Band A is left out", 9.0),
        ("Band T is left out", 3.0),
        ("Band A", 12.0),
    ]
    assert section.gave_way[-1].what == "Band A at the edge is widened by 12.00 m."


def test_nothing_gives_way_where_everything_fits():
    assert cut_section(strips(6.0, 6.0), (0.0, 36.0)).gave_way == ()


# ---- repeats, the rest, trees


def test_repeats_end_and_the_rest_grows_behind_them():
    section = cut_section(strips(60.0, 9.0, repeats=1, rest="barley"), (0.0, 160.0))
    assert written(section) == [("A", 60), ("B", 9), ("rest", 91)]
    rest = section.cuts[-1]
    assert (rest.index, rest.number, rest.repeat, rest.kind) == (-1, 3, 2, CutKind.BAND)


def test_land_behind_the_repeats_is_left_over_where_no_rest_is_named():
    section = cut_section(strips(6.0, repeats=2), (0.0, 20.0))
    assert written(section) == [("A", 6), ("A", 6), ("left over", 8)]


def test_the_rest_also_lies_before_the_first_repeat():
    section = cut_section(strips(6.0, repeats=1, rest="barley"), (-4.0, 10.0))
    assert written(section) == [("rest", 4), ("A", 6), ("rest", 4)]
    assert [cut.number for cut in section.cuts] == [1, 2, 3]


def test_the_last_repeat_is_cut_like_any_other_where_the_land_ends_first():
    section = cut_section(strips(6.0, 6.0, repeats=9, rest="barley"), (0.0, 20.0))
    assert written(section) == [("A", 6), ("B", 6), ("A", 6), ("B", 2)]


@pytest.mark.parametrize(
    ("order", "expected"),
    [
        pytest.param("first", [("R", 17), ("A", 3)], id="the rest comes first"),
        pytest.param("last", [("A", 3), ("R", 17)], id="the rest comes last"),
    ],
)
def test_one_band_takes_what_the_others_leave(order, expected):
    fixed = Band(name="A", width=3.0, stand="none")
    taker = Band(name="R", width="rest", stand="none")
    bands = (taker, fixed) if order == "first" else (fixed, taker)
    section = cut_section(Pattern(name="p", bands=bands), (0.0, 20.0))
    assert written(section) == expected


def test_land_before_a_pattern_laid_once_is_left_over():
    bands = (Band(name="R", width="rest", stand="none"),)
    section = cut_section(Pattern(name="p", bands=bands), (-5.0, 20.0))
    assert written(section) == [("left over", 5), ("R", 20)]


def test_bands_with_trees_are_tree_bands():
    kinds = [cut.kind for cut in cut_section(alleys(), (0.0, 51.0)).cuts]
    assert kinds == [CutKind.BAND, CutKind.TREE_BAND, CutKind.BAND]
    assert all(cut.grows for cut in cut_section(alleys(), (0.0, 51.0)).cuts)


def test_where_no_band_fits_all_the_land_is_left_over():
    section = cut_section(strips(6.0, whole="A"), (0.0, 4.0))
    assert written(section) == [("left over", 4)]
    assert section.bands == ()


def test_numbers_are_kept_even_where_no_band_fits():
    assert cut_section(strips(6.0, whole="A"), (0.0, 4.0), 5).number_at_anchor == 5


def test_a_band_widened_on_one_side_and_cut_on_the_other_says_both():
    """-0.5 to 0.5: A may not be cut and goes, B takes its 0.5 m and is then cut to 1 m."""
    bands = (
        Band(name="A", width=1.0, stand="none"),
        Band(name="B", width=1.0, stand="none", min_width=0.5),
    )
    (cut,) = cut_section(Pattern(name="p", bands=bands, remainder="widen"), (-0.5, 0.5)).cuts
    assert (cut.band, cut.note) == ("B", "widened by 0.50 m, cut to 1.00 m")


def test_a_band_cut_on_both_sides_says_its_last_width():
    (cut,) = cut_section(strips(24.0), (3.0, 10.0)).cuts
    assert cut.note == "cut to 7.00 m"


# ---- bad input


@pytest.mark.parametrize(
    "span",
    [
        pytest.param((5.0, 5.0), id="no width at all"),
        pytest.param((5.0, 4.0), id="back to front"),
        pytest.param((0.0, float("nan")), id="not a number"),
    ],
)
def test_a_span_has_some_width(span):
    with pytest.raises(MeasureError, match="A section needs some width"):
        cut_section(strips(6.0), span)


def test_fixed_bands_that_leave_no_rest_are_refused_with_both_widths():
    bands = (
        Band(name="A", width=12.0, stand="none"),
        Band(name="R", width="rest", stand="none", min_width=3.0),
    )
    with pytest.raises(MeasureError, match=r"take 12 m and the land is 14\.00 m .* 2\.00 m wide"):
        cut_section(Pattern(name="p", bands=bands), (0.0, 14.0))


def test_a_trial_is_not_cut_before_its_plots_are_in_order():
    trial = Trial(treatments=("a", "b"), replicates=2, plot_width=6.0, harvest_width=6.0)
    with pytest.raises(LayoutError, match="Resolve the plan first"):
        cut_section(Pattern(name="trial", trial=trial), (0.0, 40.0))


# ---- numbers


def test_numbers_count_from_the_near_side_when_first_resolved():
    section = cut_section(strips(6.0, 6.0), (-9.0, 12.0))
    # -9 ... -6 a cut A, -6 ... 0 B, then A and B of repeat 1
    assert [(c.band, c.number, c.repeat) for c in section.cuts] == [
        ("A", 1, 0),
        ("B", 2, 0),
        ("A", 3, 1),
        ("B", 4, 1),
    ]
    assert section.number_at_anchor == 3


def test_numbers_are_kept_and_new_bands_before_the_first_go_below_one():
    """First resolved from 0; land added on the near side brings bands 0 and -1."""
    first = cut_section(strips(6.0, 6.0), (0.0, 24.0))
    later = cut_section(strips(6.0, 6.0), (-9.0, 24.0), first.number_at_anchor)
    assert [cut.number for cut in later.cuts] == [-1, 0, 1, 2, 3, 4]
    assert later.number_at_anchor == first.number_at_anchor == 1


def test_land_that_no_band_takes_has_no_number():
    section = cut_section(strips(6.0, remainder="headland"), (-2.0, 14.0))
    assert written(section) == [("headland", 2), ("A", 6), ("A", 6), ("headland", 2)]
    assert [(c.number, c.repeat, c.index) for c in section.cuts] == [
        (0, 0, -1),
        (1, 1, 0),
        (2, 2, 0),
        (0, 0, -1),
    ]


# ---- beds: the edges that rows are placed by


def test_a_cut_band_keeps_the_bed_of_the_uncut_band():
    section = cut_section(strips(6.0, 6.0), (-2.0, 15.0))
    assert [cut.bed for cut in section.cuts] == [(-6, 0), (0, 6), (6, 12), (12, 18)]


def test_a_band_cut_on_both_sides_keeps_the_bed_of_the_uncut_band():
    (cut,) = cut_section(strips(24.0), (3.0, 10.0)).cuts
    assert (cut.t0, cut.t1, cut.bed) == (3.0, 10.0, (0.0, 24.0))


def test_a_widened_band_has_its_new_ground_as_its_bed():
    section = cut_section(strips(6.0, remainder="widen"), (0.0, 8.0))
    assert [cut.bed for cut in section.cuts] == [(0, 8)]


@pytest.mark.parametrize("left", [0.06, 0.09, 0.3, 3.0], ids=lambda left: f"{left} m are shared")
def test_bands_that_share_what_is_left_have_their_new_ground_as_bed(left):
    """However little each takes: a bed elsewhere than its ground would lose a row at its edge."""
    pattern = strips(6.0, 1.0, whole="B", remainder="spread")
    section = cut_section(pattern, (0.0, 21.0 + left))
    assert len(section.cuts) == 6
    for cut in section.cuts:
        assert cut.bed == pytest.approx((cut.t0, cut.t1), abs=1e-9)


def test_four_centimetres_more_land_move_no_bed():
    section = cut_section(strips(6.0), (-0.04, 12.04))
    assert [cut.bed for cut in section.cuts] == [(0, 6), (6, 12)]
    assert [(cut.t0, cut.t1) for cut in section.cuts] == [(-0.04, 6), (6, 12.04)]


def test_a_shifted_section_moves_ground_and_beds_and_keeps_everything_else():
    section = cut_section(strips(6.0, 6.0), (0.0, 20.0))
    moved = shifted(section, 3.0)
    for before, after in zip(section.cuts, moved.cuts, strict=True):
        assert (after.t0, after.t1) == (before.t0 + 3, before.t1 + 3)
        assert after.bed == (before.bed[0] + 3, before.bed[1] + 3)
        assert replace(after, t0=before.t0, t1=before.t1, bed=before.bed) == before
    assert moved.number_at_anchor == section.number_at_anchor


# ---- properties

half_metres = st.integers(1, 60).map(lambda n: n / 2)


@st.composite
def patterns(draw, *, palindromic: bool = False) -> Pattern:
    """Draw a pattern on a grid of half metres, so that steps lie far from any noise."""
    count = draw(st.integers(1, 4))
    sizes = [draw(half_metres) for _ in range(count)]
    whole = [draw(st.booleans()) for _ in range(count)]
    least = [draw(st.none() | half_metres.filter(lambda w, s=s: w <= s)) for s in sizes]
    if palindromic:
        sizes, whole, least = (values + values[-2::-1] for values in (sizes, whole, least))
    bands = tuple(
        Band(name=f"band {i}", width=size, stand="none", whole=w, min_width=m)
        for i, (size, w, m) in enumerate(zip(sizes, whole, least, strict=True))
    )
    close = None if palindromic else draw(st.none() | st.sampled_from([b.name for b in bands]))
    remainder = draw(st.sampled_from(["cut", "widen", "spread", "headland"]))
    repeats = None if palindromic else draw(st.none() | st.integers(1, 4))
    rest = draw(st.none() | st.just("grass")) if repeats else None
    return Pattern(
        name="drawn",
        bands=bands,
        remainder=remainder,
        close_with=close,
        repeats=repeats,
        rest=rest,
    )


nears = st.integers(-80, 0).map(lambda n: n / 2)
lengths = st.integers(1, 400).map(lambda n: n / 2)


def laid(section: Section) -> list[Cut]:
    """Return the bands of the pattern itself, without the rest."""
    return [cut for cut in section.bands if cut.index >= 0]


@given(pattern=patterns(), near=nears, length=st.floats(0.01, 300.0))
@example(pattern=alleys(), near=-8.0, length=98.0)
def test_cuts_cover_the_span_without_gap_or_overlap(pattern, near, length):
    section = cut_section(pattern, (near, near + length))
    edges = [section.cuts[0].t0, *(cut.t1 for cut in section.cuts)]
    begins = [cut.t0 for cut in section.cuts]
    assert edges[0] == near
    assert edges[-1] == near + length
    np.testing.assert_allclose(begins, edges[:-1], rtol=0, atol=1e-9)
    assert all(cut.width > 0 for cut in section.cuts)


@given(pattern=patterns(), near=nears, length=st.floats(0.01, 300.0))
def test_no_whole_band_is_ever_cut(pattern, near, length):
    section = cut_section(pattern, (near, near + length))
    for cut in laid(section):
        band = pattern.bands[cut.index]
        if band.whole:
            assert cut.width >= band.width - 2 * ACROSS_SLACK
            assert "cut" not in cut.note


@given(pattern=patterns(), near=nears, length=lengths)
def test_bands_that_nothing_is_said_about_have_their_width(pattern, near, length):
    """Neither cut nor widened is as written: only 5 cm at an edge may come or go."""
    cuts = laid(cut_section(pattern, (near, near + length)))
    for place, cut in enumerate(cuts):
        if cut.note:
            continue
        outer = (place == 0) + (place == len(cuts) - 1)
        assert cut.width == pytest.approx(
            pattern.bands[cut.index].width, abs=1e-9 + outer * ACROSS_SLACK
        )


@given(pattern=patterns(), near=nears, length=lengths)
def test_the_closing_band_is_the_last_on_both_sides(pattern, near, length):
    assume(pattern.close_with is not None)
    bands = laid(cut_section(pattern, (near, near + length)))
    if bands:
        assert bands[0].band == pattern.close_with == bands[-1].band


@given(pattern=patterns(palindromic=True), near=nears, length=lengths)
def test_a_mirrored_span_gives_the_mirrored_section(pattern, near, length):
    far = near + length
    assume(far >= 0)  # each side shares out behind or ahead of the anchor only
    ahead = cut_section(pattern, (near, far)).cuts
    back = cut_section(pattern, (-far, -near)).cuts
    mirrored = [(-cut.t1, -cut.t0, cut.kind) for cut in reversed(back)]
    assert [kind for *_, kind in mirrored] == [cut.kind for cut in ahead]
    np.testing.assert_allclose(
        [edges[:2] for edges in mirrored], [(cut.t0, cut.t1) for cut in ahead], atol=1e-9
    )


@given(
    pattern=patterns(),
    near=nears,
    length=lengths,
    noise=st.tuples(*[st.floats(-0.02, 0.02)] * 2),
)
def test_noise_at_the_edges_changes_no_count(pattern, near, length, noise):
    far = near + length
    clean = cut_section(pattern, (near, far))
    noisy = cut_section(pattern, (near + noise[0], far + noise[1]))
    what = [(c.band, c.number, c.repeat, c.kind) for c in clean.cuts]
    assert [(c.band, c.number, c.repeat, c.kind) for c in noisy.cuts] == what
    assert noisy.number_at_anchor == clean.number_at_anchor


@given(pattern=patterns(), near=nears, length=lengths, more=st.floats(0.0, 100.0))
def test_bands_do_not_move_when_the_far_side_does(pattern, near, length, more):
    """Unless they share the remainder, bands inside the land stay where the anchor put them."""
    assume(pattern.remainder != "spread")
    short = cut_section(pattern, (near, near + length))
    long = cut_section(pattern, (near, near + length + more))
    if not laid(short):
        return
    found = {(cut.repeat, cut.index): cut for cut in laid(long)}
    for cut in laid(short)[:-1]:
        other = found[cut.repeat, cut.index]
        assert (other.t0, other.t1) == (cut.t0, cut.t1)
        assert other.number == cut.number
        assert other.bed == cut.bed


@given(pattern=patterns(), near=nears, length=lengths, number=st.integers(-9, 9))
def test_numbers_run_on_by_one_from_the_one_at_the_anchor(pattern, near, length, number):
    section = cut_section(pattern, (near, near + length), number)
    assume(laid(section))
    numbers = [cut.number for cut in section.bands]
    assert numbers == list(range(numbers[0], numbers[0] + len(numbers)))
    for cut in laid(section):
        order = (cut.repeat - 1) * len(pattern.bands) + cut.index
        assert cut.number == number + order
    assert section.number_at_anchor == number


@given(pattern=patterns(), near=nears, length=lengths)
def test_first_numbers_begin_with_one_at_the_near_side(pattern, near, length):
    section = cut_section(pattern, (near, near + length))
    if laid(section):
        assert section.bands[0].number == 1


@given(pattern=patterns(), near=nears, length=lengths)
def test_a_bed_is_the_band_as_written_or_as_widened(pattern, near, length):
    for cut in laid(cut_section(pattern, (near, near + length))):
        bed = cut.bed[1] - cut.bed[0]
        if "widened" in cut.note:
            assert bed >= cut.width - 1e-9
        else:
            assert bed == pytest.approx(pattern.bands[cut.index].width, abs=1e-9)
        assert cut.bed[0] <= cut.t0 + ACROSS_SLACK
        assert cut.bed[1] >= cut.t1 - ACROSS_SLACK


@pytest.mark.parametrize(
    ("land", "told"),
    [
        # A 6, B 1 (whole): one A takes the 2 m left of 8 or 9; two share what 16 leaves.
        pytest.param(9.0, "are spread over 1 band.", id="one band takes it all"),
        pytest.param(16.0, "are spread over 2 bands.", id="two bands share it"),
    ],
)
def test_what_is_spread_is_told_with_the_number_of_bands(land, told):
    section = cut_section(strips(6.0, 1.0, whole="B", remainder="spread"), (0.0, land))
    assert section.gave_way[-1].what.endswith(told)
