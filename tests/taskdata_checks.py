"""What no schema of task data sees: closed rings, places in the field, zones that are there."""

from importlib.resources import files
from pathlib import Path

import numpy as np
import pyproj
import xmlschema
from lxml import etree

SCHEMA = files("isoxml_writer") / "ISOXML_schema" / "ISO11783_TaskFile_V4-3.xsd"
GEOD = pyproj.Geod(ellps="WGS84")

# How many points of which type a pattern has: A-B two, A+ one, a curve at least two.
POINTS = {"1": ["6", "7"], "2": ["6"]}


def schema_faults(path):
    """Return what the schema of version 4.3 finds, and references to nothing."""
    schema = etree.XMLSchema(etree.parse(str(SCHEMA)))
    schema.validate(etree.parse(str(path)))
    faults = [str(error) for error in schema.error_log]
    return faults + [str(e.reason) for e in xmlschema.XMLSchema(str(SCHEMA)).iter_errors(str(path))]


def lonlat(line):
    return np.array([(float(p.get("D")), float(p.get("C"))) for p in line.iter("PNT")])


def area_of(polygon):
    """Geodesic area of an outline less its holes. [m2]"""
    total = 0.0
    for line in polygon.iter("LSG"):
        area = abs(GEOD.polygon_area_perimeter(*lonlat(line).T)[0])
        total += area if line.get("A") == "1" else -area
    return total


def own_faults(folder, *, near):
    """Return what is wrong with the task data of a folder; `near` is (west, south, east, north)."""
    root = etree.parse(str(Path(folder) / "TASKDATA.XML")).getroot()
    found = [*_ring_faults(root), *_place_faults(root, near), *_area_faults(root)]
    found += [*_pattern_faults(root), *_task_faults(root, folder)]
    numbers = [one.get("A") for one in root.iter() if (one.get("A") or "").startswith(one.tag)]
    found += [f"id twice: {number}" for number in numbers if numbers.count(number) > 1]
    return found


def _ring_faults(root):
    for line in root.iter("LSG"):
        if line.get("A") in "12":
            xy = lonlat(line)
            if len(xy) < 4 or not (xy[0] == xy[-1]).all():
                yield "a ring is not closed"
    for polygon in root.iter("PLN"):
        if [line.get("A") for line in polygon.iter("LSG")].count("1") != 1:
            yield "an area has not one outer ring"


def _place_faults(root, near):
    west, south, east, north = near
    for point in root.iter("PNT"):
        lat, lon = float(point.get("C")), float(point.get("D"))
        if not (south - 0.02 < lat < north + 0.02 and west - 0.02 < lon < east + 0.02):
            yield f"a point is far from the field: {lat} {lon}"


def _area_faults(root):
    for field in root.iter("PFD"):
        drawn = sum(area_of(one) for one in field.iter("PLN") if one.get("A") == "1")
        if abs(drawn - int(field.get("D"))) > 1.0 + 1e-6 * drawn:
            yield f"the field states {field.get('D')} m2 and draws {drawn:.1f} m2"
    for polygon in root.iter("PLN"):
        if polygon.get("C") and abs(area_of(polygon) - int(polygon.get("C"))) > 1.0:
            yield f"an area states {polygon.get('C')} m2 and draws {area_of(polygon):.1f} m2"


def _pattern_faults(root):
    for pattern in root.iter("GPN"):
        kinds = [point.get("A") for point in pattern.iter("PNT")]
        curve = ["6", *["9"] * (len(kinds) - 2), "7"]
        if kinds != POINTS.get(pattern.get("C"), curve):
            yield f"pattern {pattern.get('B')} of type {pattern.get('C')} has points {kinds}"
        if (pattern.get("G") is not None) != (pattern.get("C") == "2"):
            yield f"pattern {pattern.get('B')} has no heading where it needs one"


def _task_faults(root, folder):
    for task in root.iter("TSK"):
        codes = {zone.get("A"): zone for zone in task.iter("TZN")}
        for key in "HIJ":
            if (task.get(key) is not None) != bool(codes) or task.get(key, "0") not in {
                "0",
                *codes,
            }:
                yield f"task {task.get('B')}: {key} names zone {task.get(key)}"
        drawn = [zone for zone in codes.values() if zone.find("PLN") is not None]
        grid = task.find("GRD")
        if codes and bool(drawn) == (grid is not None):
            yield f"task {task.get('B')} has not either zones or a grid"
        if grid is not None:
            length = (Path(folder) / f"{grid.get('G')}.bin").stat().st_size
            cells = int(grid.get("E")) * int(grid.get("F"))
            values = len(codes[grid.get("J")].findall("PDV")) * 4 if grid.get("I") == "2" else 1
            if not length == int(grid.get("H")) == cells * values:
                yield f"grid of task {task.get('B')} has {length} bytes for {cells} cells"
