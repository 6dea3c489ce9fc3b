"""Ground by half gaps, against sums on paper."""

from appraisal_layouts import HEADLAND, close, layout_of, strips

from geolayout.appraisal.quantities.territory import borders, territories


def test_the_gap_between_maize_and_beans_is_shared():
    # Outer maize row 0.375 m from the edge, outer bean row 0.125 m: gap 0.5 m, middle 0.25 m from
    # each row, so every border moves 0.125 m into the maize: 9 borders x 0.125 x 100 m = 112.5 m2
    # of 3000 m2 = 3.75 %.
    territory = {t.stand: t for t in territories(strips(HEADLAND))}
    assert territory["maize"].ground_m2 == close(3000.0)
    assert territory["maize"].territory_m2 == close(3000.0 - 112.5)
    assert territory["maize"].difference_percent == close(-3.75)
    assert territory["beans"].difference_percent == close(3.75)
    assert territory["beans"].crops == ("field beans",)


def test_equal_borders_are_told_once():
    (border,) = borders(strips(HEADLAND))
    assert (border.stand, border.other, border.count) == ("beans", "maize", 9)
    assert border.gap_m == close(0.5)
    assert border.row_to_edge_m == close(0.125)
    assert border.other_row_to_edge_m == close(0.375)


def test_one_stand_everywhere_has_no_border():
    layout = layout_of(
        '[[stand]]\nname = "c"\nsowing = [ { crop = "c", spacing = 0.5 } ]\n[[pattern]]\n'
        'name = "p"\nbands = [ { name = "A", width = 6.0, stand = "c" } ]'
    )
    assert borders(layout) == ()
    assert territories(layout) == ()


def test_a_broadcast_neighbour_has_no_outer_row_to_measure_from():
    layout = layout_of(
        '[[stand]]\nname = "c"\nsowing = [ { crop = "c", spacing = 0.5 } ]\n'
        '[[stand]]\nname = "g"\nsowing = [ { crop = "g", place = "broadcast" } ]\n[[pattern]]\n'
        'name = "p"\nbands = [ { name = "A", width = 6.0, stand = "c" },'
        ' { name = "B", width = 6.0, stand = "g" } ]'
    )
    assert territories(layout) == ()


def test_territories_add_up_to_the_ground():
    pair = territories(strips(HEADLAND))
    assert sum(t.territory_m2 for t in pair) == close(sum(t.ground_m2 for t in pair))
