"""Which operation reaches which strip, in sentences for paper."""

from geolayout.appraisal.fit.section import SectionFit, layout_fits
from geolayout.appraisal.fit.words import (
    strip_lines,
    strip_reasons,
    tramline_words,
    unsaid_words,
)
from geolayout.layout.build import Layout
from geolayout.plan.units import METRIC, Units

__all__ = ["fit_words", "reach_lines"]


def reach_lines(layout: Layout, units: Units = METRIC) -> list[str]:
    """
    Say which operation reaches which strip and why, block by block.

    Parameters
    ----------
    layout : Layout
        The layout.
    units : Units
        Units of the lengths.
    """
    return [
        f"{fit.block}: {line}" if fit.block else line
        for fit in layout_fits(layout)
        for line in [*strip_lines(fit.table, units), *fit_words(fit, units)]
    ]


def fit_words(fit: SectionFit, units: Units = METRIC) -> list[str]:
    """Say what is to say beside the table of one section: why, tramlines, what is not said."""
    return [
        *strip_reasons(fit.table, units),
        *tramline_words(fit.tramlines, units),
        *unsaid_words(fit.unsaid),
    ]
