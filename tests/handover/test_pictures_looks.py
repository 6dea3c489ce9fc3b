"""Ground can be told apart on a photocopy."""

import matplotlib as mpl
import numpy as np
import pytest
from sample_layouts import SAMPLES, sample_layout

from geolayout.handover.pictures.looks import (
    OTHER_LOOKS,
    STAND_LOOKS,
    ground_looks,
    legend_key,
    shortened,
    steady_style,
    tinted,
    wrapped,
)


def grey(colour):
    """Return how light a colour is on a photocopy, 0 to 1 (ITU-R BT.601 weights, from memory)."""
    red, green, blue = mpl.colors.to_rgb(colour)
    return 0.299 * red + 0.587 * green + 0.114 * blue


def test_no_two_looks_share_hatch_and_grey():
    looks = [*STAND_LOOKS, *OTHER_LOOKS.values()]
    for i, one in enumerate(looks):
        for other in looks[:i]:
            differ = one.hatch != other.hatch or abs(grey(one.tint) - grey(other.tint)) > 0.1
            assert differ, (one, other)


@pytest.mark.parametrize("look", STAND_LOOKS, ids=lambda look: look.tint)
def test_black_letters_can_be_read_on_every_band(look):
    assert grey(look.tint) > 0.55


@pytest.mark.parametrize("name", SAMPLES)
def test_all_ground_of_a_layout_has_a_look(name):
    ground = sample_layout(name).ground
    looks = ground_looks(ground)
    keys = {legend_key(*pair) for pair in zip(ground.kind, ground.stand, strict=True)}
    assert set(looks) == keys
    stands = [look for (kind, stand), look in looks.items() if kind == "band" and stand]
    assert len(set(stands)) == len(stands)


def test_a_tint_lies_between_its_colour_and_white():
    assert tinted("#E69F00", 1.0) == "#e69f00"
    assert tinted("#E69F00", 0.0) == "#ffffff"


def test_the_users_own_style_neither_matters_nor_is_lost():
    with mpl.rc_context({"font.size": 40.0}):
        with steady_style():
            assert mpl.rcParams["font.size"] == 6.5
        assert mpl.rcParams["font.size"] == 40.0


def test_sentences_are_broken_between_words():
    assert wrapped("keep off when wet", 8) == ["keep off", "when wet"]
    assert wrapped("", 8) == []


def test_words_that_are_too_long_end_in_dots():
    assert shortened("tree strip", 20) == "tree strip"
    assert shortened("oats and peas 1, oats and peas 2", 16) == "oats and peas..."
    assert np.all([len(shortened("x" * 50, n)) == n for n in (10, 20)])
