"""Rounds in words."""

from dataclasses import replace

from geolayout.appraisal.quantities.rounds import CORNERS, RoundFigures
from geolayout.handover.words.rounds import round_lines

ONE = RoundFigures(
    "drill grass", "drill", "last", 6.0, 6.5, 2, 3, 1, 1100.0, 0.0, 7000.0, 77.5, 1.107, 0.2, 0.0
)  # invented


def test_rounds_are_told_with_what_they_miss_and_what_can_be_done():
    (line,) = round_lines([ONE])
    assert line.startswith("drill grass (drill, 6 m): 2 rounds in 3 pieces, 1.10 km, worked last")
    assert "1.1 % of the headland" in line
    assert line.endswith(f"{CORNERS}.")


def test_what_is_nothing_is_not_told():
    (line,) = round_lines([replace(ONE, missed_m2=0.2)])
    assert line.endswith("worked last.")


def test_ground_worked_twice_and_lines_beyond_the_edge_are_told():
    (line,) = round_lines([replace(ONE, worked_twice_m2=12.0, beyond_edge_m=4.0)])
    assert "worked twice; 4.0 m beyond the edge." in line


def test_a_missing_turning_radius_is_asked_for():
    (line,) = round_lines([replace(ONE, turning_radius_m=None, rounds=0)])
    assert "no rounds, for the plan has no turning_radius of drill" in line


def test_a_headland_that_holds_no_round_says_what_the_machine_needs():
    (line,) = round_lines([replace(ONE, rounds=0)])
    assert "no rounds fit, for it turns at 6.5 m" in line
