"""What reaches which strip, and which widths fit, as parts to show."""

from collections.abc import Sequence

from geolayout.appraisal.alleys.fit import AlleyFit
from geolayout.appraisal.alleys.words import ALLEY_HEAD, alley_rows, alley_words
from geolayout.appraisal.fit.band_widths import BandWidths
from geolayout.appraisal.fit.section import SectionFit
from geolayout.appraisal.fit.width_words import WIDTH_HEAD, bands_word, width_rows, width_words
from geolayout.appraisal.fit.words import STRIP_HEAD, STRIP_LEGEND, strip_rows
from geolayout.apps.show import Part
from geolayout.handover.words.reach import fit_words
from geolayout.plan.units import METRIC, Units

__all__ = ["alley_parts", "fit_parts", "width_parts"]


def fit_parts(fit: SectionFit, units: Units = METRIC) -> list[Part]:
    """
    Return the operation-by-strip table and what is to say of it.

    Parameters
    ----------
    fit : SectionFit
        What reaches which strip.
    units : Units
        Units of the lengths.
    """
    table = tuple(strip_rows(fit.table, units))
    words = tuple(fit_words(fit, units))
    title = "What reaches which strip"
    if not table:
        return [Part(title, words)]
    return [
        Part(title, (STRIP_LEGEND,), STRIP_HEAD, table),
        Part("Why, and what else to know", words),
    ]


def width_parts(widths: Sequence[BandWidths], units: Units = METRIC) -> list[Part]:
    """Return the widths that fit, best first, for the bands of each wished width."""
    return [
        Part(
            f"Widths that fit, {bands_word(one.bands)}",
            tuple(width_words(one, units)),
            WIDTH_HEAD,
            tuple(width_rows(one, units)),
        )
        for one in widths
    ]


def alley_parts(fits: Sequence[AlleyFit], units: Units = METRIC) -> list[Part]:
    """Return what widths that fit mean for the trees, for the bands of each wished width."""
    return [
        Part(
            f"Alleys of these widths, {bands_word(one.bands)}",
            tuple(alley_words(one, units)),
            ALLEY_HEAD,
            tuple(alley_rows(one, units)),
        )
        for one in fits
    ]
