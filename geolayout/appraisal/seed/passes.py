"""
Seed on the machine: rows to shut off, passes from one fill, grams to catch when it is calibrated.

A pass sows the ground of its open rows: as many times the width of the band over its rows. The
grams of a calibration are what these rows drop on a hundredth of a hectare of that ground.
"""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from math import floor

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.growing import Sown, nominal_rows, nominal_width, sown
from geolayout.appraisal.seed.amounts import seed_amounts
from geolayout.appraisal.seed.need import SeedNeed, seed_needs
from geolayout.appraisal.seed.rate import Span
from geolayout.layout.build import Layout
from geolayout.plan.machines import Machine
from geolayout.plan.slack import ACROSS_SLACK

__all__ = ["CALIBRATED", "OpenRows", "SownBy", "rows_of_machine", "sown_by"]

CALIBRATED = 100.0
"""Ground of a calibration, a hundredth of a hectare. [m2]"""


@dataclass(frozen=True, slots=True)
class OpenRows:
    """
    Passes with as many rows open.

    Attributes
    ----------
    open : int
        Rows that sow this crop.
    shut : int or None
        Rows that sow nothing, no other crop of the operation either; None where the machine's
        rows are not said.
    passes : int
        How many passes.
    """

    open: int
    shut: int | None
    passes: int


@dataclass(frozen=True, slots=True)
class SownBy:
    """
    One sowing under the machine that sows it.

    Attributes
    ----------
    operation, machine, stand, sowing, crop : str
        Which.
    machine_rows : int or None
        Rows of the machine; None where it does not say.
    rows : tuple of OpenRows
        Passes by their open rows, most rows first; none of a broadcast or crossed sowing.
    kg_per_ha : Span or None
        Seed on its ground, half of it where it is sown both ways. [kg/ha]
    sown_width_m : float or None
        Ground that the rows of a full pass sow, across; the band's where it is broadcast. [m]
    machine_rate : Span or None
        The same seed over the whole working width, as a machine counts hectares. [kg/ha]
    grams : Span or None
        Seed to catch on a hundredth of a hectare of its ground. [g]
    distance_m : float or None
        Way that is driven for it. [m]
    turns : float or None
        Turns of the metering wheel for it.
    kg_per_pass : Span or None
        All seed of the operation on its largest pass. [kg]
    passes_per_fill : tuple of int or None
        Whole passes as large from a full hopper, least and most.
    missing : tuple of str
        What is not said of the seed or the machine.
    """

    operation: str
    machine: str
    stand: str
    sowing: str
    crop: str
    machine_rows: int | None
    rows: tuple[OpenRows, ...]
    kg_per_ha: Span | None
    sown_width_m: float | None
    machine_rate: Span | None
    grams: Span | None
    distance_m: float | None
    turns: float | None
    kg_per_pass: Span | None
    passes_per_fill: tuple[int, int] | None
    missing: tuple[str, ...]


def rows_of_machine(machine: Machine) -> int | None:
    """
    Return how many rows a machine sows in one pass; None where it does not say.

    Examples
    --------
    >>> rows_of_machine(Machine(name="drill", working_width=3.0, row_spacing=0.125))
    24
    """
    if machine.rows is not None or machine.row_spacing is None:
        return machine.rows
    return round(machine.working_width / machine.row_spacing)


def sown_by(layout: Layout) -> tuple[SownBy, ...]:
    """
    Look at every sowing under its machine.

    Parameters
    ----------
    layout : Layout
        One season of a plan on a field.

    Returns
    -------
    sown : tuple of SownBy
        By operation and sowing, in the order of the plan; sowings that no operation sows and
        stands that grow nowhere are left out.
    """
    groups: dict[tuple[str, str, int], list[Sown]] = defaultdict(list)
    for entry in sown(layout):
        if entry.sowing.operation is not None and entry.sowing.place != "standing":
            groups[entry.sowing.operation, entry.stand.name, entry.index].append(entry)
    needs = [n for n in seed_needs(layout.plan, seed_amounts(layout)) if n.place == "bands"]
    return tuple(_sown_by(layout, entries, needs) for entries in groups.values())


def _sown_by(layout: Layout, entries: Sequence[Sown], needs: Sequence[SeedNeed]) -> SownBy:
    """Look at one sowing under its machine."""
    first, plan = entries[0], layout.plan
    sowing = first.sowing
    operation = plan.operation(sowing.operation or "")
    machine = plan.machine(operation.machine)
    own = [n for n in needs if (n.stand, n.sowing) == (first.stand.name, sowing.label)]
    ways = plan.ways_of(sowing)
    rate = _mass_rate(own, ways)
    open_rows = _open_rows(layout, entries, machine) if ways == 1 and sowing.in_rows else ()
    width = _sown_width(layout, first, open_rows, machine)
    kg = _summed([need for need in needs if need.operation == operation.name])
    per_pass = None if kg is None else kg * _largest_share(layout, operation.name)
    distance = CALIBRATED / width if width else None
    wheel = machine.wheel_circumference
    return SownBy(
        operation=operation.name,
        machine=machine.name,
        stand=first.stand.name,
        sowing=sowing.label,
        crop=sowing.crop,
        machine_rows=rows_of_machine(machine),
        rows=open_rows,
        kg_per_ha=rate,
        sown_width_m=width,
        machine_rate=None if rate is None or not width else rate * (width / machine.working_width),
        grams=None if rate is None else rate * (1e3 * CALIBRATED / 1e4),
        distance_m=distance,
        turns=distance / wheel if distance and wheel else None,
        kg_per_pass=per_pass,
        passes_per_fill=_per_fill(machine.hopper, per_pass),
        missing=_missing(machine, own, open_rows),
    )


def _mass_rate(needs: Sequence[SeedNeed], ways: int) -> Span | None:
    """Return the seed on the ground of a sowing, its varieties together, one way. [kg/ha]"""
    kg = _summed(needs)
    ground = needs[0].ground_m2 if needs else 0.0
    return None if kg is None or not ground else kg * 1e4 / ground / float(ways)


def _summed(needs: Sequence[SeedNeed]) -> Span | None:
    """Add masses up; None where one is missing, or there are none. [kg]"""
    total = Span.of(0.0)
    for need in needs:
        if need.kg is None:
            return None
        total = total + need.kg
    return total if needs else None


def _open_rows(layout: Layout, entries: Sequence[Sown], machine: Machine) -> tuple[OpenRows, ...]:
    """Count the rows of a sowing under each pass of its operation, and those that sow nothing."""
    passes, has = layout.passes, rows_of_machine(machine)
    name = entries[0].sowing.operation or ""
    index = [one.name for one in layout.plan.operations].index(name)
    together = [entry for entry in sown(layout) if entry.sowing.operation == name]
    counts: Counter[tuple[int, int | None]] = Counter()
    for b in {entry.block for entry in entries}:
        own, every = _row_places(layout, b, entries), _row_places(layout, b, together)
        of_block = np.flatnonzero((passes.block == b) & (passes.operation == index))
        _, first = np.unique(passes.number[of_block], return_index=True)
        for i in of_block[first]:
            span = float(passes.t0[i]), float(passes.t1[i])
            count = _within(own, span)
            shut = None if has is None else max(0, has - _within(every, span))
            if count:  # else the pass works other stands
                counts[count, shut] += 1
    found = [OpenRows(count, shut, number) for (count, shut), number in counts.items()]
    return tuple(sorted(found, key=lambda one: (-one.open, one.shut or 0)))


def _row_places(layout: Layout, block: int, entries: Sequence[Sown]) -> NDArray[np.float64]:
    """Return where rows of some sowings stand in a block, shape (n,), each place once. [m]"""
    rows = layout.rows
    keys = [(entry.cut, entry.index) for entry in entries if entry.block == block]
    mine = np.zeros(len(rows), dtype=np.bool_)
    for index in {index for _, index in keys}:
        cuts = [cut for cut, one in keys if one == index]
        mine |= np.isin(rows.cut, cuts) & (rows.sowing == index)
    return np.unique(rows.t[mine & (rows.block == block) & rows.counts])


def _within(places: NDArray[np.float64], span: tuple[float, float]) -> int:
    """Return how many places lie in the strip of a pass, half open at its far edge."""
    return int(((places >= span[0]) & (places < span[1])).sum())


def _sown_width(
    layout: Layout, first: Sown, rows: Sequence[OpenRows], machine: Machine
) -> float | None:
    """Return the ground that a pass with most rows open sows, across. [m]"""
    block = layout.blocks[first.block]
    cut = block.section.cuts[first.cut]
    band = nominal_width(block, cut)
    if not rows:
        return min(machine.working_width, band)
    in_band = nominal_rows(block, cut, first.stand, first.index)
    width = rows[0].open * band / in_band
    near = abs(width - machine.working_width) <= ACROSS_SLACK
    return machine.working_width if near else width


def _largest_share(layout: Layout, operation: str) -> float:
    """Return the share of the fresh ground of an operation that its largest pass works. [-]"""
    passes = layout.passes
    index = [one.name for one in layout.plan.operations].index(operation)
    mine = passes.operation == index
    if not mine.any():
        return 0.0
    keys = np.stack([passes.block, passes.number], axis=1)[mine]
    _, which = np.unique(keys, axis=0, return_inverse=True)
    ground = passes.lines.length[mine] * (passes.t1 - passes.t0)[mine]
    return float(np.bincount(which.ravel(), ground).max() / ground.sum())


def _per_fill(hopper: float | None, per_pass: Span | None) -> tuple[int, int] | None:
    """Return whole passes from a full hopper, least and most."""
    if hopper is None or per_pass is None or per_pass.low <= 0.0:
        return None
    return floor(hopper / per_pass.high), floor(hopper / per_pass.low)


def _missing(
    machine: Machine, needs: Sequence[SeedNeed], rows: Sequence[OpenRows]
) -> tuple[str, ...]:
    """Say what is not said of the seed or the machine."""
    found = [word for need in needs for word in need.missing]
    if rows and rows_of_machine(machine) is None:
        found.append("rows")
    found += [key for key in ("hopper", "wheel_circumference") if getattr(machine, key) is None]
    return tuple(dict.fromkeys(found))
