"""Lines in words, counted as a terminal counts them."""

import numpy as np
import pytest
import shapely
from strategies import field_of, laid, plan_of

from geolayout.appraisal.driving.order import Doors, order_of
from geolayout.appraisal.driving.steps import line_words, steps_of

NOWHERE = Doors(np.empty((0, 2)), np.empty((0, 2)))

WHOLE = """
[[pattern]]
name = "whole"
bands = [ { name = "A", width = "rest", stand = "beans" } ]
[[machine]]
name = "drill"
working_width = 6.0
turning_radius = 2.5
[[operation]]
name = "drill"
machine = "drill"
over = "block"
order = "up and back"
"""


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        pytest.param([0], "0", id="one pass"),
        pytest.param([0, 1], "0, +1", id="two passes"),
        pytest.param([0, 2, 4, 6], "0, +2 to +6 by 2", id="every second"),
        pytest.param([0, 2, 4, 3, 1], "0, +2, +4, +3, +1", id="too short to be a run"),
        pytest.param([0, -1, -2, -3], "0, -1 to -3 by 1", id="towards the other side"),
        pytest.param([0, 1, 1, 2], "0, +1, +2", id="a pass in two pieces"),
        pytest.param([0, 2.5], "0, +2.5", id="between two lines"),
        pytest.param([5, 6, 7, 0], "+5 to +7 by 1, 0", id="a run before a single one"),
    ],
)
def test_lines_in_words(lines, words):
    assert line_words(lines) == words


@pytest.mark.parametrize(
    ("from_", "towards"), [("west", "east"), ("east", "west")], ids=["from the west", "east"]
)
def test_steps_of_a_field_on_paper(from_, towards):
    field = field_of(shapely.box(0, 0, 27, 100))
    layout = laid(field, plan_of(WHOLE, guide=f'bearing = 0.0\nfrom = "{from_}"'))
    steps = steps_of(layout, order_of(layout, 0, 0, NOWHERE))
    assert steps.towards == towards
    # 27 m: passes at 3, 9, 15, 21 and, moved inward, 24 m: half a width from the one before
    in_order = steps.line if steps.number[0] < steps.number[-1] else -steps.line
    assert in_order.tolist() == (
        [0.0, 1.0, 2.0, 3.0, 3.5] if steps.number[0] == 1 else [0.0, 0.5, 1.5, 2.5, 3.5]
    )
    # out and back: headings alternate, along the meridian
    turned = np.abs(np.diff(steps.heading))
    assert turned.tolist() == pytest.approx([180.0] * 4, abs=1e-3)
