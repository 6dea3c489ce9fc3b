"""From the wish for the fewest hours to a resolved guide."""

from geolayout.appraisal.direction.options import compare
from geolayout.land.field import Field
from geolayout.layout.blocks.drawn import Drawn
from geolayout.plan.ground import Block
from geolayout.plan.guide import Guide, Origin
from geolayout.plan.plan import Plan

__all__ = ["WISH", "settle_choices"]

WISH = "fewest hours"
"""What a guide says that is to be chosen by hours."""


def settle_choices(plan: Plan, field: Field, drawn: Drawn) -> Plan:
    """
    Return the plan with every guide that wishes for the fewest hours resolved.

    Parameters
    ----------
    plan : Plan
        A plan without trials.
    field : Field
        The field.
    drawn : Drawn
        Lands and lines that the plan names by file.

    Returns
    -------
    plan : Plan
        Its other guides are as they were.

    Raises
    ------
    GeolayoutError
        If nothing is driven on a block, or nothing can be laid on it.
    """
    if not plan.blocks:
        if plan.guide is None or plan.guide.choose != WISH:
            return plan
        return plan.model_copy(update={"guide": _chosen(plan, None, field, drawn)})
    settled = plan
    for i, block in enumerate(plan.blocks):
        if plan.guide_of(block).choose == WISH:
            guide = _chosen(plan, block, field, drawn)
            blocks = list(settled.blocks)
            blocks[i] = block.model_copy(update={"guide": guide})
            settled = settled.model_copy(update={"blocks": tuple(blocks)})
    return settled


def _chosen(plan: Plan, block: Block | None, field: Field, drawn: Drawn) -> Guide:
    """Return the guide of the fewest hours among straight lines."""
    best = compare(plan, block, field, drawn, bent=False).options[0]
    return best.guide.model_copy(update={"origin": Origin(choose=WISH)})
