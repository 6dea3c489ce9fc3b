"""The grade of each row on planes whose slope is known."""

import numpy as np
import pytest
from hills import LAND, on_hill
from strategies import STRIPS, field_of, laid, plan_of

from geolayout.appraisal.slope.lengths import slope_figures
from geolayout.appraisal.slope.rows import row_grades

UP = 'bearing = 0.0\nfrom = "west"'


def rise(_x, y):
    return 100 + 0.03 * y  # 3 %, up to the north


def grades_of(height, guide):
    return row_grades(laid(on_hill(height), plan_of(STRIPS, guide=guide)))


@pytest.mark.parametrize(
    ("bearing", "side", "grade"),
    [
        pytest.param(0.0, "west", 3.0, id="straight up"),
        pytest.param(90.0, "south", 0.0, id="on the level"),
        pytest.param(65.0, "south-east", 1.2679, id="aslant: 3 % times cos 65"),
    ],
)
def test_rows_on_a_plane_all_have_its_grade(bearing, side, grade):
    found = grades_of(rise, f'bearing = {bearing}\nfrom = "{side}"')
    assert found.mean == pytest.approx(grade, abs=1e-3)
    assert found.steepest == pytest.approx(grade, abs=1e-3)
    # The limit is 2 % or half the slope of 3 %: 1.5 %, which the slanting rows keep.
    assert found.over == pytest.approx(100.0 if grade > 1.6 else 0.0)


def test_shares_of_all_rows_add_up_to_the_share_told():
    layout = laid(
        on_hill(lambda _x, y: 100 + 0.0002 * np.maximum(y, 0.0) ** 2), plan_of(STRIPS, guide=UP)
    )
    found, length = row_grades(layout), layout.rows.lines.length
    told = [one for one in slope_figures(layout) if one.what.startswith("rows of")]
    assert 0.0 < found.over.min() < 100.0
    assert (found.over * length).sum() / 100 == pytest.approx(sum(one.over_m for one in told))
    assert found.steepest.max() == pytest.approx(max(one.steepest_percent for one in told))


def test_rows_whose_ground_is_not_known_have_no_grade():
    found = grades_of(lambda x, y: np.where(x < 0, np.nan, 100 + 0.03 * y), UP)
    assert np.isnan(found.mean).any()
    assert found.mean[~np.isnan(found.mean)] == pytest.approx(3.0)
    assert (np.isnan(found.steepest) == np.isnan(found.mean)).all()


def test_without_heights_no_row_has_a_grade():
    assert row_grades(laid(field_of(LAND), plan_of(STRIPS, guide=UP))) is None
