"""The page on driving: its picture is what the code draws, its figures are those of the code."""

import re
from io import BytesIO
from math import acos
from pathlib import Path

import numpy as np
from matplotlib.image import imread
from sample_layouts import sample_layout

from geolayout.appraisal.cautions import cautions
from geolayout.appraisal.driving.hours import FILL, TRIP
from geolayout.appraisal.driving.season import driving_of
from geolayout.appraisal.driving.speeds import SPEED, STOP, TURNING
from geolayout.handover.pictures.drive import drive_png

PAGE = Path(__file__).parents[1] / "docs" / "driving.md"
TEXT = PAGE.read_text("utf-8")

ALIKE = 0.01
"""Share of dots that may differ between versions of the drawing library. Our own choice. [-]"""


def figures_of(row):
    """Return least, usual and most in a row of the table of speeds."""
    (cells,) = re.findall(rf"^\| {re.escape(row)} \|(.*)\|.*\|$", TEXT, re.M)
    return [float(one) for one in re.findall(r"[\d.]+", cells)]


def test_the_picture_is_what_the_code_draws():
    layout = sample_layout("slough_quarter")
    (driving,) = driving_of(layout)
    drawn = imread(BytesIO(drive_png(layout, driving, cautions(layout))))
    shown = imread(PAGE.parent / "drive_order.png")
    assert drawn.shape == shown.shape
    off = np.abs(drawn[..., :3] - shown[..., :3]).max(axis=2) > 0.2
    assert off.mean() < ALIKE


def test_the_picture_has_the_pieces_that_the_page_says():
    layout = sample_layout("slough_quarter")
    (driving,) = driving_of(layout)
    rows, rounds = (sum(map(len, legs)) for legs in (driving.orders, driving.rounds))
    assert f"![{rows} pieces of passes and {rounds} of rounds" in TEXT
    numbers = layout.rounds.number[driving.rounds[0].piece]
    assert (numbers[0], numbers[-1]) == (2, 1)  # the inner round first, the outer one last
    assert f"(R{rounds})" in TEXT


def test_speeds_and_times_are_those_of_the_code():
    assert figures_of("working speed, not stated") == [SPEED.slow, SPEED.usual, SPEED.fast]
    assert figures_of("speed in turns") == [TURNING.slow, TURNING.usual, TURNING.fast]
    assert figures_of("speed in, out, and to fill or tip") == [TRIP.slow, TRIP.usual, TRIP.fast]
    assert figures_of("standing to fill or tip") == [FILL.least, FILL.usual, FILL.most]
    assert figures_of("change of direction") == [STOP] * 3


def test_the_way_over_is_as_long_as_the_page_says():
    # 2 R a, cos a = 1 - 6 / 12
    assert f"{2 * 6.0 * acos(0.5):.1f} m for 6 m over at a radius of 6 m" in TEXT
