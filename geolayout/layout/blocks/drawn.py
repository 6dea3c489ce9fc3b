"""What was drawn beside the plan and read for it: lands of blocks, lines of guides and cuts."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from shapely.geometry.base import BaseGeometry

from geolayout.land.frames.references import Reference
from geolayout.layout.zones.field import Zones
from geolayout.plan.value import Compass

__all__ = ["Drawn", "LineSays"]


@dataclass(frozen=True, slots=True)
class LineSays:
    """
    What the file of a guide's line says beside the line.

    Attributes
    ----------
    reference : Reference or None
        What its coordinates are fixed to now; None where the file does not say.
    moved : float or None
        How far it was carried from the frame of the file; None where it was not. [m]
    number : int or None
        Number of the band that begins on it.
    from_ : str or None
        Side that bands are counted from.
    """

    reference: Reference | None = None
    moved: float | None = None
    number: int | None = None
    from_: Compass | None = None


_SILENT = LineSays()

_NONE: Mapping[str, BaseGeometry] = MappingProxyType({})
_NOTHING: Mapping[str, LineSays] = MappingProxyType({})


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """
    Shapes that the plan names by file, in the field's frame.

    Attributes
    ----------
    lands : mapping of str to geometry
        Land of each block that names a file, by the block's name. [m]
    lines : mapping of str to geometry
        Line of each guide that names a file, by the guide's `line_key`. [m]
    said : mapping of str to LineSays
        What was said beside each of these lines, by the same key.
    cuts : mapping of str to geometry
        Lines that part the field, by the `key` of the piece that names them. [m]
    zones : Zones or None
        The plan's rate zones; None where it has none.
    """

    lands: Mapping[str, BaseGeometry] = field(default_factory=lambda: _NONE)
    lines: Mapping[str, BaseGeometry] = field(default_factory=lambda: _NONE)
    said: Mapping[str, LineSays] = field(default_factory=lambda: _NOTHING)
    cuts: Mapping[str, BaseGeometry] = field(default_factory=lambda: _NONE)
    zones: Zones | None = None

    def says(self, key: str) -> LineSays:
        """Return what was said beside a line; nothing, if nothing was."""
        return self.said.get(key, _SILENT)
