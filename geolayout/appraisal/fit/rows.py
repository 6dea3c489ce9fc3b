"""Do the rows fit: in their bands, under the machines that sow and gather them, beside wheels."""

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.caution import WARNING, Caution
from geolayout.appraisal.fit.row_units import (
    COULTER_LIMIT,
    GUESS_LIMIT,
    gathers,
    guess_gap,
    off_coulters,
    rows_of_header,
    stands_already,
    straddles,
    straddling_tracks,
)
from geolayout.appraisal.fit.wheelings import pass_centres
from geolayout.appraisal.growing import band_label, nominal_rows, nominal_width, sown
from geolayout.appraisal.places import listed, strips_of
from geolayout.appraisal.roles import Role, own_sowings, role_of
from geolayout.layout.build import Layout
from geolayout.plan.machines import Header, Machine, Operation
from geolayout.plan.section.section import REST
from geolayout.plan.section.tracks import tracks_beside
from geolayout.plan.slack import EDGE_SLACK
from geolayout.plan.stand import Sowing

__all__ = ["passes_adjoin", "row_fit_cautions"]

SPACING_SHARE = 0.01
"""Of a row spacing: rows that miss their band by less fill it. [-]"""

GUESS = "SARE FNC94-082, Weed Management Methods for Strip Intercropping; geometry."
GEOMETRY = "Plain geometry."


def row_fit_cautions(layout: Layout) -> list[Caution]:
    """
    Hold rows against bands, machines and wheels.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
    """
    found = _half_gaps(layout)
    for i, operation in enumerate(layout.plan.operations):
        machine = layout.plan.machine(operation.machine)
        role = role_of(layout.plan, operation)
        if role is Role.SOWS:
            found += _guess_row(layout, i, operation, machine)
            found += _coulters(layout, operation, machine)
        elif role is Role.HARVESTS:
            found += _header_rows(layout, operation, machine)
        found += _wheels(layout, i, operation, machine)
    return found


def _half_gaps(layout: Layout) -> list[Caution]:
    """Return the cautions of rows that do not fill their band as written."""
    found: dict[tuple[str, str, str], Caution] = {}
    for entry in sown(layout):
        block, sowing = layout.blocks[entry.block], entry.sowing
        cut = block.section.cuts[entry.cut]
        rest = cut.index == REST or block.pattern.bands[cut.index].width == "rest"
        if sowing.spacing is None or sowing.between is not None or rest:
            continue
        band = band_label(layout, entry.block, cut.band)
        key = (band, entry.stand.name, sowing.label)
        width = nominal_width(block, cut)
        rows = nominal_rows(block, cut, entry.stand, entry.index)
        if key not in found and abs(rows * sowing.spacing - width) > SPACING_SHARE * sowing.spacing:
            found[key] = _half_gap(band, sowing, rows, width)
    return list(found.values())


def _half_gap(band: str, sowing: Sowing, rows: int, width: float) -> Caution:
    """Return the caution of outer rows that do not stand half a spacing from the edge."""
    spacing = sowing.spacing or 0.0
    gap = (width - (rows - 1) * spacing) / 2
    return Caution(
        key="rows-do-not-fill-the-band",
        code="W05",
        severity=WARNING,
        sentence=(
            f"{'1 row' if rows == 1 else f'{rows} rows'} of {sowing.label} at {spacing:.3f} m "
            f"{'takes' if rows == 1 else 'take'} {rows * spacing:.2f} m of band {band}, "
            f"{width:.2f} m wide: its outer rows stand {gap:.3f} m from the edges, and "
            f"half a spacing is {spacing / 2:.3f} m."
        ),
        remedy=f"Use a band of {rows * spacing:.2f} m, or rows {width / rows:.3f} m apart.",
        source=GEOMETRY,
        value=gap,
        threshold=spacing / 2,
        unit="m",
    )


def _guess_row(layout: Layout, index: int, operation: Operation, machine: Machine) -> list[Caution]:
    """Return the caution of a gap between two passes unlike the gap between two rows."""
    gap = guess_gap(machine)
    if gap is None or machine.rows is None or machine.row_spacing is None:
        return []
    if abs(gap - machine.row_spacing) <= GUESS_LIMIT or not passes_adjoin(layout, index):
        return []
    return [
        Caution(
            key="guess-row",
            code="W06",
            severity=WARNING,
            sentence=(
                f"Between two passes of {operation.name} the rows of the {machine.name} are "
                f"{gap:.2f} m apart, inside one pass {machine.row_spacing:.2f} m."
            ),
            remedy=(
                f"{'1 row works' if machine.rows == 1 else f'{machine.rows} rows work'} "
                f"at {machine.row_spacing:.2f} m "
                f"{machine.rows * machine.row_spacing:.2f} m; check the working width."
            ),
            source=GUESS,
            value=gap,
            threshold=machine.row_spacing,
            unit="m",
        )
    ]


def passes_adjoin(layout: Layout, operation: int) -> bool:
    """Whether any two passes of an operation lie side by side."""
    passes = layout.passes
    for b in range(len(layout.blocks)):
        mine = (passes.operation == operation) & (passes.block == b)
        ends, starts = passes.t1[mine], passes.t0[mine]
        if len(ends) and np.isclose(ends[:, None], starts[None, :], atol=1e-6).any():
            return True
    return False


def _coulters(layout: Layout, operation: Operation, machine: Machine) -> list[Caution]:
    """Return the cautions of rows that lie between the coulters of what sows them."""
    found = []
    for sowing in own_sowings(layout.plan, operation):
        step, spacing = machine.row_spacing, sowing.spacing
        if step is None or spacing is None:
            continue
        off = off_coulters(spacing, step)
        if off > COULTER_LIMIT:
            found.append(_between_coulters(operation, machine, sowing, off))
    return found


def _between_coulters(
    operation: Operation, machine: Machine, sowing: Sowing, off: float
) -> Caution:
    """Return the caution of one sowing whose rows its machine cannot keep."""
    return Caution(
        key="machine-rows",
        code="W06",
        severity=WARNING,
        sentence=(
            f"Rows of {sowing.label} stand {sowing.spacing:.3f} m apart, and in {operation.name} "
            f"the {machine.name} sows {machine.row_spacing:.3f} m apart: they miss by {off:.3f} m "
            "a row."
        ),
        remedy="Set the machine to the spacing, or the plan to what the machine sows.",
        source=GEOMETRY,
        value=off,
        threshold=COULTER_LIMIT,
        unit="m",
    )


def _header_rows(layout: Layout, operation: Operation, machine: Machine) -> list[Caution]:
    """Return the cautions of rows that a header does not gather whole, by their spacing."""
    header = machine.header
    if header is None:
        return []
    crops: dict[float, list[str]] = defaultdict(list)
    cuts = [place for strips in strips_of(layout, operation) for place in strips.cuts]
    for b, c in cuts:
        stand = layout.blocks[b].stands[c]
        for sowing in stand.sowing if stand is not None else ():
            if sowing.harvested and sowing.spacing is not None:
                crops[sowing.spacing].append(sowing.label)
    return [
        _ungathered(operation, header, spacing, labels)
        for spacing, labels in crops.items()
        if not gathers(header, spacing)
    ]


def _ungathered(operation: Operation, header: Header, spacing: float, labels: list[str]) -> Caution:
    """Return the caution of crops whose rows a header does not gather whole."""
    bound = (
        f", made for {header.rows} {'row' if header.rows == 1 else 'rows'}," if header.rows else ""
    )
    rows = rows_of_header(header.width, spacing)
    return Caution(
        key="header-rows",
        code="W03",
        severity=WARNING,
        sentence=(
            f"The header of {header.width:.2f} m in {operation.name}{bound} covers {rows:.1f} rows "
            f"of {listed(labels)} at {spacing:.3f} m."
        ),
        remedy="Use a header that takes whole rows of this crop, or change the row spacing.",
        source=GEOMETRY,
        value=rows,
        threshold=None if header.rows is None else float(header.rows),
        unit="rows",
    )


@dataclass(slots=True)
class _Hits:
    """Rows of one crop under wheels, out of how many, and the least distance to a wheel."""

    under: int = 0
    rows: int = 0
    spacing: float | None = None


def _wheels(layout: Layout, index: int, operation: Operation, machine: Machine) -> list[Caution]:
    """Return the cautions of wheels that run on rows that are not left out for them."""
    if machine.track_width is None or machine.tyre_width is None:
        return []
    hits: dict[str, _Hits] = defaultdict(_Hits)
    for b in range(len(layout.blocks)):
        tracks = np.sort(tracks_beside(pass_centres(layout, b, index), machine))
        if len(tracks):
            _count_hits(layout, b, operation, (tracks, machine.tyre_width / 2), hits)
    return [_on_rows(operation, machine, crop, hit) for crop, hit in hits.items() if hit.under]


def _count_hits(
    layout: Layout,
    block: int,
    operation: Operation,
    tracks: tuple[NDArray[np.float64], float],
    hits: dict[str, _Hits],
) -> None:
    """Count the rows of a block that lie under wheels, by crop."""
    rows, stands = layout.rows, layout.blocks[block].stands
    mine = (rows.block == block) & rows.counts
    keys = np.stack([rows.cut, rows.sowing, rows.row], axis=1)[mine]
    keys, first = np.unique(keys, axis=0, return_index=True)
    places = rows.t[mine][first]
    for c, j in np.unique(keys[:, :2], axis=0):
        stand = stands[c]
        if stand is None or not stands_already(layout.plan, operation, stand.sowing[j]):
            continue
        t = places[(keys[:, 0] == c) & (keys[:, 1] == j)]
        hit = hits[stand.sowing[j].label]
        hit.under += int((_distance(t, tracks[0]) < tracks[1] - EDGE_SLACK).sum())
        hit.rows += len(t)
        hit.spacing = stand.sowing[j].spacing


def _distance(t: NDArray[np.float64], tracks: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the distance of each place from the nearest of growing tracks. [m]"""
    right = np.clip(np.searchsorted(tracks, t), 0, len(tracks) - 1)
    left = np.maximum(right - 1, 0)
    return np.asarray(np.minimum(np.abs(tracks[right] - t), np.abs(t - tracks[left])))


def _on_rows(operation: Operation, machine: Machine, crop: str, hit: _Hits) -> Caution:
    """Return the caution of wheels on the rows of one crop."""
    return Caution(
        key="wheels-on-rows",
        severity=WARNING,
        sentence=(
            f"Wheels of {operation.name} ({machine.name}, track {machine.track_width:.2f} m, tyre "
            f"{machine.tyre_width:.2f} m) run on {hit.under} of "
            f"{hit.rows} {'row' if hit.rows == 1 else 'rows'} of {crop}."
        ),
        remedy=_track_remedy(operation, machine, hit.spacing),
        source=GEOMETRY,
        value=float(hit.under),
        threshold=0.0,
        unit="rows",
        count=hit.under,
    )


def _track_remedy(operation: Operation, machine: Machine, spacing: float | None) -> str:
    """Return which tracks run between rows, where any can."""
    leave = f"Leave these rows out with skip = [{listed([operation.name])!r}]"
    track = machine.track_width or 0.0
    if spacing is None or spacing <= (machine.tyre_width or 0.0):
        return f"{leave}, or accept the loss."
    if straddles(track, spacing):
        return f"{leave}, or shift the passes until both wheels run in the middle of a gap."
    widths = [f"{width:.2f}" for width, _ in straddling_tracks(track, spacing)]
    return (
        f"{leave}, or use a track of {' or '.join(widths)} m and put the pass so that both wheels "
        "run in the middle of a gap."
    )
