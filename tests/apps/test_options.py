"""Lengths as people say them, and options that come as one value."""

import click
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from geolayout.apps.options import Measure, Measures, bundled


def metres(text, **limits):
    return Measure(**limits).convert(text, None, None)


@pytest.mark.parametrize(
    ("text", "length"),
    [
        pytest.param("6", 6.0, id="a bare number is metres"),
        pytest.param("6m", 6.0, id="metres by their letter"),
        pytest.param("0.75 m", 0.75, id="a blank before the unit"),
        pytest.param(".75", 0.75, id="no nought before the point"),
        pytest.param("75cm", 0.75, id="centimetres"),
        pytest.param("762 mm", 0.762, id="millimetres"),
        pytest.param("1.2 KM", 1200.0, id="capitals"),
        pytest.param("30in", 0.762, id="30 inches: 30 x 0.0254"),
        pytest.param('30"', 0.762, id="inches by their mark"),
        pytest.param("20ft", 6.096, id="20 feet: 20 x 0.3048"),
        pytest.param("2.5'", 0.762, id="feet by their mark"),
        pytest.param("6ft 6in", 1.9812, id="feet and inches: 78 x 0.0254"),
        pytest.param("6\N{PRIME}6\N{DOUBLE PRIME}", 1.9812, id="feet and inches, as printed"),
        pytest.param("10 yd", 9.144, id="yards"),
    ],
)
def test_a_length_is_read_in_its_unit(text, length):
    assert metres(text) == length


@pytest.mark.parametrize(
    ("text", "match"),
    [
        pytest.param("", "is no length", id="nothing"),
        pytest.param("wide", "is no length", id="a word"),
        pytest.param("6 furlongs", "is no length", id="a unit nobody uses here"),
        pytest.param("6,5", "is no length", id="a decimal comma"),
        pytest.param("6 6", "is no length", id="two numbers"),
        pytest.param("1e3", "is no length", id="an exponent"),
        pytest.param("nan", "is no length", id="not a number"),
        pytest.param("9" * 400, "is no length", id="a number beyond all floats"),
        pytest.param("0", "more than 0 m", id="nought"),
        pytest.param("-6m", "more than 0 m", id="less than nought"),
        pytest.param("6.0.1", "is no length", id="two points"),
        pytest.param("ft", "is no length", id="a unit alone"),
    ],
)
def test_what_is_no_length_is_refused_in_a_sentence(text, match):
    with pytest.raises(click.BadParameter, match=match) as refusal:
        metres(text)
    assert "\n" not in refusal.value.message


def test_nought_and_less_are_lengths_where_they_may_be():
    assert metres("0", zero=True) == 0.0
    assert metres("-2ft", least=-100.0, zero=True) == -0.6096


@given(st.floats(0.001, 99_999.0).map(lambda value: round(value, 3)))
def test_a_length_written_in_any_unit_is_the_same_length(length):
    """In centimetres and in millimetres as in metres."""
    assert metres(f"{length:.3f}") == pytest.approx(length, abs=1e-9)
    assert metres(f"{length * 100:.1f}cm") == pytest.approx(length, abs=1e-9)
    assert metres(f"{length * 1000:.0f} mm") == pytest.approx(length, abs=1e-9)


def test_several_lengths_stand_with_commas_between():
    assert Measures().convert("6, 20ft,75cm", None, None) == (6.0, 6.096, 0.75)


def test_one_bad_length_of_several_is_named():
    with pytest.raises(click.BadParameter, match="'six' is no length"):
        Measures().convert("6,six", None, None)


def test_bundled_options_come_as_one_value_and_stand_in_the_help():
    options = {
        "width": click.option("--width", type=Measure(), required=True, help="How wide."),
        "crop": click.option("--crop", default="maize"),
    }

    @click.command()
    @bundled("wish", lambda width, crop: (width, crop), options)
    @click.argument("field")
    def command(field, wish):
        click.echo(f"{field} {wish}")

    runner = CliRunner()
    assert runner.invoke(command, ["home", "--width", "20ft"]).output == "home (6.096, 'maize')\n"
    assert "--width LENGTH  How wide.  [required]" in runner.invoke(command, ["--help"]).output
