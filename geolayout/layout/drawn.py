"""What was drawn beside the plan and read for it: the lands of blocks and the lines of guides."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from shapely.geometry.base import BaseGeometry

__all__ = ["Drawn"]

_NONE: Mapping[str, BaseGeometry] = MappingProxyType({})


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """
    Shapes that the plan names by file, in the field's frame.

    Attributes
    ----------
    lands : mapping of str to geometry
        Land of each block that names a file, by the block's name. [m]
    lines : mapping of str to geometry
        Line of each guide that names a file, by the file as written. [m]
    """

    lands: Mapping[str, BaseGeometry] = field(default_factory=lambda: _NONE)
    lines: Mapping[str, BaseGeometry] = field(default_factory=lambda: _NONE)
