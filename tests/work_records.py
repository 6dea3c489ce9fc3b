"""Records of work done, made from a layout: as planned, shifted, with passes left out."""

import itertools

import numpy as np

from geolayout.appraisal.worked.done import Strand, WorkDone


def operation_of(layout, name):
    """Return the index of an operation."""
    return [one.name for one in layout.plan.operations].index(name)


def as_planned(layout, name, *, right=0.0, step=1.0, rate=np.nan, width=None, both_ways=True):
    """
    Return one strand a pass, a place every step, each in the middle of its stretch.

    `right` moves all to the right of the guide's direction; every second pass is driven back.
    """
    operation = operation_of(layout, name)
    passes = layout.passes
    working = layout.plan.machine(layout.plan.operations[operation].machine).working_width
    strands = []
    for count, i in enumerate(np.flatnonzero(passes.operation == operation).tolist()):
        begin, end = passes.lines.offsets[i : i + 2]
        xy = _places(passes.lines.xy[begin:end], step)
        if right:
            way = passes.lines.xy[end - 1] - passes.lines.xy[begin]
            xy = xy + right * np.array([way[1], -way[0]]) / np.hypot(*way)
        if both_ways and count % 2:
            xy = xy[::-1]
        strands.append(strand(xy, width or working, rate=rate))
    return WorkDone(tuple(strands))


def strand(xy, width, *, rate=np.nan, seconds=np.nan, product="", half_step=None):
    """Return a strand of places, each in the middle of its stretch."""
    xy = np.asarray(xy, dtype=float)
    half = np.hypot(*(xy[1] - xy[0])) / 2.0 if half_step is None else half_step
    columns = (np.broadcast_to(value, len(xy)).astype(float) for value in (rate, seconds))
    return Strand(xy, width, *columns, product, half)


def _places(line, step):
    """Return the middles of equal stretches of about one step along a line."""
    length = np.hypot(*np.diff(line, axis=0).T)
    far = np.concatenate([[0.0], np.cumsum(length)])
    ends = np.linspace(0.0, far[-1], max(round(far[-1] / step), 2) + 1)
    middle = [(a + b) / 2.0 for a, b in itertools.pairwise(ends)]
    return np.stack([np.interp(middle, far, line[:, k]) for k in (0, 1)], axis=1)


def as_csv(layout, work, path, *, product="", rate_name="rate"):
    """Write strands as a table of places, one strand a pass number; return its path."""
    lines = [f"lon,lat,pass,{rate_name},product"]
    for number, one in enumerate(work.strands, start=1):
        for (lon, lat), rate in zip(layout.field.frame.lonlat(one.xy), one.rate, strict=True):
            lines.append(f"{lon:.9f},{lat:.9f},{number},{rate:g},{one.product or product}")
    path.write_text("\n".join(lines) + "\n", "utf-8")
    return path
