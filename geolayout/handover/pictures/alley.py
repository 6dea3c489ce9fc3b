"""
A drawn alley in a year: crowns, guards, boom and header, all at one scale up and across.

A crown is drawn twice where its growth is an estimate: dashed on a slow site, full on a fast one.
"""

from functools import partial
from io import BytesIO
from pathlib import Path

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Ellipse, Rectangle

from geolayout.appraisal.alleys.scene import AlleyScene, SceneTree
from geolayout.handover.pictures.file import NO_DATES, write_picture
from geolayout.handover.pictures.looks import MM, steady_style, tinted

__all__ = ["alley_bytes", "alley_picture"]

WIDE, SIDE = 180.0, 22.0
"""Room for the alley, and beside it. [mm]"""

HEAD, FOOT, PASS = 16.0, 12.0, 5.0
"""Heights of the title, of the axis, of one operation below the ground. [mm]"""

BOOM, GUARD = 1.0, 1.2
"""Heights at which booms and guards are drawn; no figure of the plan. [m]"""

LEAST_TOP = 4.0
"""Air that is drawn over young trees. [m]"""

DOTS = 160
"""Dots an inch of a PNG."""


def alley_picture(scene: AlleyScene, path: Path) -> None:
    """
    Draw an alley into a file.

    Parameters
    ----------
    scene : AlleyScene
        The alley in its year.
    path : Path
        File ending in ``.svg`` or ``.png``.

    Raises
    ------
    FileError
        If the name ends otherwise, or the file cannot be written.
    """
    write_picture(path, partial(alley_bytes, scene))


def alley_bytes(scene: AlleyScene, form: str) -> bytes:
    """
    Return a drawn alley as the bytes of a picture, the same ones every time.

    Parameters
    ----------
    scene : AlleyScene
        The alley in its year.
    form : {"svg", "png"}
        Kind of picture.
    """
    low, high = _reach(scene)
    per_metre = WIDE / (high - low)
    below = 1.0 + PASS / per_metre * len(_low_operations(scene))
    top = _top(scene)
    tall = FOOT + HEAD + (top + below) * per_metre
    wide = WIDE + 2 * SIDE
    with steady_style():
        figure = Figure(figsize=(wide * MM, tall * MM), dpi=DOTS)
        FigureCanvasAgg(figure)
        share = (top + below) * per_metre / tall
        axes = figure.add_axes((SIDE / wide, FOOT / tall, WIDE / wide, share))
        axes.set_xlim(low, high)
        axes.set_ylim(-below, top)
        _draw_ground(axes, scene)
        for tree in scene.trees:
            _draw_tree(axes, tree)
        _draw_machines(axes, scene, PASS / per_metre)
        axes.set_xlabel("m from the anchor", fontsize=7)
        axes.set_ylabel("m", fontsize=7)
        axes.tick_params(labelsize=7)
        axes.set_title("\n".join(_title(scene)), fontsize=7.5, loc="left")
        out = BytesIO()
        figure.savefig(out, format=form, dpi=DOTS, metadata=NO_DATES[form])
    return out.getvalue()


def _reach(scene: AlleyScene) -> tuple[float, float]:
    """Return from where to where across is drawn. [m]"""
    crowns = [tree.crowns[1] / 2 for tree in scene.trees if tree.crowns is not None]
    ends = [t for strip in scene.strips for t in strip]
    ends += [tree.t - wide for tree, wide in zip(scene.trees, crowns, strict=False)]
    ends += [tree.t + wide for tree, wide in zip(scene.trees, crowns, strict=False)]
    ends += [end for one in scene.passes for end in (one.reach0, one.reach1)]
    return min(ends) - 0.5, max(ends) + 0.5


def _top(scene: AlleyScene) -> float:
    """Return how much air is drawn. [m]"""
    heights = [tree.heights[1] for tree in scene.trees if tree.heights is not None]
    return max(1.08 * max(heights, default=0.0), LEAST_TOP)


def _title(scene: AlleyScene) -> list[str]:
    """Return what the drawing shows, with its figures."""
    low, high = scene.alley
    known = [tree.heights for tree in scene.trees if tree.heights is not None]
    if known:
        slow, fast = known[0]
        estimate = f"{slow:.1f} to {fast:.1f} m high (estimate)"
        tall = f"{fast:.1f} m high" if slow == fast else estimate
    else:
        tall = "of unknown height"
    between = f"{high - low:.2f} m between {scene.names[0]} and {scene.names[1]}"
    lines = [f"Year {scene.year:g}: alley of {between}, trees {tall}. One scale up and across."]
    told = []
    if scene.over_crop is not None:
        told.append(f"crowns reach up to {scene.over_crop:.1f} m over the crop")
    if scene.room is not None:
        told.append(f"booms and headers pass the guards by {scene.room:.2f} m at least")
    if told:
        sentence = "; ".join(told)
        drawn = f"Booms and guards drawn {BOOM:g} and {GUARD:g} m high."
        lines.append(f"{sentence[0].upper()}{sentence[1:]}. {drawn}")
    return lines


def _draw_ground(axes: Axes, scene: AlleyScene) -> None:
    """Draw the crop and the two tree strips."""
    low, high = scene.alley
    axes.add_patch(Rectangle((low, -0.5), high - low, 0.5, fc=tinted("#F0E442", 0.5), ec="black"))
    for start, end in scene.strips:
        strip = Rectangle((start, -0.5), end - start, 0.5, fc="white", ec="black")
        strip.set_hatch("////")
        axes.add_patch(strip)
    for t in (low, high):
        axes.axvline(t, color="0.6", linewidth=0.6, linestyle=":")


def _draw_tree(axes: Axes, tree: SceneTree) -> None:
    """Draw stem, crown and guard of a tree row."""
    if tree.guard:
        guard = Rectangle((tree.t - tree.guard, 0), 2 * tree.guard, GUARD, fill=False, ec="black")
        axes.add_patch(guard)
    if tree.heights is None or tree.crowns is None:
        axes.text(tree.t, 1.5, "?", ha="center", fontsize=9)
        return
    for height, crown, dashes in zip(tree.heights, tree.crowns, ("--", "-"), strict=True):
        base = min(tree.crown_base, height)
        axes.plot([tree.t, tree.t], [0, max(base, 0.3)], color="black", linewidth=1.6)
        deep = height - base
        if deep > 0:
            shape = Ellipse((tree.t, base + deep / 2), crown, deep, fill=False, ec="#009E73")
            shape.set(linestyle=dashes, linewidth=1.1)
            axes.add_patch(shape)


def _low_operations(scene: AlleyScene) -> list[str]:
    """Return the operations drawn below the ground."""
    return list(dict.fromkeys(one.operation for one in scene.passes if not one.high))


def _draw_machines(axes: Axes, scene: AlleyScene, step: float) -> None:
    """Draw booms and headers above the ground, and other passes below it."""
    rows = {name: -0.5 - step * (k + 0.6) for k, name in enumerate(_low_operations(scene))}
    high = list(dict.fromkeys(one.operation for one in scene.passes if one.high))
    rows |= {name: BOOM + 0.35 * k for k, name in enumerate(high)}
    numbers: dict[str, int] = {}
    for one in scene.passes:
        numbers[one.operation] = number = numbers.get(one.operation, 0) + 1
        y = rows[one.operation] + (0.1 * step if number % 2 else -0.1 * step) * (not one.high)
        axes.plot([one.reach0, one.reach1], [y, y], color="black", linewidth=1.4, marker="|")
    for name, y in rows.items():
        axes.annotate(
            name,
            (1.0, y),
            xycoords=("axes fraction", "data"),
            xytext=(3, 0),
            textcoords="offset points",
            va="center",
            fontsize=6.5,
            annotation_clip=False,
        )
