"""One caution: worst first, and when a hazard is still open."""

import pytest

from geolayout.appraisal.caution import (
    HAZARD,
    NOT_ACKNOWLEDGED,
    NOTE,
    WARNING,
    Caution,
    worst_first,
)


def of(severity, key="k", **more):
    return Caution(key=key, severity=severity, sentence="s", remedy="r", source="t", **more)


def test_worst_come_first_and_equals_stay_in_order():
    several = [of(NOTE, "a"), of(WARNING, "b"), of(HAZARD, "c"), of(WARNING, "d"), of(NOTE, "e")]
    assert [caution.key for caution in worst_first(several)] == ["c", "b", "d", "a", "e"]


@pytest.mark.parametrize(
    ("severity", "acknowledged", "is_open"),
    [
        pytest.param(HAZARD, NOT_ACKNOWLEDGED, True, id="a hazard nobody looked at"),
        pytest.param(HAZARD, "acknowledged by the grower on 2027-01-15", False, id="looked at"),
        pytest.param(NOTE, NOT_ACKNOWLEDGED, False, id="a note that nothing was given"),
        pytest.param(WARNING, "", False, id="a warning with nothing to acknowledge"),
    ],
)
def test_only_hazards_nobody_looked_at_are_open(severity, acknowledged, is_open):
    assert of(severity, acknowledged=acknowledged).open is is_open


def test_an_unknown_severity_cannot_be_put_in_order():
    with pytest.raises(ValueError, match="not in tuple"):
        worst_first([of("dreadful")])
