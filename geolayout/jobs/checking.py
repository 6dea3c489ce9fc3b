"""Looking at fields before anything is planned: what is there, what was done, what is asked."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.caution import HAZARD, Caution, worst_first
from geolayout.appraisal.hazards.features import field_hazards
from geolayout.appraisal.hazards.rights import consent_words
from geolayout.errors import GeolayoutError, PlanError
from geolayout.handover.cautions import caution_dict
from geolayout.jobs.reading import drawn_field, read
from geolayout.land.boundary.finding import Finding
from geolayout.land.boundary.inner import Inner
from geolayout.land.boundary.report import BoundaryReport, boundary_report
from geolayout.land.features import Feature
from geolayout.land.field import Field, make_field
from geolayout.land.readers import DrawnBoundary, read_boundaries, read_boundary
from geolayout.plan.plan import Plan

__all__ = [
    "Checked",
    "Choice",
    "Refused",
    "check",
    "checked_dict",
    "findings_by_kind",
    "shared_findings",
]

PLAN = ".toml"
"""End of the name of a plan file."""

DEGREES = 6
"""Decimals of the place that a person looks up: 0.1 m. [-]"""


@dataclass(frozen=True, slots=True)
class Choice:
    """
    Which field of a file is meant, and how the file is to be read.

    Attributes
    ----------
    layer, field_id, attribute, crs, inner : optional
        As for ``read_boundary``.
    """

    layer: str | None = None
    field_id: str | None = None
    attribute: tuple[str, str] | None = None
    crs: str | None = None
    inner: Inner | None = None

    @property
    def one(self) -> bool:
        """Whether it asks for one field of several, or of several shapes that lie within one."""
        return any(said is not None for said in (self.field_id, self.attribute, self.inner))


@dataclass(frozen=True, slots=True, eq=False)
class Checked:
    """
    One field as it was found.

    Attributes
    ----------
    field : Field
        The field, sound, with the features of its plan.
    report : BoundaryReport
        What is known of its boundary.
    drawn : shapely geometry
        The boundary as drawn, in the field's frame. [m]
    plan : Plan or None
        Its plan, where a plan was checked.
    cautions : tuple of Caution
        What to know of the field before going out, worst first.
    """

    field: Field
    report: BoundaryReport
    drawn: BaseGeometry
    plan: Plan | None = None
    cautions: tuple[Caution, ...] = ()

    @property
    def geo_uri(self) -> str:
        """A place inside the field, as phones and maps open it (RFC 5870)."""
        lon, lat = (round(degrees, DEGREES) for degrees in self.report.centre)
        return f"geo:{lat:.{DEGREES}f},{lon:.{DEGREES}f}"

    @property
    def hazards(self) -> tuple[Caution, ...]:
        """The cautions that are hazards."""
        return tuple(caution for caution in self.cautions if caution.severity == HAZARD)

    @property
    def open(self) -> int:
        """How many questions and hazards nobody has answered. [-]"""
        return len(self.report.questions) + sum(caution.open for caution in self.cautions)

    def places(self, finding: Finding) -> NDArray[np.float64]:
        """Return the places of a finding in the field's frame, shape (n, 2). [m]"""
        if not finding.places:
            return np.empty((0, 2))
        return self.field.frame.metres(np.array(finding.places, dtype=float))


@dataclass(frozen=True, slots=True)
class Refused:
    """
    A field that cannot be made sound.

    Attributes
    ----------
    name : str
        What the file calls it.
    error : GeolayoutError
        Why.
    """

    name: str
    error: GeolayoutError


def check(path: Path, choice: Choice | None = None) -> list[Checked | Refused]:
    """
    Look at the fields of a boundary file, or at the field of a plan.

    Parameters
    ----------
    path : Path
        A boundary file, or a plan file (.toml).
    choice : Choice, optional
        Which field, and how to read the file. A plan says this itself.

    Returns
    -------
    fields : list of Checked or Refused
        In the order of the file; one where a field was chosen or there is no other.

    Raises
    ------
    GeolayoutError
        If the file or the plan cannot be read, or the one field cannot be made sound.
    """
    choice = choice or Choice()
    if path.suffix.lower() == PLAN:
        return [_with_hazards(_of_plan(path, choice))]
    if choice.one:
        return [_with_hazards(_looked_at(_chosen(path, choice)))]
    drawn = read_boundaries(path, layer=choice.layer, crs=choice.crs)
    if len(drawn) == 1:
        return [_with_hazards(_looked_at(drawn[0]))]
    return [_looked_at_or_refused(one) for one in drawn]


def _chosen(path: Path, choice: Choice) -> DrawnBoundary:
    """Read the one field that is meant."""
    return read_boundary(
        path,
        layer=choice.layer,
        field_id=choice.field_id,
        attribute=choice.attribute,
        crs=choice.crs,
        inner=choice.inner,
    )


def _looked_at(drawn: DrawnBoundary) -> Checked:
    """Make a field of a drawn boundary, and say all that is known of it."""
    field = make_field(drawn.geometry, name=drawn.name, findings=drawn.findings)
    return Checked(field, boundary_report(field, drawn), field.frame.to_local(drawn.geometry))


def _with_hazards(checked: Checked) -> Checked:
    """Say what to look for on the field; of many fields in a file it would not be read."""
    plan = checked.plan
    given = (plan.acknowledged, plan.consents) if plan is not None else ()
    return replace(checked, cautions=worst_first(field_hazards(checked.field, *given)))


def _looked_at_or_refused(drawn: DrawnBoundary) -> Checked | Refused:
    """Make a field, or keep why it is none, so that one does not hide the others."""
    try:
        return _looked_at(drawn)
    except GeolayoutError as error:
        return Refused(drawn.name, error)


def _of_plan(path: Path, choice: Choice) -> Checked:
    """Look at the field of a plan, with its features."""
    if choice != Choice():
        raise PlanError(
            f"{path.name} is a plan, and a field is chosen beside it.",
            "A plan names its own field.",
            "Write layer, id, attribute or crs into its [field], or check the boundary file.",
        )
    job = read(path)
    field = job.land
    drawn = drawn_field(job.plan, path.parent)
    report = boundary_report(field, drawn)
    return Checked(field, report, field.frame.to_local(drawn.geometry), job.plan)


def findings_by_kind(fields: Sequence[Checked | Refused]) -> dict[str, int]:
    """Count the findings of several fields by kind, the most frequent first, and not the file's."""
    shared = shared_findings(fields)
    counted = Counter(
        finding.kind
        for one in fields
        if isinstance(one, Checked)
        for finding in one.report.findings
        if finding not in shared
    )
    return dict(counted.most_common())


def shared_findings(fields: Sequence[Checked | Refused]) -> tuple[Finding, ...]:
    """Return what was found in the file and not in one field: every field of several has it."""
    sound = [one.report.findings for one in fields if isinstance(one, Checked)]
    if len(sound) < 2:
        return ()
    return tuple(found for found in sound[0] if all(found in others for others in sound[1:]))


def checked_dict(path: Path, fields: Sequence[Checked | Refused]) -> dict[str, Any]:
    """
    Return fields as plain mappings, fit for JSON, every figure with its unit in its key.

    Parameters
    ----------
    path : Path
        The file that was looked at.
    fields : sequence of Checked or Refused
        What was found in it.
    """
    return {
        "file": str(path),
        "fields": [_field_dict(one) for one in fields if isinstance(one, Checked)],
        "not_read": [
            {"name": one.name, "error": str(one.error)}
            for one in fields
            if isinstance(one, Refused)
        ],
        "findings_of_file": [asdict(finding) for finding in shared_findings(fields)],
        "findings_by_kind": findings_by_kind(fields),
    }


def _field_dict(checked: Checked) -> dict[str, Any]:
    """Return one field as plain mappings."""
    report = checked.report
    return {
        "name": report.name,
        "source": report.source,
        "coordinate_system": report.crs,
        "area_m2": report.area,
        "area_drawn_m2": report.drawn_area,
        "area_change_m2": report.area_change,
        "area_in_its_own_grid_m2": report.plane_area,
        "area_in_frame_m2": float(checked.field.land.area),
        "perimeter_m": report.perimeter,
        "vertices": report.vertices,
        "vertices_drawn": report.drawn_vertices,
        "parts_m2": list(report.parts),
        "holes_m2": list(report.holes),
        "inside_lon_lat": np.round(report.centre, 9).tolist(),
        "geo_uri": checked.geo_uri,
        "bounds_lon_lat": np.round(report.bounds, 9).tolist(),
        "findings": [
            _finding_dict(number, finding) for number, finding in enumerate(report.findings, 1)
        ],
        "questions": list(report.questions),
        "features": [_feature_dict(feature) for feature in checked.field.features],
        "consents": list(consent_words(checked.plan)) if checked.plan is not None else [],
        "cautions": [caution_dict(caution, checked.field.frame) for caution in checked.cautions],
    }


def _finding_dict(number: int, finding: Finding) -> dict[str, Any]:
    """Return a finding by the number that the drawing shows it with."""
    return {
        "number": number,
        "kind": finding.kind,
        "sentence": finding.sentence,
        "area_change_m2": finding.area_change,
        "places_lon_lat": [np.round(place, 9).tolist() for place in finding.places],
        "question": finding.question,
    }


def _feature_dict(feature: Feature) -> dict[str, Any]:
    """Return what stands in the field, and the distances that the plan keeps from it."""
    return {
        "kind": feature.kind,
        "name": feature.name,
        "measured_from": feature.measured_from,
        "half_width_m": feature.half_width,
        "keep_clear_m": asdict(feature.keep_clear),
    }
