"""What the plan leaves open and what one pass reaches together."""

from appraisal_layouts import (
    BANDS,
    MACHINES,
    STANDS,
    layout_of,
    of_key,
    one_stand,
    strips,
    the_one,
    worked_by,
)

MIXTURE = (
    '[[stand]]\nname = "m"\nsowing = [ { crop = "oats", spacing = 0.125 },'
    ' { crop = "peas", place = "broadcast" } ]\n'
    '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = 6.0, stand = "m" } ]'
)
SPRAY = worked_by("sprayer", "working_width = 24.0\nsections = 8", "block", "spray")


def test_one_pass_over_two_crops_is_noted():
    caution = the_one(strips(SPRAY), "one-pass-several-stands")
    assert caution.severity == "note"
    assert caution.sentence == "One pass of spray reaches beans and maize together."


def test_one_pass_over_one_crop_is_not():
    layout = layout_of(one_stand('{ crop = "c", spacing = 0.5 }', "6.0"), SPRAY)
    assert of_key(layout, "one-pass-several-stands") == []


def test_a_drill_that_sows_over_the_neighbour_is_a_warning():
    wide = MACHINES.replace('name = "drill"\nmachine', 'name = "drill"\nover = "block"\nmachine')
    wide = wide.replace("working_width = 3.0", "working_width = 12.0")
    caution = the_one(layout_of(STANDS, BANDS, wide), "sows-the-neighbour")
    assert caution.severity == "warning"


def test_a_planter_that_sows_all_it_straddles_is_meant():
    both = STANDS.replace('operation = "drill"', 'operation = "plant"')
    planter = worked_by("planter", "working_width = 12.0", "pattern", "plant")
    assert of_key(layout_of(both, BANDS, planter), "sows-the-neighbour") == []


def test_a_sprayed_mixture_asks_for_the_label():
    # HSE Chemicals Regulation (UK), undersown crops: every crop in the mixture must be covered.
    caution = the_one(layout_of(MIXTURE, SPRAY), "sprayed-mixture")
    assert "oats and peas" in caution.sentence
    assert "label" in caution.remedy
    assert of_key(strips(SPRAY), "sprayed-mixture") == []
    assert of_key(layout_of(MIXTURE), "sprayed-mixture") == []


def test_an_operation_without_passes_is_said():
    rye = (
        '[[stand]]\nname = "rye"\nsowing = [ { crop = "rye", spacing = 0.25, operation = "roll" } ]'
    )
    roll = worked_by("roller", "working_width = 6.0", operation="roll")
    assert "roll" in the_one(strips(rye, roll), "operation-without-passes").sentence
    assert of_key(strips(), "operation-without-passes") == []


def test_a_sowing_without_operation_is_one_note():
    caution = the_one(layout_of(MIXTURE), "sowing-without-operation")
    assert (caution.severity, caution.count) == ("note", 2)
    assert of_key(strips(), "sowing-without-operation") == []


def test_an_absent_rate_is_one_note():
    assert the_one(layout_of(MIXTURE), "no-rate").count == 2
    assert of_key(strips(), "no-rate") == []


def test_what_is_computed_is_not_said_to_be_left_aside():
    roll = worked_by("roller", "working_width = 6.0\nspeed = 8.0", operation="roll")
    assert of_key(strips(roll), "not-computed") == []


def test_a_killed_band_is_said_to_be_left_aside():
    sowing = '{ crop = "c", spacing = 0.75, cleared = 0.3 }'
    caution = the_one(layout_of(one_stand(sowing, "6.0")), "not-computed")
    assert caution.sentence == "Not computed by this version: the killed band (cleared)."


def test_a_date_without_a_season_is_no_window():
    sowing = '{ crop = "c", spacing = 0.5, when = { date = 2027-05-01 } }'
    caution = the_one(layout_of(one_stand(sowing, "6.0")), "not-computed")
    assert "season windows (when)" in caution.sentence
    dated = layout_of(one_stand(sowing, "6.0"), "[[season]]\nyear = 2027")
    assert of_key(dated, "not-computed") == []
