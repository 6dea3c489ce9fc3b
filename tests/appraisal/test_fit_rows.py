"""Rows against bands, machines and wheels."""

import pytest
from appraisal_layouts import layout_of, of_key, one_stand, the_one, worked_by


def grown(keys, width="6.0", *parts):
    return layout_of(one_stand(f'{{ crop = "maize", {keys} }}', width), *parts)


# W05


def test_rows_that_do_not_fill_the_band_print_the_half_gap():
    # floor(6.05 / 0.7) = 8 rows take 5.6 m: (6 - 7 x 0.7) / 2 = 0.55 m, half a spacing 0.35 m.
    caution = the_one(grown("spacing = 0.7"), "rows-do-not-fill-the-band")
    assert caution.code == "W05"
    assert caution.value == pytest.approx(0.55)
    assert caution.threshold == pytest.approx(0.35)
    assert "8 rows of maize" in caution.sentence


@pytest.mark.parametrize(
    ("keys", "width"),
    [
        pytest.param("spacing = 0.75", "6.0", id="8 rows of 0.75 m"),
        pytest.param("spacing = 0.125", "24.0", id="192 rows of 0.125 m"),
        # Iowa, Ghaffarzadeh et al. 1994: strips of 3.8 or 4.6 m are 5 or 6 rows of 0.762 m
        pytest.param("spacing = 0.762", "3.81", id="Iowa, 5 rows"),
        pytest.param("spacing = 0.762", "4.572", id="Iowa, 6 rows"),
        pytest.param("at = [0.2, 0.4], every = 0.8", "6.0", id="a motif says its own gaps"),
        pytest.param("spacing = 0.7", '"rest"', id="a band of any width"),
    ],
)
def test_rows_that_fill_the_band_are_left_in_peace(keys, width):
    assert of_key(grown(keys, width), "rows-do-not-fill-the-band") == []


# W06


@pytest.mark.parametrize(
    ("keys", "gap"),
    [
        # 6 - 7 x 0.7 = 1.1 m between passes, 0.7 m inside
        pytest.param("working_width = 6.0\nrows = 8\nrow_spacing = 0.7", 1.1, id="8 rows of 0.7"),
        pytest.param("working_width = 6.0\nrows = 8\nrow_spacing = 0.75", None, id="8 of 0.75"),
        pytest.param("working_width = 6.0", None, id="rows not given"),
    ],
)
def test_the_gap_between_passes_is_a_row_spacing(keys, gap):
    sown = 'spacing = 0.75, operation = "work"'
    found = of_key(grown(sown, "12.0", worked_by("planter", keys)), "guess-row")
    if gap is None:
        assert found == []
    else:
        (caution,) = found
        assert (caution.code, caution.value) == ("W06", pytest.approx(gap))


def test_passes_that_never_lie_side_by_side_have_no_guess_row():
    two = (
        '[[stand]]\nname = "a"\nsowing = [ { crop = "a", spacing = 0.7, operation = "work" } ]\n'
        '[[stand]]\nname = "b"\nsowing = [ { crop = "b", spacing = 0.25 } ]\n'
        '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = 6.0, stand = "a" },'
        ' { name = "B", width = 6.0, stand = "b" } ]'
    )
    keys = "working_width = 6.0\nrows = 8\nrow_spacing = 0.7"
    assert of_key(layout_of(two, worked_by("planter", keys)), "guess-row") == []


@pytest.mark.parametrize(
    ("spacing", "off"),
    [
        pytest.param(0.15, 0.025, id="0.15 m with coulters 0.125 m apart"),
        pytest.param(0.125, None, id="every coulter"),
        pytest.param(0.25, None, id="every second coulter"),
    ],
)
def test_rows_lie_under_coulters(spacing, off):
    keys = "working_width = 3.0\nrows = 24\nrow_spacing = 0.125"
    sown = f'spacing = {spacing}, operation = "work"'
    found = of_key(grown(sown, "6.0", worked_by("drill", keys)), "machine-rows")
    assert [round(caution.value, 6) for caution in found] == ([] if off is None else [off])


# W03, by rows


@pytest.mark.parametrize(
    ("header", "spacing", "value"),
    [
        pytest.param("width = 5.4", 0.75, 7.2, id="7.2 rows"),
        pytest.param("width = 5.4", 0.60, None, id="9 rows"),
        pytest.param("width = 5.4", 0.125, None, id="a drilled crop takes any header"),
        pytest.param("width = 6.0, rows = 8", 0.75, None, id="8 rows for 8"),
        pytest.param("width = 6.0, rows = 8", 0.25, 24.0, id="24 rows for 8"),
    ],
)
def test_a_header_takes_whole_rows(header, spacing, value):
    keys = f"working_width = 6.0\nheader = {{ {header} }}"
    combine = worked_by("combine", keys, operation="cut")
    found = of_key(grown(f"spacing = {spacing}", "6.0", combine), "header-rows")
    assert [round(caution.value, 6) for caution in found] == ([] if value is None else [value])


# Wheels


def wheels(track, tyre, *, skip=""):
    """Hoe bands of 6 m with 8 rows, 6 m at a time: the centre runs between two rows."""
    hoe = worked_by(
        "hoe", f"working_width = 6.0\ntrack_width = {track}\ntyre_width = {tyre}", "block", "hoe"
    )
    keys = f"spacing = 0.75{skip}"
    return grown(keys, "6.0", hoe)


@pytest.mark.parametrize(
    ("track", "tyre", "rows"),
    [
        # centre between rows at 0.375, 1.125 ... wheels at 0.75: 0.375 m from both
        pytest.param(1.5, 0.4, 0, id="1.5 m runs in the middle of two gaps"),
        # wheels at 1.125 m, on a row each: 2 rows in each of 10 passes
        pytest.param(2.25, 0.4, 20, id="2.25 m in the wrong phase runs on rows"),
        # wheels at 0.9 m, 0.225 m from the row at 1.125
        pytest.param(1.8, 0.4, 0, id="1.8 m misses with a tyre of 0.4 m"),
        pytest.param(1.8, 0.5, 20, id="1.8 m hits with a tyre of 0.5 m"),
    ],
)
def test_wheels_on_rows(track, tyre, rows):
    found = of_key(wheels(track, tyre), "wheels-on-rows")
    assert [caution.value for caution in found] == ([] if rows == 0 else [float(rows)])


def test_the_remedy_names_the_tracks_that_straddle():
    caution = the_one(wheels(1.8, 0.5), "wheels-on-rows")
    assert "1.50 or 2.25 m" in caution.remedy
    assert "20 of 80 rows of maize" in caution.sentence


def test_a_track_that_straddles_needs_only_another_place():
    # 2.25 m are three spacings: not the track but the place of the pass is wrong.
    remedy = the_one(wheels(2.25, 0.4), "wheels-on-rows").remedy
    assert "shift the passes" in remedy
    assert "use a track" not in remedy


def test_rows_left_out_for_the_wheels_are_not_under_them():
    assert of_key(wheels(2.25, 0.4, skip=', skip = ["hoe"]'), "wheels-on-rows") == []


def test_a_drill_does_not_run_on_what_it_sows_itself():
    keys = "working_width = 6.0\ntrack_width = 2.25\ntyre_width = 0.4"
    layout = grown('spacing = 0.75, operation = "work"', "6.0", worked_by("drill", keys))
    assert of_key(layout, "wheels-on-rows") == []


def test_a_second_sowing_runs_on_the_first():
    stand = (
        '[[stand]]\nname = "s"\nsowing = [ { crop = "maize", spacing = 0.75, operation = "one" },\n'
        ' { crop = "clover", place = "broadcast", operation = "two",'
        ' when = { crop = "maize", stage = "V5" } } ]\n'
        '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = 6.0, stand = "s" } ]'
    )
    keys = "working_width = 6.0\ntrack_width = 2.25\ntyre_width = 0.4"
    layout = layout_of(
        stand,
        worked_by("planter", keys, operation="one"),
        worked_by("seeder", keys, operation="two"),
    )
    caution = the_one(layout, "wheels-on-rows")
    assert caution.sentence.startswith("Wheels of two")


def test_rows_that_are_sown_later_are_not_there_for_the_first_machine():
    # Clover in the middle of the maize gaps, at 2.25 and 3.75 m, where wheels 1.5 m apart run.
    stand = (
        '[[stand]]\nname = "s"\nsowing = [ { crop = "maize", spacing = 0.75, operation = "one" },\n'
        ' { crop = "clover", between = "maize", rows = 1,'
        ' when = { crop = "maize", stage = "V5" } } ]\n'
        '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = 6.0, stand = "s" } ]'
    )
    keys = "working_width = 6.0\ntrack_width = 1.5\ntyre_width = 0.4"
    planter = worked_by("planter", keys, operation="one")
    assert of_key(layout_of(stand, planter), "wheels-on-rows") == []
    hoe = worked_by("hoe", keys, operation="hoe")
    assert the_one(layout_of(stand, planter, hoe), "wheels-on-rows").sentence.startswith(
        "Wheels of hoe"
    )


def test_a_combine_takes_the_crop_before_its_wheels_reach_it():
    keys = "working_width = 6.0\ntrack_width = 2.25\ntyre_width = 0.4\nheader = { width = 6.0 }"
    layout = grown("spacing = 0.75", "6.0", worked_by("combine", keys, operation="cut"))
    assert of_key(layout, "wheels-on-rows") == []


def test_one_row_that_does_not_fill_its_band_takes_its_room():
    # floor(1.05 / 0.7) = 1 row on a band of 1 m.
    caution = the_one(grown("spacing = 0.7", "1.0"), "rows-do-not-fill-the-band")
    assert caution.sentence.startswith("1 row of maize at 0.700 m takes 0.70 m of band")
