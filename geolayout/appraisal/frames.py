"""What the lines of a layout hang on: frame and epoch, the north of a bearing, and accuracy."""

from collections.abc import Iterator
from math import radians, sqrt, tan

import numpy as np
import shapely

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.fit.row_units import GUESS_LIMIT
from geolayout.appraisal.fit.rows import passes_adjoin
from geolayout.appraisal.places import COMPASS, listed
from geolayout.appraisal.quantities.territory import borders
from geolayout.appraisal.roles import Role, role_of
from geolayout.land.frames.drift import drift
from geolayout.land.frames.references import Reference
from geolayout.layout.build import Layout
from geolayout.plan.farm import Correction
from geolayout.plan.guide import Guide, Origin
from geolayout.plan.machines import Operation

__all__ = ["frame_cautions", "pass_to_pass"]

DRIFT_LIMIT = 0.05
"""Two frames nearer than this tell the same rows. [m]"""

YEARLY_DRIFT = 9 / 60
"""What declination changes by in a year: 9 minutes, as in Britain 2011 to 2017. [degrees]"""

CERTAIN = 1.96
"""Standard deviations that 95 of 100 lie within, of a normal spread. [-]"""

MOVING = "IGN, ETRS89 page; Penn State GEOG 862, ITRF2014, WGS84 and NAD83; measured with PROJ."
NORTHS = "A tale of three norths, onthehills.uk, 2017, quoting figures of OS maps; geometry."
SPREAD = "Carballido et al., Applied Engineering in Agriculture 30(3), 2014, abstract; geometry."


def pass_to_pass(row_sd: float) -> float:
    """
    Return what the distance between two passes stays within, 95 times of 100.

    Parameters
    ----------
    row_sd : float
        Standard deviation of one row from where it should be, across it. [m]

    Returns
    -------
    distance : float
        Nearer or farther than planned. [m]

    Notes
    -----
    Two passes that err by themselves differ by the root of twice the variance of one.

    Examples
    --------
    >>> round(pass_to_pass(0.014), 3), round(pass_to_pass(0.026), 3)
    (0.039, 0.072)
    """
    return sqrt(2.0) * CERTAIN * row_sd


def frame_cautions(layout: Layout) -> list[Caution]:
    """
    Say what may move all lines of a layout at once, or two passes against each other.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
    """
    farm = layout.plan.farm
    correction = farm.correction if farm is not None else None
    found = [] if correction is not None else [_not_asked()]
    for label, guide, place in _guides(layout):
        found += _line_frame(label, guide, correction, place)
        found += _bearing(label, guide, _longest(layout, label))
    if correction is not None and correction.row_sd is not None:
        found += [*_gaps(layout, correction.row_sd), *_guess_rows(layout, correction.row_sd)]
    return found


def _guides(layout: Layout) -> Iterator[tuple[str, Guide, tuple[float, float]]]:
    """Yield each block's name, its guide, and its anchor as longitude and latitude."""
    for block in filter(lambda one: one.leads, layout.blocks):
        lon, lat = layout.field.frame.lonlat(np.array([block.anchor]))[0].tolist()
        yield block.name, block.guide, (lon, lat)


def _longest(layout: Layout, label: str) -> float:
    """Return the length of a block's longest row, or of its longest way where it has none. [m]"""
    names = [block.name for block in layout.blocks]
    index = names.index(label)
    lengths = layout.rows.lines.length[layout.rows.block == index]
    if len(lengths):
        return float(lengths.max())
    block = layout.blocks[index]
    return float(np.ptp(block.guides.along(shapely.get_coordinates(block.land))))


def _not_asked() -> Caution:
    """Return the note of a farm that was not asked for its correction service."""
    return Caution(
        key="correction-not-asked",
        code="W17",
        severity=NOTE,
        sentence=(
            "Nobody said which frame and epoch the farm's correction service works in, so lines "
            "kept from other years are not compared with it."
        ),
        remedy="Ask the service once, and write it into the farm's file: [farm] correction.",
        source=MOVING,
    )


def _line_frame(
    label: str, guide: Guide, correction: Correction | None, place: tuple[float, float]
) -> list[Caution]:
    """Return the caution of a line from a file, held against the correction service."""
    origin = guide.origin
    if origin is None or origin.line is None:
        return []
    service = correction.reference if correction is not None else None
    stated = Reference(origin.frame, origin.epoch) if origin.frame is not None else None
    if origin.moved is not None:
        return [_carried(label, origin)]
    if stated is not None and service is not None:
        return _apart(label, origin, (stated, service), place)
    return [_half_said(label, origin, stated)] if stated or service else []


def _line(label: str, origin: Origin) -> str:
    """Return how a sentence names a line."""
    return f"The line in {origin.line}{f' of block {label}' if label else ''}"


def _carried(label: str, origin: Origin) -> Caution:
    """Return the note of a line that was carried over."""
    epoch = f" of epoch {origin.epoch:g}" if origin.epoch is not None else ""
    return Caution(
        key="line-carried-over",
        code="W17",
        severity=NOTE,
        sentence=(
            f"{_line(label, origin)} was carried over to {origin.frame}{epoch}, as asked: its "
            f"numbers changed by {origin.moved:.2f} m, its place on the ground did not."
        ),
        remedy="Hold it against one known point in the field before the first pass.",
        source=MOVING,
        value=origin.moved,
        unit="m",
    )


def _apart(
    label: str, origin: Origin, sides: tuple[Reference, Reference], place: tuple[float, float]
) -> list[Caution]:
    """Return the caution of a line whose frame is not that of the correction service."""
    stated, service = sides
    if stated == service:
        return []
    found = drift(place, stated, service)
    if found is not None and found.distance <= DRIFT_LIMIT:
        return []
    far = "how far apart the two lie is not known here"
    if found is not None:
        side = COMPASS[round(found.azimuth / 45.0 + 4) % 8]
        far = (
            f"its numbers would have to change by {found.distance:.2f} m towards "
            f"{found.azimuth:.0f} degrees from true north, and followed as they are the rows lie "
            f"that far to the {side}"
        )
    return [
        Caution(
            key="line-in-another-frame",
            code="W17",
            severity=WARNING,
            sentence=(
                f"{_line(label, origin)} is in {stated.words} and the correction service works in "
                f"{service.words}: {far}. It was not moved."
            ),
            remedy="Write move_line = true in the guide to carry it over, or drive it anew.",
            source=MOVING,
            value=found.distance if found is not None else None,
            threshold=DRIFT_LIMIT,
            unit="m",
        )
    ]


def _half_said(label: str, origin: Origin, stated: Reference | None) -> Caution:
    """Return the note of a line of which one side of the comparison is missing."""
    missing = "its file does not say in which frame and epoch its numbers are"
    if stated is not None:
        missing = f"it is in {stated.words}, and the correction service was not asked for its own"
    return Caution(
        key="line-frame-not-said",
        code="W17",
        severity=NOTE,
        sentence=f"{_line(label, origin)} was not moved, and could not be compared: {missing}.",
        remedy="Hold it against one known point in the field, and write down what is missing.",
        source=MOVING,
    )


def _bearing(label: str, guide: Guide, length: float) -> list[Caution]:
    """Return the caution of a bearing that was not taken from true north."""
    origin = guide.origin
    if origin is None or origin.bearing is None or guide.bearing is None:
        return []
    where = f"Block {label}: the" if label else "The"
    turned = (guide.bearing - origin.bearing + 180.0) % 360.0 - 180.0
    as_true = f"{where} bearing of {origin.bearing:g} degrees counts from {origin.north} north"
    if origin.north == "grid":
        return [_from_grid(f"{as_true} of {guide.grid or 'its map'}", guide, turned, length)]
    return [_from_magnetic(as_true, guide, origin, length)]


def _from_grid(told: str, guide: Guide, turned: float, length: float) -> Caution:
    """Return the note of a grid bearing."""
    off = _far_end(turned, length)
    return Caution(
        key="grid-bearing",
        code="W18",
        severity=NOTE,
        sentence=(
            f"{told}; from true north it is {guide.bearing:.4f}. Taken for the other, it would "
            f"move the far end of the longest row, {length:.0f} m, by {off:.2f} m."
        ),
        remedy="Hand a terminal the two points of reference_line.geojson and no bearing.",
        source=NORTHS,
        value=off,
        unit="m",
    )


def _from_magnetic(told: str, guide: Guide, origin: Origin, length: float) -> Caution:
    """Return the warning of a magnetic bearing, which is never good for long."""
    off = _far_end(YEARLY_DRIFT, length)
    return Caution(
        key="magnetic-bearing",
        code="W18",
        severity=WARNING,
        sentence=(
            f"{told}, turned to {guide.bearing:.2f} from true north with a declination of "
            f"{origin.declination:g} degrees of {origin.declination_year:g}. A year of drift, "
            f"{YEARLY_DRIFT * 60:.0f} minutes in Britain, moves the far end of the longest row, "
            f"{length:.0f} m, by {off:.2f} m; a compass is coarser still."
        ),
        remedy=(
            "Keep the line by its two points, reference_line.geojson, and never measure it by "
            "compass again."
        ),
        source=NORTHS,
        value=off,
        unit="m",
    )


def _far_end(degrees: float, length: float) -> float:
    """Return how far a turn moves the far end of a row. [m]"""
    return length * tan(radians(abs(degrees)))


def _gaps(layout: Layout, row_sd: float) -> list[Caution]:
    """Return the cautions of gaps between two stands that two passes may close by half."""
    apart = pass_to_pass(row_sd)
    return [
        Caution(
            key="guidance-too-coarse-for-gap",
            code="W20",
            severity=WARNING,
            sentence=(
                f"Two passes lie up to {apart:.3f} m nearer or farther than planned, 95 times of "
                f"100, by the {row_sd:.3f} m stated for one row. That is more than half the gap of "
                f"{border.gap_m:.3f} m between the outer rows of {border.stand} and {border.other}"
                f"{f' in block {border.block}' if border.block else ''}, "
                f"{'once' if border.count == 1 else f'{border.count} times'}."
            ),
            remedy="Widen the gap, or sow with a correction that is finer.",
            source=SPREAD,
            value=apart,
            threshold=border.gap_m / 2,
            unit="m",
            count=border.count,
        )
        for border in borders(layout)
        if apart > border.gap_m / 2
    ]


def _guess_rows(layout: Layout, row_sd: float) -> list[Caution]:
    """Return the caution of gaps between two passes of one operation that may not be as planned."""
    apart = pass_to_pass(row_sd)
    names = [
        operation.name
        for index, operation in enumerate(layout.plan.operations)
        if _sows_beside_itself(layout, index, operation)
    ]
    if apart <= GUESS_LIMIT or not names:
        return []
    return [
        Caution(
            key="guidance-too-coarse-for-guess-row",
            code="W20",
            severity=WARNING,
            sentence=(
                f"Between two passes of {listed(names)} the rows lie up to {apart:.3f} m nearer or "
                f"farther than inside one pass, 95 times of 100, by the {row_sd:.3f} m stated for "
                "one row."
            ),
            remedy="Hoe only rows that were sown in one pass, or sow with a finer correction.",
            source=SPREAD,
            value=apart,
            threshold=GUESS_LIMIT,
            unit="m",
        )
    ]


def _sows_beside_itself(layout: Layout, index: int, operation: Operation) -> bool:
    """Whether an operation sows, in passes that lie side by side."""
    return role_of(layout.plan, operation) is Role.SOWS and passes_adjoin(layout, index)
