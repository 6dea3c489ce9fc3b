"""
Plan mixed crops and tree rows on one real field, and hand the plan to the machines.

Every name here loads its module when it is first used, so that importing the package costs
nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # for readers of types only; the names load on use
    from geolayout.appraisal.caution import Caution
    from geolayout.appraisal.quantities.figures import Figures
    from geolayout.errors import (
        BoundaryError,
        FileError,
        GeolayoutError,
        LayoutError,
        MeasureError,
        PlanError,
    )
    from geolayout.jobs import Job, Told, lay, read, read_plan, resolve, tell
    from geolayout.jobs.writing import write
    from geolayout.land.field import Field, make_field
    from geolayout.land.readers import read_boundary
    from geolayout.layout.blocks.drawn import Drawn
    from geolayout.layout.build import Layout, lay_out
    from geolayout.plan.parse import parse_plan
    from geolayout.plan.plan import Plan, Season
    from geolayout.plan.section.profile import Profile, profile_of
    from geolayout.plan.section.section import cut_section
    from geolayout.plan.section.sketch import section_drawing, section_words

__all__ = [
    "BoundaryError",
    "Caution",
    "Drawn",
    "Field",
    "Figures",
    "FileError",
    "GeolayoutError",
    "Job",
    "Layout",
    "LayoutError",
    "MeasureError",
    "Plan",
    "PlanError",
    "Profile",
    "Season",
    "Told",
    "cut_section",
    "lay",
    "lay_out",
    "make_field",
    "parse_plan",
    "profile_of",
    "read",
    "read_boundary",
    "read_plan",
    "resolve",
    "section_drawing",
    "section_words",
    "tell",
    "write",
]

_HOMES = {
    "geolayout.appraisal.caution": ("Caution",),
    "geolayout.appraisal.quantities.figures": ("Figures",),
    "geolayout.errors": (
        "BoundaryError",
        "FileError",
        "GeolayoutError",
        "LayoutError",
        "MeasureError",
        "PlanError",
    ),
    "geolayout.jobs": ("Job", "Told", "lay", "read", "read_plan", "resolve", "tell"),
    "geolayout.jobs.writing": ("write",),
    "geolayout.land.field": ("Field", "make_field"),
    "geolayout.land.readers": ("read_boundary",),
    "geolayout.layout.build": ("Layout", "lay_out"),
    "geolayout.layout.blocks.drawn": ("Drawn",),
    "geolayout.plan.parse": ("parse_plan",),
    "geolayout.plan.plan": ("Plan", "Season"),
    "geolayout.plan.section.profile": ("Profile", "profile_of"),
    "geolayout.plan.section.section": ("cut_section",),
    "geolayout.plan.section.sketch": ("section_drawing", "section_words"),
}

_HOME_OF = {name: home for home, names in _HOMES.items() for name in names}


def __getattr__(name: str) -> object:
    """Load the module of a public name and return the name."""
    if name not in _HOME_OF:
        message = f"module {__name__!r} has no attribute {name!r}"
        raise AttributeError(message)
    value: object = getattr(import_module(_HOME_OF[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    """List the public names, loaded or not."""
    return sorted({*globals(), *__all__})
