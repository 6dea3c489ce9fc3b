"""Which operation reaches which strip, on paper."""

from appraisal_layouts import BANDS, MACHINES, STANDS, layout_of

from geolayout.handover.words.reach import reach_lines
from geolayout.plan.units import IMPERIAL


def test_every_operation_is_a_sentence_and_what_is_not_said_too():
    # 60 m are five strips of maize and five of beans; one pass of 6 m and two of 3 m.
    assert reach_lines(layout_of(STANDS + BANDS, MACHINES)) == [
        (
            "plant (planter) on A, 6 m, maize: alone; 1 pass, ends at the far end, where it has a "
            "way out."
        ),
        "drill (drill) on B, 6 m, beans: alone; 2 passes, back where it began.",
        "Not said: what harvests maize and beans.",
        "Not said, with no machine for it: roll, spread, spray, hoe, irrigate, cart.",
    ]


def test_lengths_follow_the_units():
    first, *_ = reach_lines(layout_of(STANDS + BANDS, MACHINES), IMPERIAL)
    assert "19.69 ft" in first
