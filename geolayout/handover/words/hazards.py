"""Hazards in words, for the pages and entries that stand beside files of every kind."""

from collections.abc import Sequence

from geolayout.appraisal.caution import HAZARD, Caution
from geolayout.handover.cautions import told_whole
from geolayout.handover.pictures.letters import MOST_HAZARDS
from geolayout.handover.pictures.looks import wrapped

__all__ = ["NO_HAZARD", "hazard_lines", "hazard_sentence"]

WIDEST = 98
"""Letters of the longest line that is wrapped. [-]"""

NO_HAZARD = "HAZARDS: none was given. That does not mean there is none. Look."
"""What is said where nobody drew or stated one."""


def hazard_lines(cautions: Sequence[Caution]) -> list[str]:
    """
    Return all hazards as lines of a page, or that none was given.

    Parameters
    ----------
    cautions : sequence of Caution
        Worst first; those that are no hazards are left out.

    Returns
    -------
    lines : list of str
        Of at most 98 letters, an empty one at the end.
    """
    hazards = [caution for caution in cautions if caution.severity == HAZARD]
    if not hazards:
        return [NO_HAZARD, ""]
    told = ["HAZARDS"]
    for one in hazards:
        told += ["", *wrapped(told_whole(one), WIDEST)]
    return [*told, ""]


def hazard_sentence(cautions: Sequence[Caution]) -> str:
    """
    Return the worst hazards in one paragraph, and how many more there are.

    Parameters
    ----------
    cautions : sequence of Caution
        Worst first; those that are no hazards are left out.
    """
    hazards = [caution for caution in cautions if caution.severity == HAZARD]
    if not hazards:
        return NO_HAZARD
    told = [told_whole(one) for one in hazards[:MOST_HAZARDS]]
    left = len(hazards) - len(told)
    more = [f"{left} more in summary.txt."] if left else []
    return " ".join(["HAZARDS:", *told, *more])
