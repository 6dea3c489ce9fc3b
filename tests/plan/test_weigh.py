"""What things are worth in hours: nothing unless said, and never less."""

import pytest
from pydantic import ValidationError

from geolayout.plan.weigh import Weigh


def test_nothing_is_weighed_unless_said():
    assert set(Weigh().model_dump().values()) == {0.0}


@pytest.mark.parametrize(
    "key", ["short_piece", "headland", "double_worked", "steep"], ids=lambda key: f"less {key}"
)
def test_nothing_is_worth_less_than_nothing(key):
    with pytest.raises(ValidationError, match=key):
        Weigh.model_validate({key: -0.1})


def test_an_unknown_weight_is_refused():
    with pytest.raises(ValidationError, match="shade"):
        Weigh.model_validate({"shade": 1.0})
