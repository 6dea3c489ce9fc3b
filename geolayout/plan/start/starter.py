"""
A plan to begin with, for one field: whole sentences and figures to change.

Every figure in these plans is an example and none is advice. Widths suit the machines named in
the same plan, and the guide suits the field.
"""

import json
from collections.abc import Callable
from dataclasses import dataclass
from string import Template

from geolayout.errors import LayoutError, PlanError
from geolayout.plan.near import near_names
from geolayout.plan.start.texts import (
    ALLEYS,
    COMPANION,
    DORMANT,
    ENDS,
    FEATURES,
    GUIDE,
    HEAD,
    MIXTURE,
    NO_HEADLAND,
    RELAY,
    STRIPS,
    TRIAL,
    UNDERSOWING,
    UNDERSTOREY,
    VARIETIES,
    WIDE_ROWS,
    WINDBREAK,
)
from geolayout.plan.value import COMPASS_DEGREES

__all__ = ["PRACTICES", "StarterField", "check_practice", "starter_plan"]

PLOTS = ((12.0, 4), (12.0, 3), (6.0, 4), (6.0, 3), (6.0, 2), (3.0, 3), (3.0, 2))
"""Plot widths [m] and replicates a trial may begin with, the best first. Our own choice."""

TREATMENTS = 3


@dataclass(frozen=True, slots=True)
class StarterField:
    """
    What a plan to begin with needs to know of a field.

    Attributes
    ----------
    name : str
        What people call it.
    boundary : str
        Its file, as the plan will name it.
    bearing : float
        Bearing of its longest edge. [degrees]
    across : float
        Width of the land across the rows that the plan may use. [m]
    layer, crs : str, optional
        Layer of the file, and its coordinate system where it states none.
    field_id : str, optional
        Which field of the file.
    """

    name: str
    boundary: str
    bearing: float
    across: float
    layer: str | None = None
    field_id: str | None = None
    crs: str | None = None

    @property
    def side(self) -> str:
        """The compass side from which bands are counted: left of the bearing."""
        words = list(COMPASS_DEGREES)
        return words[round(((self.bearing - 90.0) % 360.0) / 45.0) % 8]


def check_practice(practice: str) -> None:
    """
    Refuse a practice that there is no plan for.

    Raises
    ------
    PlanError
        If it is unknown; the near names are listed.
    """
    if practice not in _BODIES:
        raise PlanError(
            f"The practice {practice!r} is asked for.",
            "There is no plan to begin with for it.",
            near_names(practice, PRACTICES),
        )


def starter_plan(practice: str, field: StarterField, headland: float) -> str:
    """
    Write a commented plan for a field.

    Parameters
    ----------
    practice : str
        One of ``PRACTICES``.
    field : StarterField
        The field.
    headland : float
        Width of the headland at the ends; 0 for none. [m]

    Returns
    -------
    text : str
        A plan file.

    Raises
    ------
    PlanError
        If the practice is unknown.
    LayoutError
        If no trial fits across the field.
    """
    check_practice(practice)
    title, body = _BODIES[practice]
    parts = [_head(title, field), _guide(field)]
    parts += [_headland(headland), body(field)]
    return "\n".join(part.strip("\n") + "\n" for part in parts)


def _guide(field: StarterField) -> str:
    """Return the guide, along the longest edge."""
    return Template(GUIDE).substitute(bearing=f"{field.bearing:.2f}", side=field.side)


def _quoted(text: str) -> str:
    """Return a text as TOML writes it."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _head(title: str, field: StarterField) -> str:
    """Return the comment on top and the field's own table."""
    keys = {
        "name": field.name,
        "boundary": field.boundary,
        "layer": field.layer,
        "id": field.field_id,
        "crs": field.crs,
    }
    lines = [f"{key} = {_quoted(value)}" for key, value in keys.items() if value is not None]
    return Template(HEAD).substitute(title=title) + "\n".join(lines) + "\n" + FEATURES


def _headland(width: float) -> str:
    """Return the headland, at the ends or none."""
    return Template(ENDS).substitute(width=f"{width:.1f}") if width > 0 else NO_HEADLAND


def _same(body: str) -> Callable[[StarterField], str]:
    """Return a body that is the same on every field."""
    return lambda _field: body


def _windbreak(field: StarterField) -> str:
    """Return a belt behind crop, at a third of the field's width."""
    lee = max(6.0, min(60.0, field.across / 3 // 3 * 3))
    return Template(WINDBREAK).substitute(lee=f"{lee:.1f}")


def _trial(field: StarterField) -> str:
    """Return a trial of the widest plots and most replicates that fit."""
    for width, replicates in PLOTS:
        total = TREATMENTS * replicates * width
        if total <= field.across - 1.0:
            return Template(TRIAL).substitute(
                width=f"{width:.1f}",
                replicates=replicates,
                total=f"{total:.1f}",
                harvest=f"{min(width, 6.0):.1f}",
            )
    width, replicates = PLOTS[-1]
    raise LayoutError(
        f"The land is {field.across:.1f} m across the rows.",
        f"The smallest trial here takes {TREATMENTS} x {replicates} plots of {width:g} m.",
        "Choose a wider field or another practice.",
    )


_BODIES: dict[str, tuple[str, Callable[[StarterField], str]]] = {
    "strips": ("Strips of maize and beans", _same(STRIPS)),
    "wide-rows": ("Maize in wide double rows, beans between", _same(WIDE_ROWS)),
    "mixture": ("Oats and peas as a mixture", _same(MIXTURE)),
    "variety-mixture": ("Two varieties of wheat mixed", _same(VARIETIES)),
    "companion": ("Rape with clover as its companion", _same(COMPANION)),
    "relay": ("Soya in relay after wheat", _same(RELAY)),
    "undersowing": ("Clover under-sown in barley", _same(UNDERSOWING)),
    "perennial-understorey": ("Maize in standing clover", _same(UNDERSTOREY)),
    "dormant-pasture": ("Oats in dormant summer grass", _same(DORMANT)),
    "alleys": ("Wheat in alleys between tree rows", _same(ALLEYS)),
    "windbreak": ("A windbreak in barley", _windbreak),
    "trial": ("A trial of a mixture", _trial),
}

PRACTICES = tuple(_BODIES)
"""What `starter_plan` knows a plan for."""
