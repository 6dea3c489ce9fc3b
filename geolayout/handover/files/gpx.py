"""
GPX 1.1 for a phone: waypoints for what stands at a place, tracks for what is walked along.

GPX has no areas: an outline is a closed track, the rings of one area are its segments.
"""

from collections.abc import Iterator, Sequence
from xml.etree.ElementTree import Element, SubElement  # written, never parsed

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.handover.files.shapelayers import DrawnLayer, frame_words
from geolayout.handover.files.xmltext import xml_bytes, xml_text
from geolayout.handover.matchcode import match_code
from geolayout.layout.build import Layout

__all__ = ["gpx_bytes"]

NAMESPACE = "http://www.topografix.com/GPX/1/1"

DECIMALS = 9
"""Of a degree."""

_SYMBOLS = {"HAZARD": "Danger Area", "TREE": "Forest", "FEATURE": "Flag, Blue"}
"""Symbols that many devices know; others show a pin (common practice, no source)."""


def gpx_bytes(layout: Layout, layers: Sequence[DrawnLayer]) -> bytes:
    """
    Return a layout as a GPX file.

    Parameters
    ----------
    layout : Layout
        A layout.
    layers : sequence of DrawnLayer
        Its shapes; hazards are waypoints named HAZARD.

    Returns
    -------
    content : bytes
        XML in UTF-8, without a time, so that equal layouts give equal bytes.
    """
    root = Element("gpx", {"version": "1.1", "creator": "geolayout", "xmlns": NAMESPACE})
    head = SubElement(root, "metadata")
    SubElement(head, "name").text = xml_text(layout.field.name)
    SubElement(head, "desc").text = f"Plan {match_code(layout)}. {frame_words()}"
    waypoints: list[Element] = []
    tracks: list[Element] = []
    for layer in layers:
        drawn = layer.lonlat(layout.field.frame)
        for name, told, shape in zip(layer.names, layer.told, drawn, strict=True):
            if shapely.get_dimensions(shape) == 0:
                waypoints.append(_waypoint(layer.name, name, told, shape))
            else:
                tracks.append(_track(layer.name, name, told, shape))
    root.extend([*waypoints, *tracks])
    return xml_bytes(root)


def _place(tag: str, xy: Sequence[float]) -> Element:
    """Return a point."""
    lon, lat = (f"{value:.{DECIMALS}f}" for value in xy)
    return Element(tag, {"lat": lat, "lon": lon})


def _waypoint(layer: str, name: str, told: str, point: BaseGeometry) -> Element:
    """Return something at a place."""
    made = _place("wpt", shapely.get_coordinates(point)[0].tolist())
    SubElement(made, "name").text = xml_text(name)
    SubElement(made, "desc").text = xml_text(told)
    SubElement(made, "sym").text = _SYMBOLS.get(layer, "Flag, Blue")
    SubElement(made, "type").text = layer
    return made


def _track(layer: str, name: str, told: str, shape: BaseGeometry) -> Element:
    """Return a line or an outline."""
    made = Element("trk")
    SubElement(made, "name").text = xml_text(name)
    SubElement(made, "desc").text = xml_text(told)
    SubElement(made, "type").text = layer
    for line in _lines(shape):
        segment = SubElement(made, "trkseg")
        segment.extend(_place("trkpt", xy) for xy in shapely.get_coordinates(line).tolist())
    return made


def _lines(shape: BaseGeometry) -> Iterator[BaseGeometry]:
    """Return what is walked along."""
    for part in shapely.get_parts(shape):
        if shapely.get_dimensions(part) == 2:
            yield from np.asarray(shapely.get_rings(part))
        else:
            yield part
