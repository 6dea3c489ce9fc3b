"""
How the layers of a GeoPackage look when a GIS opens them, as style documents in XML.

Whoever opens the file sees a whole field first. Rows and turns, which would drown it, come when one
goes near; ground has the tints of the map on paper; areas that lie on it are outlines, so that it
does not matter which layer is on top.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from xml.etree.ElementTree import Element, SubElement, tostring  # written, never parsed

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.handover.files.xmltext import xml_text
from geolayout.handover.pictures.looks import OTHER_LOOKS

__all__ = ["GROUND", "LayerStyle", "Symbol", "ground_word", "style_of", "style_xml"]

GROUND = """if("kind" in ('band', 'tree band'), 'band: ' || "stand", "kind")"""
"""What decides the look of ground, in the words of the style."""

_KINDS = ("marker", "line", "fill")
_CLASSES = {"marker": "SimpleMarker", "line": "SimpleLine", "fill": "SimpleFill"}
_HATCHES = {"keep-clear": "diagonal_x", "headland": "dense6", "left over": "f_diagonal"}
_EDGE = "90,90,90,255"


@dataclass(frozen=True, slots=True)
class Symbol:
    """
    How one kind of thing is drawn.

    Attributes
    ----------
    colour : str
        As #rrggbb.
    size : float
        Width of a line or an outline, or size of a marker. [mm]
    pattern : str
        Of a fill or a line, in the words of the style: "solid", "no", "dash", "diagonal_x".
    shape : str
        Of a marker.
    """

    colour: str
    size: float = 0.3
    pattern: str = "solid"
    shape: str = "circle"


@dataclass(frozen=True, slots=True)
class LayerStyle:
    """
    How a layer is drawn.

    Attributes
    ----------
    symbols : mapping of str to Symbol
        By what the expression says; one by "" where there is no expression.
    expression : str
        What decides between them.
    label : str
        What is written beside each, as an expression.
    from_scale : int
        Smaller scales, 1 to more than that, do not show it; 0 where all do. [-]
    """

    symbols: Mapping[str, Symbol]
    expression: str = ""
    label: str = ""
    from_scale: int = 0


def _plain(
    colour: str, size: float = 0.3, pattern: str = "solid", from_scale: int = 0
) -> LayerStyle:
    """Return a layer that looks the same everywhere."""
    return LayerStyle({"": Symbol(colour, size, pattern)}, from_scale=from_scale)


_STYLES: Mapping[str, LayerStyle] = MappingProxyType(
    {
        "hazards": LayerStyle(
            {"": Symbol("#d00000", 5.0, shape="triangle")}, label="'HAZARD ' || \"letter\""
        ),
        "field": _plain("#000000", 0.6, "no"),
        "headland": _plain("#606060", 0.2, "no"),
        "headland_edges": _plain("#606060", 0.5),
        "rows": _plain("#7a9a01", 0.1, from_scale=500),
        "trees": _plain("#1b6e1b", 1.4),
        "passes": _plain("#303030", 0.1, from_scale=10_000),
        "rounds": _plain("#303030", 0.1, from_scale=10_000),
        "turns": _plain("#303030", 0.1, "dot", from_scale=2500),
        "features_points": _plain("#1f4fa0", 2.0),
        "features_lines": _plain("#1f4fa0", 0.5),
        "features_areas": _plain("#1f4fa0", 0.5, "no"),
    }
)

OTHER = _plain("#606060")
"""Look of all other layers."""


def ground_word(kind: str, stand: str) -> str:
    """
    Return what `GROUND` says of a piece of ground.

    Examples
    --------
    >>> ground_word("tree band", "walnuts"), ground_word("headland", "grass")
    ('band: walnuts', 'headland')
    """
    return f"band: {stand}" if kind in ("band", "tree band") else kind


def style_of(layer: str, stands: Mapping[str, str]) -> LayerStyle:
    """
    Return the look of a layer.

    Parameters
    ----------
    layer : str
        Its name.
    stands : mapping of str to str
        Tint of each stand on bands as #rrggbb, for the ground.
    """
    if layer != "ground":
        return _STYLES.get(layer, OTHER)
    bands = {ground_word("band", name): Symbol(tint, 0.1) for name, tint in stands.items()}
    return LayerStyle({**bands, **_other_ground()}, GROUND)


def _other_ground() -> dict[str, Symbol]:
    """Return the looks of ground that is no band; white ground with a hatch has it in grey."""
    found = {}
    for kind, look in OTHER_LOOKS.items():
        hatch = _HATCHES.get(kind, "solid")
        colour = look.tint if hatch == "solid" else "#808080"
        found[kind if kind != "bare" else ground_word("band", "")] = Symbol(colour, 0.1, hatch)
    return found


def style_xml(style: LayerStyle, shapes: NDArray[np.object_]) -> str:
    """
    Return a style document.

    Parameters
    ----------
    style : LayerStyle
        Of `style_of`.
    shapes : ndarray of shapely geometry
        The layer's; they decide between markers, lines and fills. Markers where there is none.

    Returns
    -------
    text : str
        XML.
    """
    kind = _KINDS[int(shapely.get_dimensions(shapes).max())] if len(shapes) else "marker"
    root = Element("qgis", _head(style))
    how = "categorizedSymbol" if style.expression else "singleSymbol"
    renderer = SubElement(root, "renderer-v2", {"type": how, "attr": style.expression})
    if style.expression:
        categories = SubElement(renderer, "categories")
        for i, word in enumerate(style.symbols):
            told = {"symbol": str(i), "value": xml_text(word), "label": _legend(word)}
            SubElement(categories, "category", {**told, "render": "true"})
    symbols = SubElement(renderer, "symbols")
    for i, one in enumerate(style.symbols.values()):
        symbol = SubElement(symbols, "symbol", {"name": str(i), "type": kind, "alpha": "1"})
        drawn = SubElement(symbol, "layer", {"class": _CLASSES[kind]})
        for key, value in _properties(kind, one).items():
            SubElement(drawn, "prop", {"k": key, "v": value})
    if style.label:
        _add_labels(root, style)
    return str(tostring(root, "unicode"))


def _head(style: LayerStyle) -> dict[str, str]:
    """Return what a style says of its layer as a whole."""
    told = {
        "version": "3.22.0",
        "styleCategories": "Symbology|Labeling|Rendering",
        "labelsEnabled": "1" if style.label else "0",
        "hasScaleBasedVisibilityFlag": "1" if style.from_scale else "0",
    }
    scales = {"minScale": str(style.from_scale), "maxScale": "0"} if style.from_scale else {}
    return {**told, **scales}


def _legend(word: str) -> str:
    """Return what a legend calls a kind of ground."""
    return xml_text(word.removeprefix("band: ") or "bare")


def _add_labels(root: Element, style: LayerStyle) -> None:
    """Write something beside every marker, in its colour on white."""
    (one,) = style.symbols.values()
    settings = SubElement(SubElement(root, "labeling", {"type": "simple"}), "settings")
    text = {
        "fieldName": style.label,
        "isExpression": "1",
        "fontSize": "9",
        "fontSizeUnit": "Point",
        "fontWeight": "75",
        "textColor": _rgba(one.colour),
    }
    written = SubElement(settings, "text-style", text)
    buffer = {"bufferDraw": "1", "bufferSize": "0.8", "bufferSizeUnits": "MM"}
    SubElement(written, "text-buffer", {**buffer, "bufferColor": _rgba("#ffffff")})
    beside = {"placement": "1", "quadOffset": "5", "offsetUnits": "MM"}
    SubElement(settings, "placement", {**beside, "xOffset": str(0.7 * one.size)})
    # Hidden by no other label: that a hazard is there must be read.
    SubElement(settings, "rendering", {"displayAll": "1"})


def _rgba(colour: str) -> str:
    """Return a colour as four numbers."""
    red, green, blue = (str(int(colour[i : i + 2], 16)) for i in (1, 3, 5))
    return f"{red},{green},{blue},255"


def _properties(kind: str, one: Symbol) -> dict[str, str]:
    """Return what a symbol is made of."""
    colour, size = _rgba(one.colour), f"{one.size:g}"
    if kind == "line":
        return {"line_color": colour, "line_width": size, "line_style": one.pattern}
    if kind == "fill":
        edge = colour if one.pattern == "no" else _EDGE
        drawn = {"color": colour, "style": one.pattern}
        return {**drawn, "outline_color": edge, "outline_width": size}
    white = {"outline_color": _rgba("#ffffff"), "outline_width": "0.2"}
    return {"name": one.shape, "color": colour, "size": size, **white}
