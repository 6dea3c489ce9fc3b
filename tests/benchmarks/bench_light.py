"""
Light across an alley, hour by hour, and over a field, against plain loops over light and trees.

Over a field the plain way is a loop over directions of light and over trees, each for all cells at
once: a loop over cells too would take minutes.
"""

from collections.abc import Iterator
from math import exp, sqrt

import numpy as np
from race import Race, Totals

from geolayout.appraisal.light.shade import Crowns, through_crowns
from geolayout.appraisal.light.sky import sky_directions
from geolayout.appraisal.light.sun import season_suns
from geolayout.appraisal.light.thrown import light_over

YEARS = range(5, 15)
"""Ten years; a tree grows by 0.6 m in each. Invented."""

AIM = 50
"""Times the plain way."""

SIDE = 108.0
"""Of a square field of 1.17 ha with tree rows 27 m apart, trees 8 m apart. [m]"""

AIM_OVER = 12
"""Times the plain way, on cells of 2 m; more on a larger field."""

JUNE = 6


def races() -> Iterator[Race]:
    """Yield the races of this module."""
    yield _alley_race()
    yield _field_race()


def _field_race() -> Race:
    """Return a race of one day in June, sun and sky, over a field."""
    steps = np.arange(1.0, SIDE, 2.0)
    cells = np.array([(x, y, 0.0) for x in steps for y in steps])
    feet = [(x, y, 0.0) for x in np.arange(13.5, SIDE, 27.0) for y in np.arange(4.0, SIDE, 8.0)]
    crowns, suns = Crowns(np.array(feet), 2.0, 12.0, 6.0, 1.0), season_suns(52.0, 7.0, (6, 6), 30)
    level = np.repeat([[0.0, 0.0, 1.0]], len(cells), axis=0)

    def ours() -> list[float]:
        return np.concatenate(light_over(cells, level, suns, {JUNE: [crowns]})).tolist()

    def plain() -> list[float]:
        sky = sky_directions()
        every = [(suns.up, suns.weight), (sky, sky[:, 2] / sky[:, 2].sum())]
        return np.concatenate([_weighed(cells, crowns, *one) for one in every]).tolist()

    work = f"light over a field, {len(cells)} cells, {len(feet)} trees"
    return Race(work, ours, plain, _totals, _totals, AIM_OVER)


def _weighed(cells: np.ndarray, crowns: Crowns, up: np.ndarray, weight: np.ndarray) -> np.ndarray:
    """Light at all cells, one direction and one tree after the other."""
    a, c = crowns.width / 2.0, (crowns.top - crowns.base) / 2.0
    middle = crowns.foot + np.array([0.0, 0.0, (crowns.base + crowns.top) / 2.0])
    light = np.zeros(len(cells))
    for way, share in zip(up / [a, a, c], weight, strict=True):
        stretch = sqrt((way**2).sum())
        met = np.zeros(len(cells))
        for place in middle:
            off = (place - cells) / [a, a, c]
            ahead = off @ way / stretch
            left = 1.0 - (off**2).sum(axis=1) + ahead**2
            hit = (left > 0.0) & (ahead > 0.0)
            met[hit] += 2.0 * np.sqrt(left[hit]) / stretch
        light += share * np.exp(-0.5 * crowns.density * met)
    return light


def _alley_race() -> Race:
    """Return a race of every hour of every twelfth day of a season, ten years."""
    suns = season_suns(52.0, 7.0, (4, 7), 12)
    cells = np.column_stack([np.arange(0.5, 27.0), np.zeros(27), np.zeros(27)])
    rows = [(x, y, 0.0) for x in (0.0, 27.0) for y in np.arange(-30.0, 31.0, 5.0)]
    crowns = [Crowns(np.array(rows), 2.0, 0.6 * year, 0.4 * year, 1.0) for year in YEARS]

    def ours() -> list[float]:
        light = (through_crowns(cells, one, suns.up) @ suns.weight for one in crowns)
        return np.concatenate(list(light)).tolist()

    def plain() -> list[float]:
        sun = list(zip(suns.up.tolist(), suns.weight.tolist(), strict=True))
        return [_light(cell, sun, one) for one in crowns for cell in cells.tolist()]

    return Race("light, 27 cells, 26 trees, ten years", ours, plain, _totals, _totals, AIM)


def _light(cell: list[float], sun: list[tuple[list[float], float]], crowns: Crowns) -> float:
    """Light at one cell over a season, one hour and one tree after the other."""
    a, c = crowns.width / 2.0, (crowns.top - crowns.base) / 2.0
    middle = (crowns.base + crowns.top) / 2.0
    light = 0.0
    for (east, north, up), weight in sun:
        stretch = sqrt((east / a) ** 2 + (north / a) ** 2 + (up / c) ** 2)
        met = 0.0
        for x, y, z in crowns.foot.tolist():
            off = ((x - cell[0]) / a, (y - cell[1]) / a, (z + middle - cell[2]) / c)
            ahead = (off[0] * east / a + off[1] * north / a + off[2] * up / c) / stretch
            left = 1.0 - (off[0] ** 2 + off[1] ** 2 + off[2] ** 2) + ahead**2
            if left > 0.0 and ahead > 0.0:
                met += 2.0 * sqrt(left) / stretch
        light += weight * exp(-0.5 * crowns.density * met)
    return light


def _totals(light: list[float]) -> Totals:
    return {"cells": len(light), "light": float(sum(light))}
