"""How the layers of a GeoPackage look when a GIS opens them, as style documents in XML."""

from collections.abc import Mapping
from xml.etree.ElementTree import Element, SubElement, tostring  # written, never parsed

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.handover.xmltext import xml_text

__all__ = ["LayerStyle", "style_of", "style_xml"]

LayerStyle = tuple[str, Mapping[str, str]]
"""Column whose words decide ("" for one look), and a colour as #rrggbb by word."""

_KINDS = ("marker", "line", "fill")
_CLASSES = {"marker": "SimpleMarker", "line": "SimpleLine", "fill": "SimpleFill"}

_PLAIN = {
    "hazards": "#d00000",
    "field": "#000000",
    "headland": "#bfbfbf",
    "headland_edges": "#606060",
    "rows": "#7a9a01",
    "trees": "#1b6e1b",
    "passes": "#303030",
    "rounds": "#303030",
    "features_points": "#1f4fa0",
    "features_lines": "#1f4fa0",
    "features_areas": "#1f4fa0",
}

OTHER = "#606060"
"""Colour of all other layers."""

_HAZARD_SIZE = "5"
_SIZE = "2"
_WIDTH = "0.3"


def style_of(layer: str, stands: Mapping[str, str]) -> LayerStyle:
    """Return the look of a layer; ground looks by what grows on it."""
    return ("stand", stands) if layer == "ground" else ("", {"": _PLAIN.get(layer, OTHER)})


def style_xml(style: LayerStyle, shapes: NDArray[np.object_], layer: str) -> str:
    """
    Return a style document.

    Parameters
    ----------
    style : (str, mapping)
        Of `style_of`.
    shapes : ndarray of shapely geometry
        The layer's; they decide between markers, lines and fills. Markers where there is none.
    layer : str
        Its name.

    Returns
    -------
    text : str
        XML.
    """
    column, colours = style
    kind = _KINDS[int(shapely.get_dimensions(shapes).max())] if len(shapes) else "marker"
    root = Element("qgis", {"version": "3.22.0", "styleCategories": "Symbology"})
    how = "categorizedSymbol" if column else "singleSymbol"
    renderer = SubElement(root, "renderer-v2", {"type": how, "attr": column})
    if column:
        categories = SubElement(renderer, "categories")
        for i, word in enumerate(colours):
            told = {"symbol": str(i), "value": xml_text(word), "label": xml_text(word or "bare")}
            SubElement(categories, "category", {**told, "render": "true"})
    symbols = SubElement(renderer, "symbols")
    for i, colour in enumerate(colours.values()):
        symbol = SubElement(symbols, "symbol", {"name": str(i), "type": kind, "alpha": "1"})
        drawn = SubElement(symbol, "layer", {"class": _CLASSES[kind]})
        for key, value in _properties(kind, colour, layer).items():
            SubElement(drawn, "prop", {"k": key, "v": value})
    return str(tostring(root, "unicode"))


def _properties(kind: str, colour: str, layer: str) -> dict[str, str]:
    """Return what a symbol is made of."""
    red, green, blue = (str(int(colour[i : i + 2], 16)) for i in (1, 3, 5))
    rgba = f"{red},{green},{blue},255"
    if kind == "line":
        return {"line_color": rgba, "line_width": _WIDTH}
    if kind == "fill":
        fill = "no" if layer == "field" else "solid"
        return {"color": rgba, "style": fill, "outline_color": "0,0,0,255", "outline_width": _WIDTH}
    hazard = layer == "hazards"
    shape = "triangle" if hazard else "circle"
    return {"name": shape, "color": rgba, "size": _HAZARD_SIZE if hazard else _SIZE}
