"""A small planting that tests share: two rows of 24 trees, 5 m apart. All invented."""

import shapely
from appraisal_layouts import GRASS, layout_of

LAND = shapely.box(0, 0, 60, 120)


def planted(planting="", *parts, keys="", features=()):
    """Lay out two tree rows with further keys of their trees and of the planting."""
    pattern = f"""
[[pattern]]
name = "p"
bands = [
  {{ name = "C", width = 18.0, stand = "grass" }},
  {{ name = "T", width = 4.0, trees = {{ in_row_spacing = 5.0{keys and f", {keys}"} }} }},
]
close_with = "C"
[planting]
{planting}
"""
    return layout_of(GRASS, pattern, *parts, land=LAND, features=features)
