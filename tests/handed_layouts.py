"""What sheets are made of, for the samples and for fields on paper."""

from functools import cache

from sample_layouts import paper_layout, sample_layout

from geolayout.appraisal.cautions import cautions
from geolayout.appraisal.driving.season import driving_of
from geolayout.appraisal.quantities.figures import figures
from geolayout.handover.matchcode import match_code
from geolayout.handover.sheets.handed import Handed
from geolayout.plan.units import IMPERIAL, METRIC

SHEETED = ("pond_piece", "market_plots", "slough_quarter", "wire_field", "hive_ground")
"""Samples that sheets are tried on: most operations, most strips, largest, wires, bees."""

IN_FEET = ("pond_piece", IMPERIAL)
"""One of them in feet and acres."""


def handed_of(layout, units=METRIC, name="plan"):
    """Return what sheets of a layout are made of."""
    told = (figures(layout), driving_of(layout), cautions(layout))
    return Handed(name, layout, *told, units, match_code(layout))


@cache
def handed_sample(name, units=METRIC):
    """Return what sheets of a sample are made of."""
    return handed_of(sample_layout(name), units, name)


def handed_paper(*args, units=METRIC):
    """Return what sheets of a plan on paper are made of."""
    return handed_of(paper_layout(*args), units)
