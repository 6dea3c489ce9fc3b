"""What else counts beside hours when a bearing is chosen: what each thing is worth, in hours."""

from typing import Annotated

from pydantic import Field

from geolayout.plan.value import Value

__all__ = ["Weigh"]

Worth = Annotated[float, Field(strict=True, ge=0, le=1000, allow_inf_nan=False)]


class Weigh(Value):
    """
    How much a person would work longer to be rid of something.

    Attributes
    ----------
    short_piece : float
        Of one short piece of a pass. [h]
    headland : float
        Of headland. [h/ha]
    double_worked : float
        Of ground that a machine works twice. [h/ha]
    steep : float
        Of crop land on which rows are steeper than keeps soil in place. [h/ha]
    """

    short_piece: Worth = 0.0
    headland: Worth = 0.0
    double_worked: Worth = 0.0
    steep: Worth = 0.0
