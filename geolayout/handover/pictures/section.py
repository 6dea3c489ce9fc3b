"""
A drawn cross-section: bands to scale, what stands in them, and the machines that pass below.

A wide section is broken into lines at band edges, all at one scale, so that neighbouring rows can
be told apart.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from io import BytesIO
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Ellipse, Rectangle

from geolayout.handover.pictures.file import NO_DATES, write_picture
from geolayout.handover.pictures.looks import MM, OTHER_LOOKS, STAND_LOOKS, Look, steady_style
from geolayout.plan.section.profile import Profile
from geolayout.plan.section.section import Cut
from geolayout.plan.slack import ACROSS_SLACK

__all__ = ["section_bytes", "section_picture"]

WIDE, LEFT, RIGHT = 240.0, 40.0, 8.0
"""Room for the bands, for the names of operations, and at the edge. [mm]"""

SKY, GROUND, FOOT, PASS = 20.0, 7.0, 6.0, 6.0
"""Heights of names and plants, of the ground, of the figures under it, of an operation. [mm]"""

ROOM = 1.3
"""Least room between neighbouring rows. [mm]"""

SHORTEST_LINE = 6.0
"""A line of the drawing shows at least so much. [m]"""

MOST_LINES = 8
"""Lines of one drawing."""

DOTS = 160
"""Dots an inch of a PNG."""

MARKS = ("o", "^", "s", "v", "D", "P", "X", "<", ">")
"""Heads of plants, a different one for each crop."""


@dataclass(frozen=True, slots=True)
class _Line:
    """One line of the drawing: which part of the section it shows, and where on paper."""

    t0: float
    t1: float
    base: float
    per_metre: float

    def x(self, t: float) -> float:
        """Return where a distance from the anchor is on paper. [mm]"""
        return LEFT + (min(max(t, self.t0), self.t1) - self.t0) * self.per_metre

    def holds(self, t: float) -> bool:
        """Whether a distance from the anchor lies in this line."""
        return self.t0 <= t < self.t1

    def meets(self, t0: float, t1: float) -> bool:
        """Whether a stretch reaches into this line."""
        return min(t1, self.t1) - max(t0, self.t0) > ACROSS_SLACK / 10


def section_picture(profile: Profile, path: Path) -> None:
    """
    Draw a section into a file.

    Parameters
    ----------
    profile : Profile
        The section and what is on it.
    path : Path
        File ending in ``.svg`` or ``.png``.

    Raises
    ------
    FileError
        If the name ends otherwise, or the file cannot be written.
    """
    write_picture(path, partial(section_bytes, profile))


def section_bytes(profile: Profile, form: str) -> bytes:
    """
    Return a drawn section as the bytes of a picture, the same ones every time.

    Parameters
    ----------
    profile : Profile
        The section and what is on it.
    form : {"svg", "png"}
        Kind of picture.
    """
    operations = _operations(profile)
    windows = _windows(profile)
    tall = SKY + GROUND + FOOT + PASS * len(operations) + 4.0
    marks = _marks(profile)
    foot = 8.0 + 4.5 * (len(marks) // 6 + 1)
    height = foot + tall * len(windows[:MOST_LINES])
    with steady_style():
        width = LEFT + WIDE + RIGHT
        figure = Figure(figsize=(width * MM, height * MM), dpi=DOTS)
        FigureCanvasAgg(figure)
        axes = figure.add_axes((0, 0, 1, 1))
        axes.set_xlim(0, width)
        axes.set_ylim(0, height)
        axes.set_axis_off()
        per_metre = WIDE / max(t1 - t0 for t0, t1 in windows)
        for k, (t0, t1) in enumerate(windows[:MOST_LINES]):
            base = height - (k + 1) * tall + FOOT + PASS * len(operations) + 4.0
            line = _Line(t0, t1, base, per_metre)
            _draw_bands(axes, profile, line)
            _draw_rows(axes, profile, line, marks)
            _draw_trees(axes, profile, line)
            _draw_passes(axes, profile, line, operations)
        _draw_key(axes, marks, foot)
        _draw_note(axes, windows, per_metre)
        out = BytesIO()
        figure.savefig(out, format=form, dpi=DOTS, metadata=NO_DATES[form])
    return out.getvalue()


def _windows(profile: Profile) -> list[tuple[float, float]]:
    """Part the section into lines, at band edges where a band fits into one."""
    longest = _longest_line(profile)
    windows: list[tuple[float, float]] = []
    for cut in profile.section.cuts:
        if windows and cut.t1 - windows[-1][0] <= longest:
            windows[-1] = (windows[-1][0], cut.t1)
            continue
        start = cut.t0
        while cut.t1 - start > longest:
            windows.append((start, start + longest))
            start += longest
        windows.append((start, cut.t1))
    return windows


def _longest_line(profile: Profile) -> float:
    """Return how much a line shows while neighbouring rows can still be told apart. [m]"""
    steps = np.diff(np.unique(np.round(profile.rows.t, 4)))
    span = profile.section.cuts[-1].t1 - profile.section.cuts[0].t0
    if not len(steps):
        return float(span)
    return float(min(span, max(SHORTEST_LINE, WIDE / ROOM * max(steps.min(), 0.05))))


def _operations(profile: Profile) -> list[int]:
    """Return the operations that pass anywhere in the section."""
    return sorted(set(profile.passes.operation.tolist()))


def _marks(profile: Profile) -> dict[str, str]:
    """Return the mark of each crop that stands in rows."""
    crops = dict.fromkeys(
        sowing.crop
        for stand in profile.stands
        if stand is not None
        for sowing in stand.sowing
        if sowing.in_rows
    )
    return {crop: MARKS[i % len(MARKS)] for i, crop in enumerate(crops)}


def _look(profile: Profile, i: int) -> Look:
    """Return the look of a cut: its stand's, else that of bare or other ground."""
    names = list(dict.fromkeys(stand.name for stand in profile.stands if stand is not None))
    stand = profile.stands[i]
    if stand is not None:
        return STAND_LOOKS[names.index(stand.name) % len(STAND_LOOKS)]
    return OTHER_LOOKS.get(profile.section.cuts[i].kind.value, OTHER_LOOKS["bare"])


def _draw_bands(axes: Axes, profile: Profile, line: _Line) -> None:
    """Draw the ground of each band with its name, width and edges."""
    last = -np.inf
    for i, cut in enumerate(profile.section.cuts):
        if not line.meets(cut.t0, cut.t1):
            continue
        x0, x1 = line.x(cut.t0), line.x(cut.t1)
        look = _look(profile, i)
        box = Rectangle((x0, line.base), x1 - x0, GROUND, fc=look.tint, ec="black", lw=0.6)
        box.set_hatch(look.hatch)
        axes.add_patch(box)
        for t in (cut.t0, cut.t1):
            if line.t0 <= t <= line.t1 and line.x(t) - last > 8.0:
                last = line.x(t)
                axes.text(last, line.base - 3.2, f"{t:.2f}", ha="center", fontsize=6)
        for k, words in enumerate(_names(profile, i, x1 - x0)):
            at = line.base + GROUND + SKY - 3.0 - 2.9 * k
            axes.text((x0 + x1) / 2, at, words, ha="center", fontsize=7 if k == 0 else 6)
        for k, words in enumerate(_covers(profile, i)):
            if (x1 - x0) > 1.25 * len(words):
                axes.text(
                    (x0 + x1) / 2,
                    line.base + 1.0 + 2.6 * k,
                    words,
                    ha="center",
                    fontsize=6,
                    bbox={"boxstyle": "square,pad=0.1", "fc": "white", "ec": "none"},
                )


def _names(profile: Profile, i: int, room: float) -> Iterator[str]:
    """Return what a band is called, how wide it is and what grows there, as room allows."""
    cut, stand = profile.section.cuts[i], profile.stands[i]
    name = _name(cut)
    if room > 1.3 * len(name):
        yield name
    if room > 9.0:
        yield f"{cut.width:.2f} m"
    grows = stand.name if stand is not None else ("bare" if cut.grows else "")
    if grows and grows != cut.band and room > 1.25 * len(grows):
        yield grows


def _name(cut: Cut) -> str:
    """Return what a cut is called in the drawing."""
    if not cut.grows:
        return cut.kind.value
    return f"{cut.band}, no. {cut.number}"


def _covers(profile: Profile, i: int) -> list[str]:
    """Return what stands all over a band and not in rows."""
    stand = profile.stands[i]
    sowings = stand.sowing if stand is not None else ()
    return [f"{sowing.crop} ({sowing.place})" for sowing in sowings if not sowing.in_rows]


def _draw_rows(axes: Axes, profile: Profile, line: _Line, marks: dict[str, str]) -> None:
    """Draw each row as a plant; later sowings of a stand are shorter."""
    rows = profile.rows
    for t, cut, j in zip(rows.t.tolist(), rows.cut, rows.sowing, strict=True):
        stand = profile.stands[cut]
        if stand is None or not line.holds(t):
            continue
        foot, tall = line.base + GROUND, 4.6 - 1.3 * min(int(j), 2)
        x = line.x(t)
        axes.plot([x, x], [foot, foot + tall], color="black", lw=0.6)
        mark = marks[stand.sowing[j].crop]
        axes.plot(x, foot + tall, mark, color="white", mec="black", ms=3.2, mew=0.6)
    for t in profile.left_out.t.tolist():
        if line.holds(t):
            axes.plot(line.x(t), line.base + GROUND + 1.2, "x", color="black", ms=2.6, mew=0.6)


def _draw_trees(axes: Axes, profile: Profile, line: _Line) -> None:
    """Draw each tree row as a tree."""
    for t in profile.tree_rows.t.tolist():
        if line.holds(t):
            x, foot = line.x(t), line.base + GROUND
            axes.plot([x, x], [foot, foot + 5.0], color="black", lw=1.6)
            axes.add_patch(Ellipse((x, foot + 6.0), 4.4, 5.0, fc="#9fd5c0", ec="black", lw=0.8))


def _draw_passes(axes: Axes, profile: Profile, line: _Line, operations: list[int]) -> None:
    """Draw how far each machine reaches, and thickly the ground it works afresh."""
    passes = profile.passes
    for k, operation in enumerate(operations):
        y = line.base - FOOT - PASS * (k + 0.6)
        known = profile.plan.operations[operation]
        width = profile.plan.machine(known.machine).working_width
        axes.text(LEFT - 3.0, y, f"{known.name}, {width:g} m", ha="right", va="center", fontsize=6)
        for i in np.flatnonzero(passes.operation == operation):
            reach0, reach1 = passes.reach0[i], passes.reach1[i]
            if not line.meets(reach0, reach1):
                continue
            x0, x1 = line.x(reach0), line.x(reach1)
            lift = 0.7 if passes.number[i] % 2 else -0.7
            axes.plot([x0, x1], [y + lift, y + lift], color="black", lw=0.5)
            for reach in (reach0, reach1):
                if line.t0 <= reach <= line.t1:
                    at = line.x(reach)
                    axes.plot([at, at], [y + lift - 0.7, y + lift + 0.7], color="black", lw=0.5)
            if line.meets(passes.t0[i], passes.t1[i]):
                fresh = [line.x(passes.t0[i]), line.x(passes.t1[i])]
                axes.plot(fresh, [y + lift] * 2, color="black", lw=1.8, solid_capstyle="butt")
            if x1 - x0 > 5.0:
                axes.text(
                    (x0 + x1) / 2,
                    y + lift,
                    str(passes.number[i]),
                    ha="center",
                    va="center",
                    fontsize=5.5,
                    bbox={"boxstyle": "square,pad=0.15", "fc": "white", "ec": "none"},
                )


def _draw_key(axes: Axes, marks: dict[str, str], foot: float) -> None:
    """Tell which mark is which crop."""
    for k, (crop, mark) in enumerate(marks.items()):
        x = LEFT + 40.0 * (k % 6)
        y = foot - 4.0 - 4.5 * (k // 6)
        axes.plot(x, y, mark, color="white", mec="black", ms=4, mew=0.7)
        axes.text(x + 2.0, y, crop, va="center", fontsize=6.5)


def _draw_note(axes: Axes, windows: list[tuple[float, float]], per_metre: float) -> None:
    """Tell what the figures are, and how much of the section is shown."""
    words = "Figures under the ground are metres from the anchor. Thick: ground worked afresh."
    if len(windows) > MOST_LINES:
        shown = windows[MOST_LINES - 1][1]
        words += f" Drawn as far as {shown:.2f} m of {windows[-1][1]:.2f} m."
    axes.text(LEFT, 1.6, f"{words} 1 m is {per_metre:.1f} mm.", fontsize=6)
