"""
Planned on the terrain against planned flat, on the open fields with heights.

The terms are those of Jin and Tang's study of coverage on three-dimensional terrain (abstract:
terrain-aware lines saved 10.3 % of turning cost, 24.7 % of erosion cost and 81.2 % of the skipped
area on their fields). The figures are ours, by definitions of our own, on other fields, and are
printed as they come out; nothing is claimed to be reproduced:

- worked: land that bands lie on; the ends of bent lines take more headland than straight ones, so
  the two layouts do not crop the same land;
- turning: the length driven in turns, every stretch of pass after the first of its block being
  turned into by the turn of a machine of 6.5 m radius from 6 m beside, per hectare worked;
- erosion: the slope factor of the universal soil loss equation along the rows, 65.41 sin^2 + 4.56
  sin + 0.065 (Wischmeier and Smith 1978, from memory), averaged over their length, by the heights
  as the file has them and not averaged;
- skipped: land within the headland that no band lies on, and gaps where the ground is steeper
  across the rows than the passes were spaced for, point by point, as a share of that land.

Flat planning is straight along the longest edge, its widths level; planning on the terrain is on
the contour, its widths along the ground.
"""

from dataclasses import replace

import numpy as np
import pytest
from strategies import faults_of_ground, laid, plan_of, real_folder

from geolayout.appraisal.slope.grades import grades_along
from geolayout.land.field import make_field
from geolayout.land.readers import read_boundaries
from geolayout.land.terrain.heights import read_terrain
from geolayout.land.terrain.terrain import points_over
from geolayout.plan.turns import turn_length

PLAN = """
[headland]
where = "ends"
width = 18.0
[[pattern]]
name = "p"
bands = [ { name = "A", width = 12.0, stand = "maize" } ]
[[machine]]
name = "planter"
working_width = 6.0
turning_radius = 6.5
[[operation]]
name = "plant"
machine = "planter"
stands = ["maize"]
"""
WAYS = {
    "flat": 'choose = "longest edge"',
    "terrain": 'kind = "contour"\nwidths = "ground"',
}


def field_with_heights(site):
    folder = real_folder()
    everything = read_boundaries(folder / "dk_research_fields.gpkg")
    (drawn,) = (one for one in everything if one.name == f"dk_{site}_outline")
    field = make_field(drawn.geometry, name=site)
    terrain, _ = read_terrain(folder / f"dem_dk_{site}.tif", field, unit="m")
    return replace(field, terrain=terrain)


def figures(layout):
    """Land worked [ha], turning [m/ha], erosion [-] and skipped share [-] of one layout."""
    terrain = layout.field.terrain
    pieces = np.bincount(layout.passes.block, minlength=len(layout.blocks))
    turning = float(np.maximum(pieces - 1, 0).sum() * turn_length(6.5, 6.0))
    steps = grades_along(terrain, layout.rows.lines)
    sine = np.sin(np.arctan(np.abs(steps.grade[steps.known]) / 100.0))
    factor = 65.41 * sine**2 + 4.56 * sine + 0.065
    erosion = float(np.average(factor, weights=steps.length[steps.known]))
    crop = sum(block.crop_land.area for block in layout.blocks)
    left = layout.ground.area[layout.ground.kind == "left over"].sum()
    gaps = sum(gap_area(terrain, block) for block in layout.blocks)
    worked = crop / 1e4
    return worked, turning / worked, erosion, float((left + gaps) / (crop + left))


def gap_area(terrain, block):
    """Ground that passes spaced by one figure leave between them where it is steeper. [m2]"""
    xy = points_over(block.crop_land, terrain.cell, 60)
    across = np.radians(block.guides.direction(xy) + 90.0)
    rise = (terrain.gradient(xy) * np.stack([np.sin(across), np.cos(across)], axis=1)).sum(axis=1)
    rise = rise[np.isfinite(rise)]
    gap = (block.guides.flat or 1.0) * np.sqrt(1.0 + rise**2) - 1.0
    return float(np.maximum(gap, 0.0).mean() * block.crop_land.area) if len(gap) else 0.0


@pytest.mark.skipif(real_folder() is None, reason="no open field data beside the repository")
@pytest.mark.every_field
@pytest.mark.parametrize("site", ["vindum", "silstrup", "faardrup"])
def test_terrain_against_flat(site):
    field = field_with_heights(site)
    found = {}
    for way, guide in WAYS.items():
        layout = laid(field, plan_of(PLAN, guide=guide))
        assert faults_of_ground(layout) == []
        found[way] = figures(layout)
    for name, flat, terrain in zip(
        ("worked [ha]", "turning [m/ha]", "erosion [-]", "skipped [-]"),
        *found.values(),
        strict=True,
    ):
        print(f"{site}, {name}: flat {flat:.4g}, terrain {terrain:.4g}")
    # What must hold however they come out; the factor of level rows is 0.065.
    for worked, turning, erosion, skipped in found.values():
        assert 0.0 < worked <= field.area / 1e4
        assert turning >= 0.0
        assert erosion >= 0.065
        assert 0.0 <= skipped <= 1.0
