"""Rows and tree rows across the section, by floor and middle, motif and gap."""

import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from geolayout.errors import MeasureError
from geolayout.plan.pattern import Band, BandTrees, Pattern
from geolayout.plan.section.rows import even_rows, motif_rows, place_rows, place_tree_rows
from geolayout.plan.section.section import Cut, cut_section, shifted
from geolayout.plan.slack import ACROSS_SLACK, EDGE_SLACK
from geolayout.plan.stand import Sowing, Stand


def stand(*sowings: dict) -> Stand:
    return Stand(name="stand", sowing=tuple(Sowing(**sowing) for sowing in sowings))


def cuts(width: float, span: tuple[float, float], **keys) -> tuple[Cut, ...]:
    """Return the section of one band repeated."""
    band = Band(name="A", width=width, stand="stand")
    return cut_section(Pattern(name="p", bands=(band,), **keys), span).cuts


def placed(width: float, span: tuple[float, float], *sowings: dict, **keys) -> list[list[float]]:
    """Return the places of each sowing of a stand that grows on every band."""
    section = cuts(width, span, **keys)
    places = place_rows(section, [stand(*sowings)] * len(section))
    return [places.t[places.sowing == j].tolist() for j in range(len(sowings))]


MAIZE = {"crop": "maize", "rows": 8, "spacing": 0.75}
CLOVER = {"crop": "clover", "between": "maize", "rows": 3, "spacing": 0.15}


# ---- evenly spaced rows


@pytest.mark.parametrize(
    ("width", "rows", "spacing", "expected"),
    [
        # floor(6.05 / 0.75) = 8, (6 - 7 x 0.75) / 2 = 0.375
        pytest.param(6.0, None, 0.75, 0.375 + 0.75 * np.arange(8), id="as many as fit"),
        # floor(5.96 + 0.05 = 6.01, by 0.75) = 8: 4 cm short changes no count; 0.355 outside
        pytest.param(5.96, None, 0.75, 0.355 + 0.75 * np.arange(8), id="4 cm short"),
        # floor(5.99 / 0.75) = 7, (5.94 - 4.5) / 2 = 0.72
        pytest.param(5.94, None, 0.75, 0.72 + 0.75 * np.arange(7), id="6 cm short loses one"),
        # 6 / 4 = 1.5 apart, 0.75 outside
        pytest.param(6.0, 4, None, [0.75, 2.25, 3.75, 5.25], id="width shared by their number"),
        # (1.5 - 0.5) / 2 = 0.5
        pytest.param(1.5, 2, 0.5, [0.5, 1.0], id="number and spacing, in the middle"),
        pytest.param(0.3, 1, None, [0.15], id="one row in the middle"),
        # floor(6.05 / 0.05) = 121 rows reach 6.00 m; 120 stand inside
        pytest.param(6.0, None, 0.05, 0.025 + 0.05 * np.arange(120), id="rows 5 cm apart"),
    ],
)
def test_even_rows_are_centred(width, rows, spacing, expected):
    np.testing.assert_allclose(even_rows(width, rows, spacing), expected, atol=1e-9)


@pytest.mark.parametrize(
    ("width", "rows", "spacing", "match"),
    [
        pytest.param(6.0, 10, 0.75, r"10 rows at 0\.75 m reach 6\.75 m", id="wider than the band"),
        # 7 x 0.75 = 5.25: both outer rows on the borders, and the far one is the neighbour's
        pytest.param(5.25, 8, 0.75, r"8 rows at 0\.75 m reach 5\.25 m", id="from edge to edge"),
        pytest.param(0.5, None, 0.75, r"No row .* 0\.75 m .* 0\.5 m", id="band below a spacing"),
    ],
)
def test_rows_that_do_not_stand_inside_are_refused(width, rows, spacing, match):
    with pytest.raises(MeasureError, match=match):
        even_rows(width, rows, spacing)


spacings = st.sampled_from([0.125, 0.15, 0.19, 0.25, 0.45, 0.5, 0.6, 0.75, 0.762, 1.0])


@given(width=st.floats(1.0, 60.0), spacing=spacings)
@example(width=6.0, spacing=0.75)
def test_even_rows_fill_the_width_and_leave_equal_edges(width, spacing):
    places = even_rows(width, None, spacing)
    assert len(places) == int((width + ACROSS_SLACK) / spacing)
    np.testing.assert_allclose(places[0], width - places[-1], atol=1e-9)
    np.testing.assert_allclose(np.diff(places), spacing, atol=1e-9)
    assert places[0] > -EDGE_SLACK
    assert places[0] < spacing


@given(count=st.integers(1, 60), spacing=spacings, noise=st.floats(-EDGE_SLACK, EDGE_SLACK))
def test_a_centimetre_changes_no_number_of_rows(count, spacing, noise):
    assert len(even_rows(count * spacing + noise, None, spacing)) == count


# ---- motifs


def test_a_motif_is_repeated_and_its_block_centred():
    # floor(2 / 0.8) = 2 motifs = 1.6 m, 0.2 m before the first
    assert motif_rows(2.0, [0.2, 0.4], 0.8) == pytest.approx([0.4, 0.6, 1.2, 1.4])


def test_places_without_a_motif_are_laid_once_from_the_edge():
    assert motif_rows(6.0, [0.3, 1.3], None) == pytest.approx([0.3, 1.3])


@pytest.mark.parametrize(
    ("width", "at", "every", "match"),
    [
        pytest.param(0.7, [0.1], 0.8, r"0\.8 m long and its ground 0\.7 m", id="motif too long"),
        pytest.param(1.0, [0.5, 1.5], None, r"1\.5 m .* 1 m", id="a place beyond the band"),
        pytest.param(6.0, [0.0, 6.0], None, r"6 m .* 6 m", id="a place on the far border"),
    ],
)
def test_a_motif_that_does_not_fit_is_refused(width, at, every, match):
    with pytest.raises(MeasureError, match=match):
        motif_rows(width, at, every)


@given(width=st.floats(1.0, 40.0), every=st.sampled_from([0.6, 0.75, 0.762, 0.8, 1.0]))
def test_motifs_leave_equal_edges(width, every):
    at = [every * 0.25, every * 0.75]
    places = motif_rows(width, at, every)
    assert len(places) == 2 * int((width + ACROSS_SLACK) / every)
    np.testing.assert_allclose(places[0], width - places[-1], atol=1e-9)


# ---- rows in a section


def test_each_row_knows_its_cut_its_sowing_and_its_number():
    section = cuts(6.0, (0.0, 12.0))
    places = place_rows(section, [stand(MAIZE, CLOVER), None])
    assert set(places.cut.tolist()) == {0}
    assert places.row[places.sowing == 0].tolist() == list(range(1, 9))
    assert places.row[places.sowing == 1].tolist() == list(range(1, 22))
    assert (np.diff(places.t) >= 0).all()


def test_no_stand_no_rows():
    places = place_rows(cuts(6.0, (0.0, 12.0)), [None, None])
    assert (len(places.t), len(places.cut), len(places.sowing), len(places.row)) == (0, 0, 0, 0)


def test_broadcast_and_standing_crops_have_no_rows():
    rows = placed(
        6.0, (0.0, 6.0), {"crop": "grass", "place": "standing"}, {"crop": "oats", "spacing": 3.0}
    )
    assert rows == [[], [1.5, 4.5]]


@pytest.mark.parametrize(
    ("span", "first", "count"),
    [
        # the places of 0 to 6: 0.375 ... 5.625; below 4 m stand 0.375 to 3.375
        pytest.param((0.0, 4.0), 0.375, 5, id="cut at the far side"),
        # the band reaches from -6: -5.625 ... -0.375; from -2 on stand -1.875, -1.125, -0.375
        pytest.param((-2.0, 0.0), -1.875, 3, id="cut at the near side"),
        # from 2 to 5 of the band from 0: 2.625 ... 4.875
        pytest.param((2.0, 5.0), 2.625, 4, id="cut on both sides"),
    ],
)
def test_rows_of_a_cut_band_keep_their_places(span, first, count):
    (rows,) = placed(6.0, span, MAIZE)
    assert rows == pytest.approx(list(first + 0.75 * np.arange(count)))


def test_rows_of_a_cut_band_keep_their_numbers():
    section = cuts(6.0, (2.0, 5.0))
    places = place_rows(section, [stand(MAIZE)])
    assert places.row.tolist() == [4, 5, 6, 7]


@pytest.mark.parametrize(
    ("far", "count"),
    [
        # rows at 0.5 and 2.0 of a 3 m band; half open, tried 1 cm towards higher t
        pytest.param(2.02, 2, id="2 cm of land beyond the row"),
        pytest.param(2.005, 1, id="half a centimetre of land beyond the row"),
        pytest.param(1.98, 1, id="no land under the row"),
    ],
)
def test_a_row_at_the_edge_is_tried_a_little_inwards(far, count):
    (rows,) = placed(3.0, (0.0, far), {"crop": "maize", "at": [0.5, 2.0]})
    assert len(rows) == count


def test_a_row_on_a_border_belongs_to_the_band_that_begins_there():
    section = cuts(6.0, (0.0, 12.0))
    places = place_rows(section, [stand({"crop": "maize", "at": [0.0, 3.0]})] * 2)
    assert places.t.tolist() == [0.0, 3.0, 6.0, 9.0]
    assert places.cut.tolist() == [0, 0, 1, 1]


@pytest.mark.parametrize("left", [0.06, 0.12, 0.6, 1.9])
def test_bands_that_share_the_remainder_keep_every_row_on_their_ground(left):
    """However little each band moves, no row is lost at its edge."""
    (rows,) = placed(
        2.0, (0.0, 12.0 + left), {"crop": "leek", "at": [0.0, 1.0]}, remainder="spread"
    )
    assert len(rows) == 12


def test_rows_that_do_not_fit_say_in_which_band():
    with pytest.raises(MeasureError, match=r"maize in band A: 8 rows at 0\.75 m"):
        placed(5.0, (0.0, 5.0), MAIZE)


def test_shifting_the_section_shifts_every_row():
    section = cut_section(
        Pattern(name="p", bands=(Band(name="A", width=6.0, stand="s"),)), (0.0, 18.0)
    )
    stands = [stand(MAIZE, CLOVER)] * 3
    here, there = (place_rows(s.cuts, stands) for s in (section, shifted(section, 2.5)))
    np.testing.assert_allclose(there.t, here.t + 2.5, atol=1e-9)
    assert there.row.tolist() == here.row.tolist()


@given(
    width=st.integers(4, 40).map(lambda n: n / 2),
    spacing=spacings,
    far=st.floats(2.0, 80.0),
)
def test_every_row_stands_on_its_own_cut(width, spacing, far):
    section = cuts(width, (0.0, far))
    places = place_rows(section, [stand({"crop": "rye", "spacing": spacing})] * len(section))
    for t, i in zip(places.t, places.cut, strict=True):
        assert section[i].t0 - EDGE_SLACK <= t < section[i].t1
    keys = set(zip(places.cut.tolist(), places.row.tolist(), strict=True))
    assert len(keys) == len(places.t)


@given(width=st.integers(4, 40).map(lambda n: n / 2), far=st.floats(2.0, 60.0), spacing=spacings)
def test_the_far_side_moves_no_row_of_a_band_that_stays_as_it_is(width, far, spacing):
    sowing = {"crop": "rye", "spacing": spacing}
    (short,) = placed(width, (0.0, far), sowing)
    (long,) = placed(width, (0.0, far + 13.7), sowing)
    assert short[:-1] == long[: len(short) - 1]


# ---- rows between rows


def test_rows_go_in_the_middle_of_every_gap():
    maize, clover = placed(6.0, (0.0, 6.0), MAIZE, CLOVER)
    # first gap 0.375 to 1.125, its middle 0.75
    assert clover[:3] == pytest.approx([0.6, 0.75, 0.9])
    assert len(clover) == 7 * 3
    assert len(maize) == 8


def test_the_gap_across_a_border_to_the_same_stand_is_sown_too():
    """Gap 0.375 + 0.375 = 0.75 m, no more than 1.5 x 0.75 m; its middle falls on the border."""
    _, clover = placed(6.0, (0.0, 12.0), MAIZE, {**CLOVER, "rows": 1})
    assert len(clover) == 7 + 1 + 7
    assert clover[7] == pytest.approx(6.0)


def test_a_wide_gap_across_a_border_is_not_sown():
    """4 rows of 0.75 m in 6 m leave 1.875 m each side: 3.75 m across the border."""
    host = {"crop": "maize", "rows": 4, "spacing": 0.75}
    _, clover = placed(6.0, (0.0, 12.0), host, {**CLOVER, "rows": 1})
    assert len(clover) == 3 + 3


def test_a_border_to_another_stand_is_not_sown():
    section = cuts(6.0, (0.0, 12.0))
    other = Stand(name="other", sowing=(Sowing(**MAIZE),))
    places = place_rows(section, [stand(MAIZE, {**CLOVER, "rows": 1}), other])
    assert (places.sowing[places.cut == 0] == 1).sum() == 7


@pytest.mark.parametrize(
    ("sowings", "match"),
    [
        pytest.param(
            [
                {"crop": "maize", "at": [0.2, 0.4], "every": 0.8},
                {"crop": "clover", "between": "maize", "rows": 1},
            ],
            r"clover goes between rows of maize that are 0\.2 to 0\.6 m apart.*at and every",
            id="unequal gaps point to at and every",
        ),
        pytest.param(
            [MAIZE, {"crop": "clover", "between": "maize", "rows": 6, "spacing": 0.15}],
            r"6 rows of clover at 0\.15 m reach 0\.75 m in a gap of 0\.75 m",
            id="more rows than the gap holds",
        ),
    ],
)
def test_rows_that_find_no_gap_are_refused(sowings, match):
    with pytest.raises(MeasureError, match=match):
        placed(6.0, (0.0, 6.0), *sowings)


@given(
    host=st.sampled_from([0.5, 0.6, 0.75]),
    rows=st.integers(1, 3),
    bands=st.integers(1, 4),
    width=st.integers(2, 12),
)
def test_between_rows_never_stand_in_a_row_of_their_host(host, rows, bands, width):
    sowing = {"crop": "clover", "between": "maize", "rows": rows, "spacing": 0.1}
    maize, clover = placed(
        float(width), (0.0, float(width * bands)), {"crop": "maize", "spacing": host}, sowing
    )
    assume(clover)
    nearest = np.abs(np.subtract.outer(np.array(clover), np.array(maize))).min(axis=1)
    assert nearest.min() > 0.1
    assert len(set(clover)) == len(clover)


# ---- tree rows


def tree_rows(width: float, far: float, **trees) -> tuple[list[float], list[bool]]:
    """Return places and half steps of the tree rows of one tree band repeated."""
    band = Band(
        name="T", width=width, whole=True, trees=BandTrees(**{"in_row_spacing": 5.0, **trees})
    )
    pattern = Pattern(name="p", bands=(band,))
    places = place_tree_rows(cut_section(pattern, (0.0, far)).cuts, pattern)
    return places.t.tolist(), places.offset_step.tolist()


@pytest.mark.parametrize(
    ("trees", "expected"),
    [
        pytest.param({}, [1.5], id="the middle if nothing is said"),
        pytest.param({"at": [0.5]}, [0.5], id="from the edge nearer the first side"),
        pytest.param({"at": [0.0, 3.0]}, [0.0, 3.0], id="on both edges"),
        pytest.param({"rows": 2, "row_spacing": 2.0}, [0.5, 2.5], id="two rows centred"),
        # 5 x sqrt(3) / 2 = 4.330 m would not fit 3 m; 2 m in the row: 1.732 m, 0.634 outside
        pytest.param(
            {"rows": 2, "in_row_spacing": 2.0, "arrangement": "triangular"},
            [(3 - 3**0.5) / 2, (3 + 3**0.5) / 2],
            id="triangular sets its own row spacing",
        ),
    ],
)
def test_tree_rows_stand_where_the_band_says(trees, expected):
    places, _ = tree_rows(3.0, 3.0, **trees)
    assert places == pytest.approx(expected)


def test_even_tree_rows_of_a_staggered_band_are_moved_by_half_a_step():
    _, offset = tree_rows(9.0, 9.0, rows=3, row_spacing=2.5, arrangement="staggered")
    assert offset == [False, True, False]


def test_staggering_goes_on_across_single_tree_rows():
    _, offset = tree_rows(6.0, 24.0, arrangement="staggered")
    assert offset == [False, True, False, True]


def test_square_trees_are_never_moved():
    _, offset = tree_rows(6.0, 24.0)
    assert offset == [False] * 4


def test_tree_rows_number_from_one_in_their_band():
    band = Band(name="T", width=3.0, trees=BandTrees(in_row_spacing=4.0, at=(0.5, 2.5)))
    pattern = Pattern(name="p", bands=(band,))
    places = place_tree_rows(cut_section(pattern, (0.0, 6.0)).cuts, pattern)
    assert places.row.tolist() == [1, 2, 1, 2]
    assert places.cut.tolist() == [0, 0, 1, 1]


def test_a_cut_tree_band_keeps_only_the_rows_on_its_ground():
    band = Band(name="T", width=3.0, trees=BandTrees(in_row_spacing=4.0, at=(0.5, 2.5)))
    pattern = Pattern(name="p", bands=(band,))
    places = place_tree_rows(cut_section(pattern, (0.0, 5.0)).cuts, pattern)
    assert places.t.tolist() == [0.5, 2.5, 3.5]
