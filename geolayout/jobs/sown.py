"""Work done, read back and laid over its plan."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
import shapely

from geolayout.appraisal.worked.as_sown import AsSown, Patch, compare_work
from geolayout.appraisal.worked.done import WorkDone, WorkedArea, set_back
from geolayout.appraisal.worked.ground import areas_of
from geolayout.appraisal.worked.rates import PlannedRate, RatesAsSown, compare_rates
from geolayout.errors import FileError, PlanError
from geolayout.handover.files.rateground import products_of, sown_by_operation
from geolayout.jobs.job import Job, lay
from geolayout.jobs.strands import strand_in
from geolayout.jobs.workfile import WorkFile, read_work_file
from geolayout.layout.build import Layout
from geolayout.plan.near import near_names

__all__ = ["WorkCompared", "WorkRecord", "compared_dict", "work_of"]

FARTHEST = 1000.0
"""Work that all lies farther from the field is that of another one. Our own choice. [m]"""

BEYOND = 30.0
"""Places farther from the field than this are no turns on its headland. Our own choice. [m]"""

MUCH = 0.5
"""Share worked twice beyond which the file is asked about. Our own choice. [-]"""

LONLAT_DECIMALS = 7

RATE_UNITS = {
    "plants/ha": ("plants/ha", 1.0),
    "plants/m2": ("plants/ha", 1e4),
    "seeds/m2": ("seeds/m2", 1.0),
    "seeds/ha": ("seeds/m2", 1e-4),
    "kg/ha": ("kg/ha", 1.0),
    "g/m2": ("kg/ha", 10.0),
    "t/ha": ("kg/ha", 1000.0),
    "plants/ac": ("plants/ha", 1.0 / 0.40468564224),
    "seeds/ac": ("seeds/m2", 1e-4 / 0.40468564224),
    "lb/ac": ("kg/ha", 0.45359237 / 0.40468564224),
}
"""Units of recorded rates, and the plan's unit that each is so many of: an acre of 4,046.8564224 m2
and a pound of 0.45359237 kg, by the international yard and pound agreement of 1959."""


@dataclass(frozen=True, slots=True)
class WorkRecord:
    """
    A returned file, and what the user says of it.

    Attributes
    ----------
    path : Path
        The file.
    layer, crs : str, optional
        Its layer, and its coordinate system, where it leaves a choice or does not say.
    rate : str, optional
        Its column of rates.
    unit : str, optional
        Unit of the rates; the plan's if nobody says.
    product : str, optional
        What was put out, where the file does not say.
    width : float, optional
        Width worked, where the file does not say; the machine's if nothing is said. [m]
    ahead : float, default 0
        How far its places lie ahead of the work, in the direction of driving. [m]
    """

    path: Path
    layer: str | None = None
    crs: str | None = None
    rate: str | None = None
    unit: str | None = None
    product: str | None = None
    width: float | None = None
    ahead: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class WorkCompared:
    """
    Work done against a plan.

    Attributes
    ----------
    layout : Layout
        The layout.
    sown : AsSown
        Ground and passes.
    rates : RatesAsSown or None
        Rates; None where there is nothing to compare, which a note says.
    notes : tuple of str
        What of the file was not used, and why.
    """

    layout: Layout
    sown: AsSown
    rates: RatesAsSown | None
    notes: tuple[str, ...]

    def lonlat(self, patch: Patch) -> tuple[float, float]:
        """Return a place in a patch, longitude first. [degrees]"""
        lonlat = self.layout.field.frame.lonlat(np.array([patch.inner]))[0]
        lon, lat = (np.round(lonlat, LONLAT_DECIMALS) + 0.0).tolist()
        return lon, lat


def work_of(
    job: Job, record: WorkRecord, *, operation: str | None = None, season: int | None = None
) -> WorkCompared:
    """
    Lay a returned file over the passes of a plan.

    Parameters
    ----------
    job : Job
        The plan and its field.
    record : WorkRecord
        The file.
    operation : str, optional
        Name of the operation; needed only where several have passes.
    season : int, optional
        Harvest year; the plan's first season if nothing is said.

    Raises
    ------
    PlanError
        If the plan has no such operation, or several and none is named.
    FileError
        If the file cannot be read, or holds work of another place.
    """
    layout = lay(job, season)
    index = _operation(layout, operation)
    read = read_work_file(record.path, layer=record.layer, crs=record.crs, rate=record.rate)
    done, away = _in_frame(layout, read, _width(layout, index, record))
    notes = [*read.notes, *away]
    if read.areas and record.ahead:
        notes.append("Areas have no direction of driving and were not set back.")
    done = set_back(done, record.ahead)
    rates, said = _rates(layout, index, (read, record), done)
    sown = compare_work(layout, index, done)
    if sown.doubled_m2 > MUCH * sown.planned_m2:
        said.append(
            "Over half is worked twice: the file may be that of another operation or width."
        )
    return WorkCompared(layout, sown, rates, (*notes, *said))


def _operation(layout: Layout, name: str | None) -> int:
    """Return the index of the operation that is meant."""
    names = [one.name for one in layout.plan.operations]
    driven = np.unique(layout.passes.operation).tolist()
    held = [names[i] for i in driven]
    if name is not None and name in held:
        return names.index(name)
    if name is None and len(held) == 1:
        return int(driven[0])
    if not held:
        raise PlanError(
            "The plan has no passes.",
            "Work is held against passes.",
            "Give a sowing an operation, and the operation a machine.",
        )
    if name is None:
        raise PlanError(
            f"{len(held)} operations of the plan have passes: {', '.join(held)}.",
            "A file of work is held against one of them.",
            f"Name it: --operation {held[0]!r}.",
        )
    raise PlanError(
        f"Operation {name!r} is held against the file.",
        "The plan has no passes of such an operation.",
        near_names(name, held),
    )


def _width(layout: Layout, operation: int, record: WorkRecord) -> float:
    """Return the width worked where the file does not say. [m]"""
    if record.width is None:
        machine = layout.plan.operations[operation].machine
        return layout.plan.machine(machine).working_width
    if not 0.0 < record.width <= 150.0:
        raise PlanError(
            f"The width worked is {record.width:g} m.",
            "A machine works more than 0 and at most 150 m.",
            "Give it in metres.",
        )
    return record.width


def _in_frame(layout: Layout, read: WorkFile, width: float) -> tuple[WorkDone, list[str]]:
    """Return the work in the field's frame, and how much of it lies elsewhere."""
    frame, land = layout.field.frame, layout.field.land
    strands = tuple(strand_in(frame, one, width) for one in read.strands)
    areas = tuple(
        WorkedArea(areas_of(frame.to_local(shape)), rate, product)
        for shape, rate, product in read.areas
    )
    places = np.concatenate([np.zeros((0, 2)), *(one.xy for one in strands)])
    shapes = [*shapely.points(places).tolist(), *(one.ground for one in areas)]
    away = shapely.distance(land, np.array(shapes, dtype=object))
    if not (away <= FARTHEST).any():
        raise FileError(
            f"Nothing in {read.name} lies within {FARTHEST / 1000:g} km of the field.",
            "It is work of another place, or longitude and latitude are swapped.",
            "Name the file of this field.",
        )
    far = int((away > BEYOND).sum())
    said = f"{far} of {len(shapes)} places lie over {BEYOND:g} m from the field."
    return WorkDone(strands, areas), [said] if far else []


def _rates(
    layout: Layout, operation: int, told: tuple[WorkFile, WorkRecord], done: WorkDone
) -> tuple[RatesAsSown | None, list[str]]:
    """Compare rates where both sides have some in one unit; else say why not."""
    read, record = told
    planned = _planned_rates(layout, operation)
    if not planned or not read.rated:
        missing = "the file has no rates" if planned else "the plan has no rate for this work"
        return None, [f"No rates are compared: {missing}."]
    unit = record.unit or read.unit
    wanted = {one.unit for one in planned}
    if unit:
        known = RATE_UNITS.get(unit.replace("²", "2").replace(" ", ""))
        if known is None:
            raise PlanError(
                f"The rates recorded are in {unit!r}.",
                f"Known units are: {', '.join(RATE_UNITS)}.",
                "Give --unit with one of them.",
            )
        per, factor = known
        if per not in wanted:
            there = ", ".join(sorted(wanted))
            return None, [f"No rates are compared: recorded in {unit}, planned in {there}."]
    elif len(wanted) == 1:
        per, factor = next(iter(wanted)), 1.0
    else:
        return None, ["No rates are compared: the plan has several units; give --unit."]
    notes = [] if unit else [f"The file does not say the unit of its rates; taken for {per}."]
    planned = tuple(one for one in planned if one.unit == per)
    named, said = _named(planned, record.product, done)
    if named is None:
        return None, [*notes, *said]
    return compare_rates(layout, planned, _scaled(named, factor)), [*notes, *said]


def _planned_rates(layout: Layout, operation: int) -> tuple[PlannedRate, ...]:
    """Return the products of an operation that have a rate."""
    name = layout.plan.operations[operation].name
    return tuple(
        PlannedRate(product.name, product.unit, product.amounts)
        for one, sown in sown_by_operation(layout)
        if one == name
        for product in products_of(layout, sown)
        if product.unit
    )


def _named(
    planned: Sequence[PlannedRate], product: str | None, done: WorkDone
) -> tuple[WorkDone | None, list[str]]:
    """Return work whose products are called as in the plan, and which are none of it."""
    held = {one.product.casefold(): one.product for one in planned}
    if product is None and len(held) == 1:
        product = next(iter(held.values()))
    given = {one.product for one in done.strands} | {one.product for one in done.areas}
    if "" in given and product is None:
        there = ", ".join(held.values())
        return None, [f"No rates are compared: name the product by --product ({there})."]
    names = {name: held.get((name or product or "").casefold(), "") for name in given}
    strange = sorted(name or str(product) for name, known in names.items() if not known)
    notes = [
        f"{shown_name} is no product of this operation; the plan has {', '.join(held.values())}."
        for shown_name in strange
    ]
    strands = tuple(replace(one, product=names[one.product]) for one in done.strands)
    areas = tuple(replace(one, product=names[one.product]) for one in done.areas)
    return WorkDone(strands, areas), notes


def _scaled(work: WorkDone, factor: float) -> WorkDone:
    """Return work with its rates in another unit."""
    return WorkDone(
        tuple(replace(one, rate=one.rate * factor) for one in work.strands),
        tuple(replace(one, rate=one.rate * factor) for one in work.areas),
    )


def compared_dict(found: WorkCompared) -> dict[str, Any]:
    """Return what was found, fit for JSON, every figure with its unit in its key."""
    sown = found.sown
    return {
        "operation": sown.operation,
        "planned_m2": sown.planned_m2,
        "worked_m2": sown.worked_m2,
        "missed_m2": sown.missed_m2,
        "missed_at_ends_m2": sown.missed_at_ends_m2,
        "doubled_m2": sown.doubled_m2,
        "doubled_at_ends_m2": sown.doubled_at_ends_m2,
        "missed": [_patch_dict(found, patch) for patch in sown.missed],
        "doubled": [_patch_dict(found, patch) for patch in sown.doubled],
        "wrong_strips": [asdict(one) for one in sown.wrong],
        "passes": [asdict(one) for one in sown.passes],
        "mean_across_m": sown.mean_across_m,
        "worst_across_m": sown.worst_across_m,
        "drift_m_per_hour": sown.drift_m_per_hour,
        "lag": None if sown.lag is None else asdict(sown.lag),
        "turning_m": sown.turning_m,
        "rates": None if found.rates is None else asdict(found.rates),
        "notes": list(found.notes),
    }


def _patch_dict(found: WorkCompared, patch: Patch) -> dict[str, Any]:
    """Return a patch with its area and a place in it."""
    return {
        "block": patch.block,
        "area_m2": float(patch.ground.area),
        "at_end": patch.at_end,
        "inside_lon_lat": list(found.lonlat(patch)),
    }
