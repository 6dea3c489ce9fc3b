"""The rotation in words. Invented."""

import json

from rotation_plans import EXCHANGED, TWO
from sample_layouts import paper_layout

from geolayout.handover.words.rotation import MOST_ROWS, rotation_dict, rotation_lines
from geolayout.plan.units import IMPERIAL

GUIDE = 'schema = 1\n[guide]\nbearing = 0.0\nfrom = "west"\n'


def layout(*parts):
    return paper_layout(GUIDE + TWO + "".join(parts))


def test_each_story_is_one_line():
    # 60 m hold five strips of each
    assert rotation_lines(layout(EXCHANGED)) == [
        "2027 maize (A), 2028 beans (A); 5 strips, 30.00 m across.",
        "2027 beans (B), 2028 maize (B); 5 strips, 30.00 m across.",
    ]


def test_history_and_feet():
    past = '[[history]]\nyear = 2026\ncrops = ["wheat", "clover"]\n'
    line = rotation_lines(layout(past), IMPERIAL)[0]
    assert line == "2026 wheat and clover, 2027 maize (A); 5 strips, 98.43 ft across."


def test_many_stories_are_counted():
    shifts = "".join(
        f"[[season]]\nyear = {2028 + i}\nshift = {1.37 * (i + 1)}\n" for i in range(12)
    )
    lines = rotation_lines(layout(shifts))
    assert len(lines) == MOST_ROWS + 1
    assert lines[-1].endswith("more in summary.json.")


def test_it_is_fit_for_json():
    told = json.loads(json.dumps(rotation_dict(layout(EXCHANGED)), allow_nan=False))
    assert [len(row["years"]) for row in told["rows"]] == [2, 2]
    # the layout is the first season, 2027: nothing is known of the year before
    assert told["nitrogen_credits"] == []
    past = '[[history]]\nyear = 2026\ncrops = ["soya"]\n'
    (credit,) = rotation_dict(layout(past))["nitrogen_credits"]
    assert (credit["legume"], credit["after"], credit["bands"]) == ("soya", ["maize"], ["A"])


def test_one_year_has_no_rotation():
    assert rotation_lines(layout()) == []
    assert rotation_dict(layout())["rows"] == []
