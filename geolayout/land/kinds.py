"""The kinds of feature a field may hold, and what each one means for a layout."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

__all__ = ["KINDS", "MEASURED_FROM", "FeatureKind"]


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
    """

    name: str
    occupies: bool
    protected: bool
    hazard: str


# Which kinds are protected and which bring a hazard: common practice, no source. The law of the
# place decides; the table only says where a plan has to give an answer.
_TABLE = (
    FeatureKind("watercourse", occupies=True, protected=True, hazard="water"),
    FeatureKind("ditch", occupies=True, protected=True, hazard="bank"),
    FeatureKind("pond", occupies=True, protected=True, hazard="water"),
    FeatureKind("well", occupies=True, protected=True, hazard="water"),
    FeatureKind("hedge", occupies=True, protected=True, hazard=""),
    FeatureKind("fence", occupies=True, protected=False, hazard=""),
    FeatureKind("wall", occupies=True, protected=False, hazard=""),
    FeatureKind("tree", occupies=True, protected=False, hazard=""),
    FeatureKind("woodland", occupies=True, protected=False, hazard=""),
    FeatureKind("building", occupies=True, protected=False, hazard=""),
    FeatureKind("rock", occupies=True, protected=False, hazard=""),
    FeatureKind("pole", occupies=True, protected=True, hazard="overhead line"),
    FeatureKind("overhead line", occupies=False, protected=True, hazard="overhead line"),
    FeatureKind("buried pipe", occupies=False, protected=True, hazard="buried service"),
    FeatureKind("buried cable", occupies=False, protected=True, hazard="buried service"),
    FeatureKind("drain", occupies=False, protected=False, hazard="buried drain"),
    FeatureKind("right of way", occupies=False, protected=True, hazard="walkers"),
    FeatureKind("track", occupies=True, protected=False, hazard=""),
    FeatureKind("gateway", occupies=False, protected=False, hazard=""),
    FeatureKind("grassed waterway", occupies=True, protected=False, hazard=""),
    FeatureKind("other", occupies=True, protected=False, hazard=""),
)

KINDS: Mapping[str, FeatureKind] = MappingProxyType({kind.name: kind for kind in _TABLE})
"""Every kind of feature by its name; the list is closed."""

MEASURED_FROM = ("centre line", "top of bank", "outer wire", "drawn edge")
"""What a distance to keep clear may be measured from."""
