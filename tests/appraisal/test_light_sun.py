"""Where the sun stands, against a published worked example and against what every child knows."""

import numpy as np
import pytest

pytest.importorskip("pvlib", reason="the extra `light` is not installed")

from geolayout.appraisal.light.sun import season_suns, sun_angles


def test_the_published_worked_example_is_met():
    # Reda and Andreas, NREL/TP-560-34302 (revised 2008), appendix A.5: 17 October 2003, 12:30:30
    # at -7 h, 39.742476 N, 105.1786 W: zenith 50.11162, azimuth 194.34024 degrees. That zenith is
    # lifted by 0.016332 degrees of refraction (from memory of the same table): 50.12795 without.
    # Delta T is that of 2027 here, which moves the sun by less than 0.001.
    instant = np.datetime64("2003-10-17T19:30:30").astype("datetime64[s]").astype(float)
    elevation, azimuth = sun_angles(np.array([float(instant)]), 39.742476, -105.1786)
    assert 90.0 - elevation[0] == pytest.approx(50.1279, abs=0.002)
    assert azimuth[0] == pytest.approx(194.3402, abs=0.002)


def test_weights_add_up_and_nothing_shines_from_below():
    suns = season_suns(52.0, 7.0, (4, 7))
    assert suns.weight.sum() == pytest.approx(1.0)
    assert (suns.up[:, 2] > 0).all()
    assert np.linalg.norm(suns.up, axis=1) == pytest.approx(1.0)
    assert set(suns.month) == {4, 5, 6, 7}


def test_the_noon_sun_is_south_in_the_north_and_north_in_the_south():
    for lat, months, south in ((52.0, (6, 6), True), (-34.0, (12, 12), False)):
        suns = season_suns(lat, 7.0, months)
        highest = suns.up[np.argmax(suns.up[:, 2])]
        assert (highest[1] < 0) == south


def test_mornings_weigh_what_afternoons_weigh():
    suns = season_suns(48.0, 11.0, (4, 9))
    east = suns.weight[suns.up[:, 0] > 0].sum()
    # Half past the hour in mean solar time: the equation of time leaves under a quarter of an hour.
    assert east == pytest.approx(0.5, abs=0.02)


def test_a_season_may_run_over_the_turn_of_the_year():
    suns = season_suns(-34.0, 18.0, (11, 2), step=5)
    assert set(suns.month) == {11, 12, 1, 2}
