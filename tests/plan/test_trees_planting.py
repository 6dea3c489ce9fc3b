"""What goes with the trees, and what makes no sense."""

import pytest
from pydantic import ValidationError

from geolayout.plan.trees.planting import Planting


@pytest.mark.parametrize(
    ("density", "reached"),
    [
        # England's classes as one page had them (AF1): 30 to 50, 51 to 130, 131 or more
        pytest.param(29.9, 0, id="under the first"),
        pytest.param(30.0, 1, id="at the first"),
        pytest.param(123.5, 2, id="between"),
        pytest.param(131.0, 3, id="at the last"),
    ],
)
def test_class_of_a_density(density, reached):
    assert Planting(density_bands=(30.0, 51.0, 131.0)).density_class(density) == reached


@pytest.mark.parametrize(
    ("keys", "match"),
    [
        pytest.param({"density_bands": (51.0, 30.0)}, r"limits grow", id="limits falling"),
        pytest.param({"fence_opening": 4.0}, r"no fence", id="a gate in no fence"),
        pytest.param({"spares_percent": -1.0}, r"spares_percent", id="less than no spares"),
    ],
)
def test_nonsense_is_refused(keys, match):
    with pytest.raises(ValidationError, match=match):
        Planting(**keys)
