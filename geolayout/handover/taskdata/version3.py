"""
Task data for terminals of version 3.3: the same field and tasks in the words that it has.

Version 3 knows no guidance groups, no headland or buffer and no way in. Lines become lines of the
partfield, and what it has no type for becomes "other", its name kept.
"""

from types import MappingProxyType
from xml.etree.ElementTree import Element  # written, never parsed

from geolayout.handover.taskdata.elements import AreaKind, LineKind, PlaceKind, element

__all__ = ["WORDS", "as_version3"]

WORDS = MappingProxyType(
    {
        "CTR": "ABCDEFGHIJKLM",
        "FRM": "ABCDEFGHI",
        "CTP": "AB",
        "CVT": "AB",
        "VPN": "ABCDEF",
        "PDT": "ABCDE",
        "PFD": "ABCDEFGHI",
        "PLN": "ABCD",
        "LSG": "ABCDE",
        "PNT": "ABCDEF",
        "TSK": "ABCDEFGHIJ",
        "TZN": "ABC",
        "PDV": "ABCDE",
        "PAN": "ABCDE",
        "GRD": "ABCDEFGHIJ",
    }
)
"""Elements of version 3.3 that we write, and the attributes that each may have."""

_ROOT = ("ManagementSoftwareManufacturer", "ManagementSoftwareVersion", "DataTransferOrigin")

_AREAS = frozenset(map(str, range(1, 9)))
_LINES = frozenset(map(str, range(1, 9)))


def as_version3(root: Element) -> Element:
    """
    Return task data of version 4.3 as version 3.3.

    Parameters
    ----------
    root : Element
        Of version 4.3; it is left as it is.

    Returns
    -------
    root : Element
        Of version 3.3.
    """
    told: dict[str, object] = {"VersionMajor": 3, "VersionMinor": 3}
    told |= {name: root.get(name) for name in _ROOT}
    return element(root.tag, told, [_copy(child) for child in root])


def _copy(one: Element) -> Element:
    """Return an element with what version 3 knows of it."""
    known = WORDS[one.tag]
    told: dict[str, object] = {name: one.attrib[name] for name in one.attrib if name in known}
    told.update(_type_of(one))
    children: list[Element] = []
    for child in one:
        if child.tag == "GGP":
            children += _lines(child)
        elif child.tag in WORDS:
            children.append(_copy(child))
    return element(one.tag, told, children)


def _type_of(one: Element) -> dict[str, str]:
    """Return the type of a shape, where version 3 has another."""
    kind = one.get("A", "")
    if one.tag == "PLN" and kind not in _AREAS:
        return {"A": str(AreaKind.OTHER)}
    if one.tag == "LSG" and kind not in _LINES:
        return {"A": str(LineKind.FLAG)}
    if one.tag == "PNT":
        marked = kind in (str(PlaceKind.FLAG), str(PlaceKind.OBSTACLE))
        return {"A": str(PlaceKind.FLAG if marked else PlaceKind.OTHER)}
    return {}


def _lines(group: Element) -> list[Element]:
    """Return the patterns of a group as lines; one with a single point is no line there."""
    return [_copy(drawn) for drawn in group.iter("LSG") if len(drawn) > 1]
