"""Hazards as marks on a map that a machine, a phone or a rover shows, by the map's own letters."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.caution import HAZARD, Caution
from geolayout.handover.pictures.letters import HAZARD_LETTERS
from geolayout.land.frames.frame import Frame

__all__ = ["HazardMark", "hazard_marks"]


@dataclass(frozen=True, slots=True, eq=False)
class HazardMark:
    """
    A hazard at its place.

    Attributes
    ----------
    letter : str
        Its letter on the map of the folder; its number where there are no letters left.
    kind : str
        Key by which it is acknowledged, or its own.
    sentence, remedy : str
        What it is and what can happen; what to do.
    acknowledged : str
        Who looked, or "not acknowledged"; "" where nothing is to acknowledge.
    xy : ndarray, shape (2,)
        Where it is, in the frame. [m]
    lonlat : ndarray, shape (2,)
        On WGS 84. [degrees]
    """

    letter: str
    kind: str
    sentence: str
    remedy: str
    acknowledged: str
    xy: NDArray[np.float64]
    lonlat: NDArray[np.float64]

    @property
    def name(self) -> str:
        """What stands beside the mark."""
        return f"HAZARD {self.letter} {self.kind}"

    @property
    def told(self) -> str:
        """All that is to be said about it."""
        said = f" ({self.acknowledged})" if self.acknowledged else ""
        return f"{self.sentence} {self.remedy}{said}"


def hazard_marks(cautions: Sequence[Caution], frame: Frame) -> tuple[HazardMark, ...]:
    """
    Return the hazards that have a place.

    Parameters
    ----------
    cautions : sequence of Caution
        Worst first.
    frame : Frame
        Of the field.

    Returns
    -------
    marks : tuple of HazardMark
        In the order of the cautions.
    """
    hazards = [caution for caution in cautions if caution.severity == HAZARD]
    return tuple(
        HazardMark(
            HAZARD_LETTERS[i] if i < len(HAZARD_LETTERS) else str(i + 1),
            hazard.hazard or hazard.key,
            hazard.sentence,
            hazard.remedy,
            hazard.acknowledged,
            np.array(hazard.place),
            frame.lonlat(np.array([hazard.place]))[0],
        )
        for i, hazard in enumerate(hazards)
        if hazard.place is not None
    )
