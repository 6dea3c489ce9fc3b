"""KML 2.2 for a phone or a globe, and KMZ, the same zipped: a folder for each layer."""

import io
import zipfile
from collections.abc import Sequence
from xml.etree.ElementTree import Element, SubElement  # written, never parsed

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.handover.files.shapelayers import DrawnLayer, frame_words
from geolayout.handover.files.xmltext import xml_bytes, xml_text
from geolayout.handover.matchcode import match_code
from geolayout.layout.build import Layout

__all__ = ["kml_bytes", "kmz_bytes"]

NAMESPACE = "http://www.opengis.net/kml/2.2"

INNER = "doc.kml"
"""Name of the file in a KMZ."""

FIXED_DATE = (1980, 1, 1, 0, 0, 0)
"""Date of what is zipped: a file tells of the layout, not of the day it was written."""

DECIMALS = 9
"""Of a degree."""

TITLES = {
    "HAZARD": "Hazards",
    "BOUNDARY": "Field",
    "FEATURE": "Features",
    "KEEP_CLEAR": "Keep clear",
    "HEADLAND": "Headland",
    "BAND": "Bands",
    "PASS": "Passes",
    "TREE": "Trees",
}
"""What the folders are called."""

# Line and fill: opacity, blue, green, red. Bands stand lightly on the picture of the ground.
_STYLES = {
    "HAZARD": ("ff0000ff", "400000ff"),
    "BOUNDARY": ("ff00ffff", "00000000"),
    "FEATURE": ("ffff8000", "60ff8000"),
    "KEEP_CLEAR": ("ff0080ff", "400080ff"),
    "HEADLAND": ("ffffffff", "30ffffff"),
    "BAND": ("ffffffff", "3000ff00"),
    "PASS": ("ff000000", "00000000"),
    "TREE": ("ff008000", "40008000"),
}


def kml_bytes(layout: Layout, layers: Sequence[DrawnLayer]) -> bytes:
    """
    Return a layout as a KML file.

    Parameters
    ----------
    layout : Layout
        A layout.
    layers : sequence of DrawnLayer
        Its shapes; hazards are placemarks named HAZARD.

    Returns
    -------
    content : bytes
        XML in UTF-8, the same from the same layout.
    """
    root = Element("kml", {"xmlns": NAMESPACE})
    document = SubElement(root, "Document")
    SubElement(document, "name").text = xml_text(layout.field.name)
    SubElement(document, "description").text = f"Plan {match_code(layout)}. {frame_words()}"
    filled = [layer for layer in layers if len(layer.shapes)]
    document.extend(_style(layer.name) for layer in filled)
    document.extend(_folder(layer, layer.lonlat(layout.field.frame)) for layer in filled)
    return xml_bytes(root)


def kmz_bytes(kml: bytes) -> bytes:
    """Return a KML file zipped, as ``doc.kml`` at the top."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(zipfile.ZipInfo(INNER, FIXED_DATE), kml, zipfile.ZIP_DEFLATED)
    return held.getvalue()


def _style(layer: str) -> Element:
    """Return how a layer looks."""
    line, fill = _STYLES[layer]
    made = Element("Style", {"id": layer})
    drawn = SubElement(made, "LineStyle")
    SubElement(drawn, "color").text = line
    SubElement(drawn, "width").text = "2" if layer != "PASS" else "1"
    SubElement(SubElement(made, "PolyStyle"), "color").text = fill
    return made


def _folder(layer: DrawnLayer, drawn: NDArray[np.object_]) -> Element:
    """Return a layer; passes and trees are there to be switched on."""
    made = Element("Folder")
    SubElement(made, "name").text = TITLES[layer.name]
    shown = "0" if layer.name in ("PASS", "TREE") else "1"
    SubElement(made, "visibility").text = shown
    for name, told, shape in zip(layer.names, layer.told, drawn, strict=True):
        mark = SubElement(made, "Placemark")
        SubElement(mark, "name").text = xml_text(name)
        SubElement(mark, "visibility").text = shown
        SubElement(mark, "description").text = xml_text(told)
        SubElement(mark, "styleUrl").text = f"#{layer.name}"
        mark.append(_geometry(shape))
    return made


def _geometry(shape: BaseGeometry) -> Element:
    """Return a shape."""
    parts = shapely.get_parts(shape)
    if len(parts) > 1:
        several = Element("MultiGeometry")
        several.extend(_geometry(part) for part in parts)
        return several
    (part,) = parts
    kind = shapely.get_dimensions(part)
    if kind == 2:
        return _polygon(part)
    made = Element("Point" if kind == 0 else "LineString")
    if kind == 1:
        SubElement(made, "tessellate").text = "1"
    SubElement(made, "coordinates").text = _coordinates(part)
    return made


def _polygon(area: shapely.Polygon) -> Element:
    """Return an area with its holes."""
    made = Element("Polygon")
    SubElement(made, "tessellate").text = "1"
    for tag, rings in (("outerBoundaryIs", [area.exterior]), ("innerBoundaryIs", area.interiors)):
        for ring in rings:
            inner = SubElement(SubElement(made, tag), "LinearRing")
            SubElement(inner, "coordinates").text = _coordinates(ring)
    return made


def _coordinates(shape: BaseGeometry) -> str:
    """Return places, longitude first, blanks between them."""
    places = shapely.get_coordinates(shape).tolist()
    return " ".join(f"{lon:.{DECIMALS}f},{lat:.{DECIMALS}f}" for lon, lat in places)
