"""Every caution of a layout, hazards first, each said once."""

from geolayout.appraisal.alleys.cautions import alley_cautions
from geolayout.appraisal.block_ends import block_end_cautions
from geolayout.appraisal.calendar.carried_sprays import carried_spray_cautions
from geolayout.appraisal.calendar.harvest_order import harvest_order_cautions
from geolayout.appraisal.calendar.undersown import sowing_window_cautions
from geolayout.appraisal.caution import Caution, worst_first
from geolayout.appraisal.driving.headland_order import headland_order_cautions
from geolayout.appraisal.fit.passes import fit_cautions
from geolayout.appraisal.fit.rows import row_fit_cautions
from geolayout.appraisal.fit.sprays import spray_cautions
from geolayout.appraisal.frames import frame_cautions
from geolayout.appraisal.hazards.buffers import buffer_cautions
from geolayout.appraisal.hazards.features import hazards
from geolayout.appraisal.hazards.gates import gate_cautions
from geolayout.appraisal.plan_notes import plan_cautions
from geolayout.appraisal.rotation.cautions import rotation_cautions
from geolayout.appraisal.shape import shape_cautions
from geolayout.appraisal.slope.cautions import slope_cautions
from geolayout.appraisal.slope.cold import cold_cautions
from geolayout.appraisal.slope.soil import soil_cautions
from geolayout.appraisal.strip_benefit import benefit_cautions
from geolayout.appraisal.trees.cautions import planting_cautions
from geolayout.appraisal.trees.pollination import pollination_cautions
from geolayout.appraisal.trial_cautions import trial_cautions
from geolayout.appraisal.turning import turning_cautions
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
    return worst_first(
        [
            *hazards(layout),
            *turning_cautions(layout),
            *headland_order_cautions(layout),
            *block_end_cautions(layout),
            *buffer_cautions(layout),
            *fit_cautions(layout),
            *row_fit_cautions(layout),
            *shape_cautions(layout),
            *gate_cautions(layout),
            *slope_cautions(layout),
            *soil_cautions(layout),
            *cold_cautions(layout),
            *alley_cautions(layout),
            *pollination_cautions(layout),
            *planting_cautions(layout),
            *spray_cautions(layout),
            *carried_spray_cautions(layout),
            *sowing_window_cautions(layout),
            *harvest_order_cautions(layout),
            *rotation_cautions(layout),
            *benefit_cautions(layout),
            *trial_cautions(layout),
            *plan_cautions(layout),
            *frame_cautions(layout),
        ]
    )
