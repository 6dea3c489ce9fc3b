"""Widths that fit, in words."""

from section_profiles import BEANS, MAIZE, SOWN, bands, profile, strips, work

from geolayout.appraisal.fit.band_widths import band_widths
from geolayout.appraisal.fit.width_words import WIDTH_HEAD, bands_word, width_rows, width_words
from geolayout.plan.units import IMPERIAL

LOOSE = MAIZE.replace("rows = 8, ", "")


def widths(*parts, span=(0.0, 60.0)):
    (found,) = band_widths(profile(*parts, span=span))
    return found


def test_a_width_that_fits_is_said_to():
    (found,) = band_widths(strips())
    assert width_words(found) == [
        "A and B, 6.00 m as written, fits all that is asked of a width.",
        "After an odd number of passes the machine ends at the far end: plant.",
    ]
    assert width_rows(found)[:2] == [("12.00 m", "-", "-"), ("6.00 m", "-", "plant")]
    assert len(WIDTH_HEAD) == 3


def test_each_misfit_is_said_with_what_would_have_to_change():
    # 7 m: the planter of 6 m comes twice and works 5 m again, 3.5 m a pass would fit; 3 passes of
    # 3 m work 2 m again; 9 rows of 0.75 m leave 0.25 m, 7 / 9 m apart they fill it.
    found = widths(LOOSE, BEANS, bands(7.0, 7.0), SOWN, span=(0.0, 56.0))
    assert width_words(found)[:5] == [
        "A and B, 7.00 m as written, fits not all:",
        "  maize: 9 rows 0.75 m apart leave 0.25 m; 0.7778 m apart fill it.",
        (
            "  plant: 2 passes of 6.00 m, 5.00 m wider than it or worked twice (71 %); "
            "3.50 m a pass fits."
        ),
        (
            "  drill: 3 passes of 3.00 m, 2.00 m wider than it or worked twice (29 %); "
            "2.33 m a pass fits."
        ),
        "The nearest that fits all is 6.00 m.",
    ]


def test_a_header_that_reaches_beyond_is_said():
    combine = work("combine", "working_width = 6.5\nheader = { width = 6.5 }")
    found = widths(MAIZE, BEANS, bands(6.0, 6.0), SOWN, combine)
    assert (
        "  combine: the header of 6.50 m reaches 0.50 m beyond; one of 6.00 m fits."
    ) in width_words(found)


def test_a_boom_that_does_not_match_is_said():
    spray = work("spray", "working_width = 24.0\nsections = 6", "block")
    found = widths(MAIZE, BEANS, bands(6.0, 6.0), SOWN, spray)
    assert (
        "  spray: 2 times a part of the boom of 4.00 m is 2.00 m too wide (33 %)."
        in width_words(found)
    )


def test_where_nothing_fits_that_is_said():
    combine = work("combine", "working_width = 5.41\nheader = { width = 5.41 }")
    found = widths(LOOSE, BEANS, bands(6.0, 6.0), SOWN, combine)
    assert "No width that was looked at fits all; below are those that miss least." in width_words(
        found
    )
    assert all("%" in row[1] for row in width_rows(found))


def test_widths_without_room_for_the_wheels_are_said():
    spray = work(
        "spray", "working_width = 12.0\nsections = 4\ntrack_width = 3.1\ntyre_width = 0.5", "block"
    )
    clover = BEANS.replace('operation = "drill"', 'operation = "plant"')
    plant = work("plant", "working_width = 3.0")
    found = widths(LOOSE, clover, bands(3.0, 3.0), plant, spray)
    assert any(
        line.startswith("Tramlines of spray meet a border wherever strips of 3.00 m")
        for line in width_words(found)
    )


def test_many_bands_are_counted():
    assert bands_word(["A", "B"]) == "A and B"
    assert bands_word(list("ABCDE")) == "5 bands"


def test_widths_follow_the_units():
    (found,) = band_widths(strips())
    assert width_rows(found, IMPERIAL)[1][0] == "19.69 ft"
