"""What is known of a boundary once it is read and made sound, gathered for the person who asks."""

from collections.abc import Iterable
from dataclasses import dataclass

import shapely
from shapely import MultiPolygon, Polygon

from geolayout.land.boundary.finding import Finding
from geolayout.land.boundary.inner import polygons_of
from geolayout.land.boundary.thin import corners_of
from geolayout.land.field import Field
from geolayout.land.frames.frame import geodesic_area, geodesic_length
from geolayout.land.readers import DrawnBoundary

__all__ = ["BoundaryReport", "boundary_report"]


@dataclass(frozen=True, slots=True)
class BoundaryReport:
    """
    One boundary: what was read, what was done to it, what is left to answer.

    Attributes
    ----------
    name : str
        What the user calls the field.
    source : str
        The file, and where in it: ``farm.zip, fields/home.shp``. "" if it came from no file.
    crs : str
        Coordinate system that was followed, with its code: ``ETRS89 / UTM zone 32N
        (EPSG:25832)``. "" if none was stated.
    area : float
        Area of record: geodesic, holes taken off. [m2]
    drawn_area : float
        Area before anything was done to the boundary; a line that crosses itself turns inside to
        outside there. [m2]
    plane_area : float or None
        Area as the file's own flat grid has it; None where it is not flat. [m2]
    perimeter : float
        Length of all rings, holes too. [m]
    vertices : int
        Corners of all rings, none counted twice.
    drawn_vertices : int
        Corners as drawn.
    parts : tuple of float
        Area of each part without its holes, the largest first. [m2]
    holes : tuple of float
        Area of each hole, the largest first. [m2]
    centre : (float, float)
        A place inside the field, longitude first. [degrees]
    bounds : (float, float, float, float)
        West, south, east, north. [degrees]
    findings : tuple of Finding
        What was found in the boundary, or done to it, in the order it was.
    """

    name: str
    source: str
    crs: str
    area: float
    drawn_area: float
    plane_area: float | None
    perimeter: float
    vertices: int
    drawn_vertices: int
    parts: tuple[float, ...]
    holes: tuple[float, ...]
    centre: tuple[float, float]
    bounds: tuple[float, float, float, float]
    findings: tuple[Finding, ...]

    @property
    def area_change(self) -> float:
        """Area gained, or lost if negative, by what was done. [m2]"""
        return self.area - self.drawn_area

    @property
    def questions(self) -> tuple[str, ...]:
        """What the person at the desk has to answer, each once, in the order they came up."""
        asked = (finding.question for finding in self.findings if finding.question)
        return tuple(dict.fromkeys(asked))

    @property
    def kinds(self) -> dict[str, int]:
        """How many findings there are of each kind."""
        kinds = [finding.kind for finding in self.findings]
        return {kind: kinds.count(kind) for kind in sorted(set(kinds))}


def boundary_report(field: Field, drawn: DrawnBoundary) -> BoundaryReport:
    """
    Gather what is known of a boundary.

    Parameters
    ----------
    field : Field
        Made of it by ``make_field``, with the findings of ``drawn``.
    drawn : DrawnBoundary
        The boundary as drawn.

    Returns
    -------
    report : BoundaryReport
    """
    parts = polygons_of(field.boundary)
    drawn_parts = MultiPolygon(polygons_of(drawn.geometry))
    lon, lat = shapely.get_coordinates(shapely.point_on_surface(field.boundary))[0]
    west, south, east, north = (float(value) for value in shapely.bounds(field.boundary))
    return BoundaryReport(
        name=field.name,
        source=drawn.source,
        crs=drawn.crs,
        area=field.area,
        drawn_area=field.area - sum(finding.area_change for finding in field.findings),
        plane_area=drawn.plane_area,
        perimeter=geodesic_length(field.boundary),
        vertices=corners_of(field.boundary),
        drawn_vertices=corners_of(drawn_parts),
        parts=_areas(Polygon(part.exterior) for part in parts),
        holes=_areas(Polygon(ring) for part in parts for ring in part.interiors),
        centre=(float(lon), float(lat)),
        bounds=(west, south, east, north),
        findings=field.findings,
    )


def _areas(polygons: Iterable[Polygon]) -> tuple[float, ...]:
    return tuple(sorted((geodesic_area(polygon) for polygon in polygons), reverse=True))
