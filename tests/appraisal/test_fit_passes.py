"""Widths of machines against widths of strips: each warning once where it fires, once where not."""

import pytest
import shapely
from appraisal_layouts import (
    ALLEYS,
    BANDS,
    GRASS,
    STANDS,
    layout_of,
    of_key,
    one_stand,
    strips,
    the_one,
    worked_by,
)

from geolayout.appraisal.fit.passes import misfit

SOWN = '{ crop = "c", spacing = 0.25, operation = "work" }'
UNSOWN = '{ crop = "c", spacing = 0.25 }'


def sown_with(width, keys, land=60):
    return layout_of(
        one_stand(SOWN, width), worked_by("drill", keys), land=shapely.box(0, 0, land, 100)
    )


def gone_over(width, keys, *, over="band", land=60, kind="combine"):
    machine = worked_by("it", f'kind = "{kind}"\n{keys}', over, "work over")
    return layout_of(one_stand(UNSOWN, width), machine, land=shapely.box(0, 0, land, 100))


@pytest.mark.parametrize(
    ("width", "machine", "value"),
    [
        # 24 m strip, 3 m drill: 8 passes (Agridea, Reihenabstand, after Bender et al. 2009)
        pytest.param(24.0, 3.0, 0.0, id="24 m and a 3 m drill"),
        pytest.param(7.0, 3.0, 1.0, id="1 m over two passes"),
        pytest.param(8.0, 3.0, 1.0, id="1 m under three passes"),
        pytest.param(2.0, 3.0, 1.0, id="narrower than one pass"),
    ],
)
def test_misfit(width, machine, value):
    assert misfit(width, machine) == pytest.approx(value)


# W01


def test_strips_that_are_no_whole_passes_are_one_line_with_the_count():
    # 10 strips of 6 m, a 4 m drill: 2 passes, the second over 2 m again.
    caution = the_one(sown_with("6.0", "working_width = 4.0"), "strip-width")
    assert (caution.code, caution.count) == ("W01", 10)
    assert caution.value == pytest.approx(2.0)
    assert caution.threshold == 0.05
    assert "10 strips A are 6.00 m wide" in caution.sentence
    assert "the last pass works 2.00 m a second time" in caution.sentence
    assert "4.00 or 8.00 m" in caution.remedy


def test_a_machine_wider_than_its_strips_reaches_beyond_both_sides():
    caution = the_one(sown_with("6.0", "working_width = 8.0"), "strip-width")
    assert caution.value == pytest.approx(2.0)
    assert "1.00 m beyond the strip on each side" in caution.sentence


@pytest.mark.parametrize(
    ("width", "machine"),
    [
        pytest.param("6.0", 3.0, id="two passes"),
        pytest.param("6.0", 5.98, id="4 cm over, the limit is 5 cm"),
        pytest.param("6.0", 6.04, id="4 cm under"),
    ],
)
def test_strips_of_whole_passes_are_left_in_peace(width, machine):
    assert of_key(sown_with(width, f"working_width = {machine}"), "strip-width") == []


def test_a_planter_that_straddles_bands_is_held_against_the_repeat():
    # A repeat of 12 m with a machine of 5 m: 12 = 2 x 5 + 2.
    machine = worked_by("planter", "working_width = 5.0", "pattern", "plant")
    drill = worked_by("drill", "working_width = 3.0", "band", "drill")
    caution = the_one(layout_of(STANDS, BANDS, machine, drill), "strip-width")
    assert caution.value == pytest.approx(2.0)
    assert "one repeat of strips" in caution.sentence
    assert caution.count == 5


def test_two_bands_of_one_width_are_one_line():
    roller = worked_by("roller", "working_width = 4.0\nfar_side_access = true", operation="roll")
    caution = the_one(strips(roller), "strip-width")
    assert caution.count == 10
    assert "10 strips A and B" in caution.sentence


# W02


@pytest.mark.parametrize(
    ("width", "keys", "passes"),
    [
        pytest.param("6.0", "working_width = 6.0", 1, id="one pass"),
        pytest.param("6.0", "working_width = 2.0", 3, id="three passes"),
        # Agridea: 24 m with a 3 m drill is 8 passes and ends at the start side
        pytest.param("24.0", "working_width = 3.0", None, id="24 m in 8 passes of 3 m"),
        pytest.param(
            "6.0", "working_width = 2.0\nfar_side_access = true", None, id="there is a way out"
        ),
    ],
)
def test_odd_passes_end_at_the_far_side(width, keys, passes):
    found = of_key(sown_with(width, keys, land=48), "odd-passes")
    assert [caution.value for caution in found] == ([] if passes is None else [float(passes)])
    assert {caution.code for caution in found} <= {"W02"}


# W03


def test_a_header_wider_than_the_strip():
    caution = the_one(gone_over("6.0", "working_width = 7.5"), "header-width")
    assert (caution.code, caution.count) == ("W03", 10)
    assert caution.value == pytest.approx(1.5)
    assert "1.50 m into the strips beside" in caution.sentence


def test_a_strip_that_is_no_whole_number_of_headers():
    caution = the_one(gone_over("6.0", "working_width = 4.0"), "header-width")
    assert caution.value == pytest.approx(2.0)


@pytest.mark.parametrize("header", [3.0, 6.0, 6.1])
def test_a_header_that_fits(header):
    assert of_key(gone_over("6.0", f"working_width = {header}"), "header-width") == []


def test_the_header_counts_and_not_the_working_width():
    keys = "working_width = 6.0\nheader = { width = 7.0 }"
    assert the_one(gone_over("6.0", keys), "header-width").value == pytest.approx(1.0)


def test_an_overhang_over_the_neighbour_is_noted():
    caution = the_one(gone_over("6.0", "working_width = 6.0\noverhang = 0.3"), "overhang")
    assert (caution.severity, caution.value) == ("note", 0.3)
    assert of_key(gone_over("6.0", "working_width = 6.0"), "overhang") == []


# W04


@pytest.mark.parametrize(
    ("width", "keys", "fires"),
    [
        pytest.param("6.0", "working_width = 24.0", True, id="a boom without sections"),
        pytest.param("6.0", "working_width = 24.0\nsections = 8", False, id="sections of 3 m"),
        pytest.param("4.0", "working_width = 24.0\nsections = 8", True, id="3 m against 4 m"),
        pytest.param("2.0", "working_width = 24.0\nsections = 8", True, id="3 m against 2 m"),
        pytest.param("24.0", "working_width = 24.0", False, id="the boom is the strip"),
        pytest.param("24.0", "working_width = 12.0", False, id="two booms are the strip"),
    ],
)
def test_a_boom_fits_its_strips_or_shuts_off_along_them(width, keys, fires):
    found = of_key(gone_over(width, keys, kind="sprayer", land=48), "boom-width")
    assert bool(found) is fires
    assert {caution.code for caution in found} <= {"W04"}


def test_a_boom_across_two_crops_must_shut_off_along_them():
    boom = worked_by("sprayer", "working_width = 24.0\nsections = 5", "block", "spray")
    caution = the_one(strips(boom), "boom-width")
    assert caution.value == 24.0
    assert "5 sections of 4.80 m" in caution.sentence
    fitting = worked_by("sprayer", "working_width = 24.0\nsections = 8", "block", "spray")
    assert of_key(strips(fitting), "boom-width") == []


def test_a_boom_across_one_crop_may_be_any_width():
    layout = gone_over("6.0", "working_width = 21.0", over="block", kind="sprayer")
    assert of_key(layout, "boom-width") == []


# W08, the strip that remains


def test_an_edge_strip_narrower_than_one_pass():
    # 62 m: ten strips of 6 m and one of 2 m.
    layout = sown_with("6.0", "working_width = 6.0", land=62)
    caution = the_one(layout, "edge-strip-too-narrow")
    assert (caution.code, caution.value, caution.threshold) == ("W08", 2.0, 6.0)
    assert "number 11" in caution.sentence
    assert of_key(layout, "strip-width") == []
    narrow = sown_with("6.0", "working_width = 2.0", land=62)
    assert of_key(narrow, "edge-strip-too-narrow") == []


# W15


@pytest.mark.parametrize(
    ("trees", "value"),
    [
        # 3 m strip, tree in the middle: 1.5 m to the edge against guard + 1 m
        pytest.param("in_row_spacing = 3.0, guard_radius = 0.6", 1.5, id="guard 0.6 m + 1 m"),
        pytest.param("in_row_spacing = 3.0, guard_radius = 0.5", None, id="guard 0.5 m + 1 m"),
        pytest.param("in_row_spacing = 3.0, at = [0.5]", 0.5, id="a tree row 0.5 m from the edge"),
    ],
)
def test_trees_have_room_at_the_edge_of_their_band(trees, value):
    found = of_key(layout_of(GRASS, ALLEYS.replace("in_row_spacing = 3.0", trees)), "tree-room")
    if value is None:
        assert found == []
    else:
        (caution,) = found
        assert (caution.code, caution.count) == ("W15", 2)
        assert caution.value == pytest.approx(value)


def test_an_overhang_takes_more_room_than_a_metre():
    wide = worked_by("combine", "working_width = 6.0\noverhang = 1.6", operation="mow")
    assert the_one(layout_of(GRASS, ALLEYS, wide), "tree-room").threshold == pytest.approx(1.6)


@pytest.mark.parametrize(("boom", "value"), [(24.0, None), (12.0, None), (18.0, 6.0)])
def test_an_alley_is_a_whole_number_of_booms(boom, value):
    spray = worked_by("sprayer", f"working_width = {boom}", "block", "spray")
    found = of_key(layout_of(GRASS, ALLEYS, spray), "alley-width")
    if value is None:
        assert found == []
    else:
        (caution,) = found
        assert (caution.code, caution.value) == ("W15", pytest.approx(value))
