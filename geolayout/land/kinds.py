"""The kinds of feature a field may hold, and what each one means for a layout."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

__all__ = ["KINDS", "MEASURED_FROM", "PASSED_THROUGH", "SHADING", "STANDING", "FeatureKind"]

_LINE = "the line's operator"
_SERVICE = "the owner of the service"
_WATER = "whoever looks after the watercourse"
_WAYS = "the authority for rights of way"


@dataclass(frozen=True, slots=True)
class FeatureKind:
    """
    What one kind of feature means for a layout.

    Attributes
    ----------
    name : str
        Trade word for it, as written in a plan.
    occupies : bool
        Whether its own body cannot be driven or cannot be sown, so that it is an obstacle.
    protected : bool
        Whether it is usually protected by law, or dangerous: a plan must then state how far to
        keep clear of it, and 0 is an allowed answer.
    hazard : str
        Key of the hazard it brings, or "" for none.
    asked : str
        Who usually has to be asked before trees, posts or turning come near, or "" for nobody.
    """

    name: str
    occupies: bool
    protected: bool
    hazard: str
    asked: str = ""


# Which kinds are protected, which bring a hazard and who is usually asked: common practice, no
# source. The law of the place decides; the table only says where a plan has to give an answer.
_TABLE = (
    FeatureKind("watercourse", occupies=True, protected=True, hazard="water", asked=_WATER),
    FeatureKind("ditch", occupies=True, protected=True, hazard="bank", asked=_WATER),
    FeatureKind("pond", occupies=True, protected=True, hazard="water"),
    FeatureKind("well", occupies=True, protected=True, hazard="water"),
    FeatureKind("spring", occupies=True, protected=True, hazard="water"),
    FeatureKind("hedge", occupies=True, protected=True, hazard=""),
    FeatureKind("fence", occupies=True, protected=False, hazard=""),
    FeatureKind("wall", occupies=True, protected=False, hazard=""),
    FeatureKind("tree", occupies=True, protected=False, hazard=""),
    FeatureKind("woodland", occupies=True, protected=False, hazard=""),
    FeatureKind("building", occupies=True, protected=False, hazard=""),
    FeatureKind("rock", occupies=True, protected=False, hazard=""),
    FeatureKind("pit", occupies=True, protected=False, hazard="hole"),
    FeatureKind("manhole", occupies=True, protected=False, hazard="hole"),
    FeatureKind("burrow", occupies=True, protected=True, hazard="hole"),
    FeatureKind("steep bank", occupies=True, protected=False, hazard="bank"),
    FeatureKind("wet hollow", occupies=False, protected=False, hazard=""),
    FeatureKind("pole", occupies=True, protected=True, hazard="overhead line", asked=_LINE),
    FeatureKind("stay wire", occupies=True, protected=True, hazard="overhead line", asked=_LINE),
    FeatureKind(
        "overhead line", occupies=False, protected=True, hazard="overhead line", asked=_LINE
    ),
    FeatureKind(
        "buried pipe", occupies=False, protected=True, hazard="buried service", asked=_SERVICE
    ),
    FeatureKind(
        "buried cable", occupies=False, protected=True, hazard="buried service", asked=_SERVICE
    ),
    FeatureKind("drain", occupies=False, protected=False, hazard="buried drain"),
    FeatureKind("outfall", occupies=True, protected=False, hazard="buried drain"),
    FeatureKind("hydrant", occupies=True, protected=False, hazard=""),
    FeatureKind("trough", occupies=True, protected=False, hazard=""),
    FeatureKind("right of way", occupies=False, protected=True, hazard="walkers", asked=_WAYS),
    FeatureKind("railway", occupies=True, protected=True, hazard="", asked="the railway"),
    FeatureKind("road", occupies=True, protected=False, hazard=""),
    FeatureKind("track", occupies=True, protected=False, hazard=""),
    FeatureKind("gateway", occupies=False, protected=False, hazard=""),
    FeatureKind("bridge", occupies=False, protected=False, hazard="bridge"),
    FeatureKind("culvert", occupies=False, protected=False, hazard="bridge"),
    FeatureKind("fill point", occupies=False, protected=False, hazard=""),
    FeatureKind("tip point", occupies=False, protected=False, hazard=""),
    FeatureKind("stack point", occupies=True, protected=False, hazard=""),
    FeatureKind("beehives", occupies=True, protected=False, hazard=""),
    FeatureKind(
        "monument",
        occupies=True,
        protected=True,
        hazard="",
        asked="the authority for monuments",
    ),
    FeatureKind("boundary stone", occupies=True, protected=True, hazard=""),
    FeatureKind("grassed waterway", occupies=True, protected=False, hazard=""),
    FeatureKind("filter strip", occupies=True, protected=False, hazard=""),
    FeatureKind("other", occupies=True, protected=False, hazard=""),
)

KINDS: Mapping[str, FeatureKind] = MappingProxyType({kind.name: kind for kind in _TABLE})
"""Every kind of feature by its name; the list is closed."""

PASSED_THROUGH = ("gateway", "bridge", "culvert")
"""Kinds with a width of their own, through or over which every machine must go."""

SHADING = ("hedge", "woodland", "tree", "wall", "building")
"""Kinds that shade and shelter the ground beside them, where their height is known."""

STANDING = ("gateway", "fill point", "tip point", "stack point")
"""Kinds at which machines stand, and are folded, filled, tipped or stacked from."""

MEASURED_FROM = ("centre line", "top of bank", "outer wire", "drawn edge")
"""What a distance to keep clear may be measured from."""
