"""
The order of driving: how long it takes to find, and what it saves against up and back.

There is no plain way to race: every order of 100 passes cannot be tried. Time and gain are held
against what a person waits for and what was found over real fields.
"""

import time
from collections.abc import Iterator

from made_land import blob, field_of, laid
from race import REPEATS, Result

from geolayout.appraisal.driving.season import driving_of
from geolayout.layout.build import Layout

PLAN = """
[headland]
where = "all round"
width = 18.5
[[stand]]
name = "beans"
sowing = [ {{ crop = "field beans", spacing = 0.5, operation = "drill" }} ]
[[pattern]]
name = "whole"
bands = [ {{ name = "A", width = "rest", stand = "beans" }} ]
[[machine]]
name = "drill"
working_width = {width}
sections = 4
turning_radius = 6.5
[[operation]]
name = "drill"
machine = "drill"
over = "block"
"""

LANDS = ((10.0, 60, 6.0), (10.0, 60, 3.0), (100.0, 200, 6.0))
"""Hectares and corners of the land, width of the drill. [ha, -, m]"""

WAIT = 1.0
"""What a person waits for an order without noticing. Our own choice. [s]"""

GAIN = 0.10
"""Nine of ten real fields gain more with a narrow machine (docs/driving.md). [-]"""


def results() -> Iterator[Result]:
    """Yield time and gain of each piece of land."""
    for hectares, corners, width in LANDS:
        layout = laid(field_of(blob(hectares, corners)), PLAN.format(width=width))
        seconds = min(_timed(layout) for _ in range(REPEATS))
        (driving,) = driving_of(layout)
        name = f"driving, {hectares:g} ha, {width:g} m, {len(layout.passes)} pieces"
        gain = 1.0 - driving.driven.empty / driving.usual_turning
        yield Result(
            name, f"{1e3 * seconds:.0f} ms", "", f"{seconds:.2f} s", f"{WAIT:g} s", seconds < WAIT
        )
        yield Result(
            name,
            f"{driving.driven.empty / 1e3:.2f} km",
            f"{driving.usual_turning / 1e3:.2f} km",
            f"{100 * gain:.0f} % less",
            f"{100 * GAIN:.0f} % less",
            gain >= GAIN,
        )


def _timed(layout: Layout) -> float:
    """Return how long an order takes, with hours and doubled ground, found anew. [s]"""
    driving_of.cache_clear()
    begin = time.perf_counter()
    driving_of(layout)
    return time.perf_counter() - begin
