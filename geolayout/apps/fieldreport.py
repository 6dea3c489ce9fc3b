"""What `check` says of a field, or of many in one file, as parts to show."""

from collections.abc import Sequence
from itertools import zip_longest
from math import isclose
from pathlib import PurePath

import numpy as np

from geolayout.appraisal.hazards.rights import consent_words
from geolayout.appraisal.places import listed, place_of, place_words
from geolayout.apps.report import hazard_lines, other_lines
from geolayout.apps.show import Part, drawing, terminal_width
from geolayout.handover.pictures.letters import HAZARD_LETTERS
from geolayout.handover.pictures.sketch import field_drawing, plain_dots
from geolayout.jobs.checking import Checked, Refused, findings_by_kind, shared_findings
from geolayout.land.boundary.report import BoundaryReport
from geolayout.land.features import Feature
from geolayout.plan.units import METRIC, Units

__all__ = ["field_parts", "fields_parts", "finding_mark"]

HOW_TO_ANSWER = "What was done is told below. If it is wrong, mend the file and check it again."
"""What a person does about a question that a boundary asks."""

HOW_TO_SEE = "Check one alone, with --id, to see what was done about it."
"""The same where many fields are told at once."""

MOST_MARKS = 9
"""Findings that the drawing shows by a number of one figure. [-]"""

FORMATS = {
    ".csv": "corners in a table",
    ".dxf": "DXF",
    ".fgb": "FlatGeobuf",
    ".geojson": "GeoJSON",
    ".geojsonl": "GeoJSON sequence",
    ".geojsons": "GeoJSON sequence",
    ".geoparquet": "GeoParquet",
    ".gml": "GML",
    ".gpkg": "GeoPackage",
    ".gpx": "GPX",
    ".json": "GeoJSON",
    ".kml": "KML",
    ".jsonl": "GeoJSON sequence",
    ".ndjson": "GeoJSON sequence",
    ".parquet": "GeoParquet",
    ".shp": "shapefile",
    ".tsv": "corners in a table",
    ".txt": "corners in a table",
    ".xml": "ISO 11783-10",
}
"""What people call a kind of file, by the end of its name."""

SMALL, LARGE = (40, 15), (60, 22)
"""Letters of the drawing, across and down, on a usual terminal and on a roomy one. [-]"""

ROOMY = 100
"""Letters to a line from which a terminal is roomy. [columns]"""

MOST_PIECES = 4
"""Parts or holes whose areas are told one by one. [-]"""

SMALL_PATCH = 500.0
"""Under this an area is told in the unit of patches. [m2]"""

SAME_AREA = 5e-6
"""Shares under this are the same area to every figure that is shown. [-]"""

WORTH_A_WORD = 5e-5
"""A grid that is off by less than this share needs no explanation (our own choice). [-]"""

NO_AREA_GRID = 0.01
"""A grid that is off by more than this share is not made for areas (our own choice). [-]"""


def field_parts(checked: Checked, units: Units = METRIC) -> list[Part]:
    """
    Return one field as parts to show.

    Parameters
    ----------
    checked : Checked
        The field as it was found.
    units : Units
        Units of the figures; sentences of findings and hazards stay in metres.
    """
    report = checked.report
    return [
        Part(
            "HAZARDS: look before going out",
            tuple(_hazards(checked)),
            style="red",
        ),
        Part("What needs an answer", tuple(_questions(report)), style="yellow"),
        Part(report.name, tuple(_field_lines(checked, units))),
        Part("As it lies", drawing=_drawing(checked, units)),
        Part("What was found, and what was done", tuple(_findings(report))),
        Part("Area by other ways", tuple(_other_areas(checked, units))),
        Part("What stands in it or beside it", tuple(_features(checked))),
        Part("Consents", consent_words(checked.plan) if checked.plan is not None else ()),
        Part("Warnings and notes", tuple(other_lines(checked.cautions))),
    ]


def finding_mark(number: int) -> str:
    """
    Return the letter that marks a finding on the drawing.

    Examples
    --------
    >>> finding_mark(1), finding_mark(10)
    ('1', '*')
    """
    return str(number) if number <= MOST_MARKS else "*"


def _hazards(checked: Checked) -> list[str]:
    """Say the worst hazards by the letters that the drawing shows them with."""
    letters = [f"{letter}: " for letter in HAZARD_LETTERS]
    told = hazard_lines(checked.cautions, "--json tells all of them")
    return [letter + line for letter, line in zip_longest(letters[: len(told)], told, fillvalue="")]


def _field_lines(checked: Checked, units: Units) -> list[str]:
    """Say where the boundary was read, how large it is and where a person finds it."""
    report = checked.report
    lon, lat = report.centre
    lines = [f"Read from {report.source}{_format(report.source)}."] if report.source else []
    lines += [f"Coordinate system: {report.crs}."] if report.crs else []
    too = ", holes too" if report.holes else ""
    lines += [
        f"Area {units.ground.said(report.area)}, measured on the ellipsoid, holes taken off.",
        f"Perimeter {units.length.said(report.perimeter)}{too}; {_corners(report)}.",
    ]
    place = f"A place inside it: latitude {lat:.6f}, longitude {lon:.6f}; {checked.geo_uri}"
    return [*lines, *_pieces(report, units), place]


def _format(source: str) -> str:
    """Return which kind of file it is, where its name tells."""
    word = FORMATS.get(PurePath(source).suffix.lower())
    return f" ({word})" if word else ""


def _corners(report: BoundaryReport) -> str:
    """Say how many corners it has, and had."""
    drawn = report.drawn_vertices
    return f"{report.vertices} corners" + (f" of {drawn} drawn" if drawn != report.vertices else "")


def _pieces(report: BoundaryReport, units: Units) -> list[str]:
    """Say how many parts and holes there are, and how large."""
    lines = []
    with_holes = ", their holes included" if report.holes else ""
    if len(report.parts) > 1:
        lines.append(f"{len(report.parts)} parts{with_holes}: {_areas(report.parts, units)}.")
    if report.holes:
        holes = "1 hole" if len(report.holes) == 1 else f"{len(report.holes)} holes"
        lines.append(f"{holes}: {_areas(report.holes, units)}.")
    return lines


def _areas(areas: Sequence[float], units: Units) -> str:
    """Return the largest areas, and how many more there are."""
    shown = [_area(area, units) for area in areas[:MOST_PIECES]]
    if len(areas) <= MOST_PIECES:
        return " and ".join(shown) if len(shown) < 3 else f"{', '.join(shown[:-1])} and {shown[-1]}"
    rest = len(areas) - MOST_PIECES
    return f"{', '.join(shown)} and {rest} more, {_area(sum(areas), units)} together"


def _area(area: float, units: Units) -> str:
    """Return an area in the unit of fields, or of patches where it is small."""
    return (units.ground if area >= SMALL_PATCH else units.patch).said(area)


def _drawing(checked: Checked, units: Units) -> tuple[str, ...]:
    """Return the outline with the letters of hazards and the numbers of findings."""
    hazards = zip(HAZARD_LETTERS, checked.hazards, strict=False)
    marks = {letter: np.array(one.place) for letter, one in hazards if one.place is not None}
    marks |= {
        finding_mark(number): checked.places(finding)
        for number, finding in enumerate(checked.report.findings, 1)
    }
    shapes = [feature.geometry for feature in checked.field.features]
    columns, lines = LARGE if terminal_width() >= ROOMY else SMALL
    drawn = field_drawing(
        checked.field.land, marks, shapes, columns=columns, lines=lines, units=units.length
    )
    return tuple(drawing(drawn, plain_dots).split("\n"))


def _findings(report: BoundaryReport) -> list[str]:
    """Say what was found by number, and what all of it did to the area."""
    if not report.findings:
        return ["Nothing was found in the boundary, and nothing was done to it."]
    lines = [f"{i}: {found.sentence}" for i, found in enumerate(report.findings, 1)]
    change = report.area_change
    if abs(change) >= 0.005:
        did = "gained" if change > 0 else "lost"
        lines.append(f"In all {abs(change):,.2f} m2 were {did} against the area as drawn.")
    return lines


def _questions(report: BoundaryReport) -> list[str]:
    """Return what is asked, by the numbers of the findings that ask it."""
    asked = [f"{i}: {one.question}" for i, one in enumerate(report.findings, 1) if one.question]
    return [*asked, HOW_TO_ANSWER] if asked else []


def _other_areas(checked: Checked, units: Units) -> list[str]:
    """Say the area in flat grids, and why it is another."""
    report = checked.report
    frame = float(checked.field.land.area)
    lines = [
        f"In the flat frame of the field, where rows are laid: {_compared(frame, report, units)}."
    ]
    if report.plane_area is None:
        return lines
    words = _compared(report.plane_area, report, units)
    lines.append(f"In the flat grid of its file: {words}.")
    if not isclose(report.plane_area, report.area, rel_tol=NO_AREA_GRID):
        lines.append("That grid is not made for areas: take none from it, and no length either.")
    elif not isclose(report.plane_area, report.area, rel_tol=WORTH_A_WORD):
        lines.append("A national grid stretches or shrinks land a little, by up to some 0.2 %.")
    return lines


def _compared(area: float, report: BoundaryReport, units: Units) -> str:
    """Return an area, and how far it is off the area of record."""
    share = area / report.area - 1
    if abs(share) < SAME_AREA:
        return f"{units.ground.said(area)}, the same"
    if abs(share) > 0.5:
        return f"{units.ground.said(area)}, {area / report.area:.2f} times as much"
    return f"{units.ground.said(area)}, {abs(share):.3%} {'more' if share > 0 else 'less'}"


def _features(checked: Checked) -> list[str]:
    """Say what the plan gives as features, where, and what is kept from them."""
    return [
        f"{_name(feature)}, {place_words(checked.field, place_of(feature.geometry, land))}; "
        f"{_kept(feature)}."
        for land in [checked.field.land]
        for feature in checked.field.features
    ]


def _name(feature: Feature) -> str:
    """Return what a feature is, and what people call it."""
    own = f" ({feature.name})" if feature.name and feature.name != feature.kind else ""
    return f"{feature.kind.capitalize()}{own}"


def _kept(feature: Feature) -> str:
    """Return the distances that the plan keeps from a feature."""
    kept = feature.keep_clear
    parts = [f"{kept.all:g} m for everything"] if kept.all else []
    parts += [f"{kept.trees:g} m for trees"] if kept.trees else []
    parts += [f"{kept.turning:g} m for turning"] if kept.turning else []
    if not parts:
        return "no distance is kept from it"
    return f"kept from its {feature.measured_from}: {listed(parts)}"


def fields_parts(fields: Sequence[Checked | Refused], units: Units = METRIC) -> list[Part]:
    """
    Return many fields of one file as parts to show: one line each, then findings by kind.

    Parameters
    ----------
    fields : sequence of Checked or Refused
        In the order of the file.
    units : Units
        Units of the figures.
    """
    sound = [one for one in fields if isinstance(one, Checked)]
    shared = len(shared_findings(fields))
    head = ("field", units.ground.word, "corners", "parts", "holes", "found", "asked")
    refused = tuple(f"{one.name}: {one.error}" for one in fields if isinstance(one, Refused))
    counted = tuple((kind, str(count)) for kind, count in findings_by_kind(fields).items())
    return [
        Part("Fields", (), head, tuple(_field_row(one, units, shared) for one in fields)),
        Part("Not to be read as a field", refused, style="red"),
        Part("What needs an answer", tuple(_asked(sound)), style="yellow"),
        Part("Found in the file", tuple(one.sentence for one in shared_findings(fields))),
        Part("Found in the fields, by kind", (), ("kind", "times"), counted),
        Part("In all", (_total(sound, len(refused), units),)),
    ]


def _field_row(one: Checked | Refused, units: Units, shared: int) -> tuple[str, ...]:
    """Return one field as a line of the table."""
    if isinstance(one, Refused):
        return (f"{one.name} (not read)", "", "", "", "", "", "")
    report = one.report
    return (
        report.name,
        units.ground.figure(report.area),
        str(report.vertices),
        str(len(report.parts)),
        str(len(report.holes)),
        str(len(report.findings) - shared),
        str(len(report.questions)),
    )


def _asked(fields: Sequence[Checked]) -> list[str]:
    """Return the questions, each once, with the fields that ask it."""
    asked: dict[str, list[str]] = {}
    for one in fields:
        for question in one.report.questions:
            asked.setdefault(question, []).append(one.report.name)
    told = [f"{listed(names)}: {question}" for question, names in asked.items()]
    return [*told, HOW_TO_SEE] if told else []


def _total(fields: Sequence[Checked], refused: int, units: Units) -> str:
    """Say how many fields there are and how large they are together."""
    count = "1 field" if len(fields) == 1 else f"{len(fields)} fields"
    more = f", and {refused} that cannot be read" if refused else ""
    return f"{count}, {units.ground.said(sum(one.report.area for one in fields))}{more}."
