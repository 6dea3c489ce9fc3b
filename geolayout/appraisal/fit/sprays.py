"""What a spray does to what is sown under it or stands beside it, by its label and its plan."""

import datetime as dt
from collections.abc import Iterator
from typing import Final

from geolayout.appraisal.calendar.season import LaidStand, laid_stands, times_of
from geolayout.appraisal.calendar.undersown import is_crop
from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.growing import band_label
from geolayout.appraisal.places import listed
from geolayout.appraisal.roles import Role, role_of
from geolayout.layout.build import Layout
from geolayout.plan.machines import Operation
from geolayout.plan.section.passes import worked_cuts
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.stand import Sowing

__all__ = ["spray_cautions"]

RESIDUAL_SOURCE: Final = (
    "Penn State Extension, Evaluation of residual herbicides for interseeding in corn, 2017; "
    "the product's label"
)
DRIFT_SOURCE: Final = (
    "SARE FNC94-082, Weed Management Methods for Strip Intercropping: broadcast sprays drifted "
    "onto the strip beside"
)


def spray_cautions(layout: Layout) -> list[Caution]:
    """
    Warn of sprays that harm what is sown under them, or may drift onto the strip beside.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
    """
    plan = layout.plan
    sprays = [one for one in plan.operations if role_of(plan, one) is Role.SPRAYS]
    found: list[Caution] = []
    for operation in plan.operations:
        if operation.harms:
            found.extend(_harmed(layout, operation))
    for operation in sprays:
        found.extend(_drift(layout, operation))
    return [*found, *_not_said(layout, sprays)]


def _under(layout: Layout, operation: Operation) -> list[LaidStand]:
    """Return the stands that an operation goes over."""
    names = {
        stand.name
        for block in layout.blocks
        for i in worked_cuts(layout.plan, operation, block.section, block.stands)
        if (stand := block.stands[i]) is not None
    }
    return [laid for laid in laid_stands(layout) if laid.stand.name in names]


def _harmed(layout: Layout, operation: Operation) -> Iterator[Caution]:
    """Return a warning for every sowing under a product that harms it and is not over by then."""
    for laid in _under(layout, operation):
        for sowing in laid.stand.sowing:
            if not any(is_crop(layout.plan, sowing.crop, crop) for crop in operation.harms):
                continue
            left = _days_left(layout, operation, laid, sowing)
            if left is not None and left <= 0:
                continue
            late = f" {left} days too early" if left is not None else ""
            yield Caution(
                key="spray-harms-crop",
                severity=WARNING,
                sentence=f"{operation.name[:1].upper()}{operation.name[1:]} harms {sowing.label}, "
                f"which grows in {listed(laid.where)}"
                + (f" and is sown{late} after it." if late else "."),
                remedy="Leave the product or the crop out, or sow later; its label decides.",
                source=RESIDUAL_SOURCE,
                code="W21",
                value=float(left) if left is not None else None,
                threshold=0.0 if left is not None else None,
                unit="days" if left is not None else "",
            )


def _days_left(layout: Layout, operation: Operation, laid: LaidStand, sowing: Sowing) -> int | None:
    """Return the days by which a crop is sown too early after a spray; None where not known."""
    times = times_of(layout)
    if times is None or operation.plant_back is None or sowing.place == "standing":
        return None
    sprayed = times.of_operation(operation).spans
    sown = times.sown(sowing, laid.stand).spans
    if not sprayed or not sown:
        return None
    last = max(span.last for span in sprayed)
    first = min(span.first for span in sown)
    if first <= last:
        return None
    free: dt.date = last + dt.timedelta(days=operation.plant_back)
    return (free - first).days


def _drift(layout: Layout, operation: Operation) -> Iterator[Caution]:
    """Return the warning of a spray whose strips lie beside others that it is not meant for."""
    beside = _beside(layout, operation)
    machine = layout.plan.machine(operation.machine)
    part = machine.working_width / (machine.sections or 1)
    unsaid = [
        words
        for words, value in (
            ("class of nozzle", operation.nozzle),
            ("limit of wind", operation.wind_limit),
        )
        if value is None
    ]
    narrow = [width for _, width in beside if width < part - ACROSS_SLACK]
    if not beside or not (unsaid or narrow):
        return
    why = [f"no {listed(unsaid)} is given"] if unsaid else []
    if narrow:
        why.append(f"a section of {part:.2f} m is wider than a strip of {min(narrow):.2f} m")
    bands = listed(list(dict.fromkeys(band for band, _ in beside)))
    yield Caution(
        key="spray-drift",
        severity=WARNING,
        sentence=f"{operation.name[:1].upper()}{operation.name[1:]} works {bands} with another "
        f"crop beside, and {' and '.join(why)}: spray drifts onto it.",
        remedy="Set nozzles and a limit of wind (`nozzle`, `wind_limit`), or spray under hoods.",
        source=DRIFT_SOURCE,
        code="W22",
        value=min(narrow) if narrow else None,
        threshold=part if narrow else None,
        unit="m" if narrow else "",
        count=len(beside),
    )


def _beside(layout: Layout, operation: Operation) -> list[tuple[str, float]]:
    """Return band and width of every strip it works that lies beside a stand it does not work."""
    found = []
    for b, block in enumerate(layout.blocks):
        if block.crossed_by:
            continue
        worked = set(worked_cuts(layout.plan, operation, block.section, block.stands))
        for i in sorted(worked):
            near = [j for j in (i - 1, i + 1) if 0 <= j < len(block.stands)]
            if any(block.stands[j] is not None and j not in worked for j in near):
                cut = block.section.cuts[i]
                found.append((band_label(layout, b, cut.band), cut.width))
    return found


def _not_said(layout: Layout, sprays: list[Operation]) -> list[Caution]:
    """Return the note of sprays over under-sown crops of which nobody said what they harm."""
    silent = [
        operation.name
        for operation in sprays
        if "harms" not in operation.model_fields_set
        and any(_has_under_sown(laid) for laid in _under(layout, operation))
    ]
    if not silent:
        return []
    return [
        Caution(
            key="spray-harms-not-given",
            severity=NOTE,
            sentence=f"Nobody said which crops {listed(silent)} harms, and it goes over "
            "under-sown ones.",
            remedy="Read the label, and write `harms`; harms = [] says that there are none.",
            source=RESIDUAL_SOURCE,
            code="W21",
            count=len(silent),
        )
    ]


def _has_under_sown(laid: LaidStand) -> bool:
    """Whether something in a stand is sown into something else."""
    return any(one.between or (one.when and one.when.crop) for one in laid.stand.sowing)
