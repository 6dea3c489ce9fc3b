"""Cautions of what the lines hang on: a service nobody asked, a needle, a spread too wide."""

import pytest
import shapely
from appraisal_layouts import BANDS, MACHINES, STANDS, layout_of, strips
from hypothesis import example, given
from hypothesis import strategies as st

from geolayout.appraisal.cautions import cautions
from geolayout.appraisal.conventions import conventions
from geolayout.appraisal.frames import frame_cautions, pass_to_pass

MAGNETIC = 'north = "magnetic"\ndeclination = -2.5\ndeclination_year = 2026\nfrom = "west"'


def service(keys=""):
    return f'[farm.correction]\nframe = "ETRS89"\n{keys}\n'


def found(layout):
    return {caution.key: caution for caution in frame_cautions(layout)}


@pytest.mark.parametrize(
    ("row_sd", "apart"),
    [
        # Carballido et al. 2014 (S63 of the notes on practice): rows by a base station 1.4 cm,
        # by satellite corrections 2.6 cm; root 2 x 1.96 x 0.014 = 0.0388 and x 0.026 = 0.0721
        pytest.param(0.014, 0.039, id="a base station"),
        pytest.param(0.026, 0.072, id="corrections by satellite"),
    ],
)
def test_two_passes_differ_by_what_the_notes_say(row_sd, apart):
    assert pass_to_pass(row_sd) == pytest.approx(apart, abs=5e-4)


@given(st.floats(1e-3, 5.0))
@example(0.014)
def test_a_wider_spread_is_wider_between_passes(row_sd):
    assert pass_to_pass(2 * row_sd) == pytest.approx(2 * pass_to_pass(row_sd))
    assert pass_to_pass(row_sd) > row_sd


def test_a_farm_that_was_not_asked_is_one_note():
    (note,) = frame_cautions(strips())
    assert (note.key, note.severity, note.code) == ("correction-not-asked", "note", "W17")
    assert note in cautions(strips())


def test_a_farm_that_was_asked_is_no_note():
    assert frame_cautions(strips(service())) == []


def test_a_magnetic_bearing_tells_what_a_year_of_drift_does():
    layout = layout_of(STANDS, BANDS, MACHINES, service(), guide=f"bearing = 2.5\n{MAGNETIC}")
    caution = found(layout)["magnetic-bearing"]
    # true north: rows of 120 m; 120 tan(9 minutes) = 120 x 0.002618 = 0.314 m
    assert caution.value == pytest.approx(0.314, abs=0.001)
    assert (caution.severity, caution.code) == ("warning", "W18")
    assert "turned to 0.00 from true north" in caution.sentence
    assert "-2.5 degrees of 2026" in caution.sentence


def test_a_grid_bearing_tells_what_mistaking_it_does():
    grid = 'bearing = 0.0\nnorth = "grid"\ngrid = "EPSG:32633"\nfrom = "west"'
    layout = layout_of(STANDS, BANDS, MACHINES, service(), guide=grid)
    caution = found(layout)["grid-bearing"]
    # on the equator a transverse Mercator's north is true north: nothing to mistake
    assert caution.value == pytest.approx(0.0, abs=1e-3)
    assert caution.severity == "note"
    assert "no bearing" in caution.remedy


def test_a_true_bearing_is_no_caution():
    assert not any(key.endswith("bearing") for key in found(strips()))


@pytest.mark.parametrize(
    ("row_sd", "keys"),
    [
        # the gap between maize and beans is 0.375 + 0.125 = 0.5 m, its half 0.25 m
        pytest.param(0.014, [], id="0.039 m: fine enough"),
        pytest.param(0.018, [], id="0.0499 m: just under 5 cm"),
        pytest.param(0.026, ["guidance-too-coarse-for-guess-row"], id="0.072 m: between drillings"),
        pytest.param(0.09, ["guidance-too-coarse-for-guess-row"], id="0.2495 m: under the half"),
        pytest.param(
            0.091,
            ["guidance-too-coarse-for-gap", "guidance-too-coarse-for-guess-row"],
            id="0.2522 m: over half the gap",
        ),
        pytest.param(
            1.0,
            ["guidance-too-coarse-for-gap", "guidance-too-coarse-for-guess-row"],
            id="metres: no use for rows",
        ),
    ],
)
def test_guidance_is_held_against_gaps_and_guess_rows(row_sd, keys):
    cautioned = found(strips(service(f"row_sd = {row_sd}")))
    assert sorted(cautioned) == keys
    for caution in cautioned.values():
        assert caution.value == pytest.approx(pass_to_pass(row_sd))
        assert caution.value > caution.threshold
        assert caution.code == "W20"
        assert f"{caution.value:.3f} m" in caution.sentence


def test_without_a_spread_nothing_is_said_of_it():
    assert found(strips(service())) == {}


def test_the_gap_and_its_count_are_named():
    caution = found(strips(service("row_sd = 0.2")))["guidance-too-coarse-for-gap"]
    assert "0.500 m between the outer rows of beans and maize" in caution.sentence
    assert (caution.threshold, caution.count) == (pytest.approx(0.25), 9)  # 10 bands, 9 borders


def test_only_a_machine_that_drives_beside_itself_has_a_guess_row():
    caution = found(strips(service("row_sd = 0.026")))["guidance-too-coarse-for-guess-row"]
    # the planter's pass is its band; the drill takes two passes in each
    assert "two passes of drill the rows" in caution.sentence


def test_conventions_tell_the_service_and_the_grid():
    layout = strips(service('service = "mast"\nasked = 2026-11-20'))
    assert "service mast works in ETRS89, asked on 2026-11-20" in conventions(layout)[7]
    grid = 'bearing = 0.0\ngrid = "EPSG:32633"\nfrom = "west"'
    layout = layout_of(STANDS, BANDS, MACHINES, guide=grid)
    assert "which is by grid north 0.00 degrees of EPSG:32633" in conventions(layout)[1]


@pytest.mark.parametrize(
    ("width", "told"),
    [
        # bands of 6 m: two have one border, four have three
        pytest.param(12.0, ", once.", id="one border"),
        pytest.param(24.0, ", 3 times.", id="three borders"),
    ],
)
def test_a_gap_too_fine_for_the_guidance_is_counted(width, told):
    layout = strips(service("row_sd = 0.091"), land=shapely.box(0, 0, width, 120))
    sentence = found(layout)["guidance-too-coarse-for-gap"].sentence
    assert sentence.endswith(told)
