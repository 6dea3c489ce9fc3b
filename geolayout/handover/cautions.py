"""A caution as other programs read it, and as sentences."""

from dataclasses import asdict
from typing import Any

import numpy as np

from geolayout.appraisal.caution import Caution
from geolayout.land.frames.frame import Frame

__all__ = ["caution_dict", "told_whole"]


def caution_dict(caution: Caution, frame: Frame) -> dict[str, Any]:
    """
    Return a caution with its place as longitude and latitude beside that in the frame.

    Parameters
    ----------
    caution : Caution
        The caution.
    frame : Frame
        Frame of the field it was found in.
    """
    said = asdict(caution)
    said["place_m"] = said.pop("place")
    said["place_lon_lat"] = None
    if caution.place is not None:
        lonlat = frame.lonlat(np.array([caution.place]))[0]
        said["place_lon_lat"] = np.round(lonlat, 9).tolist()
    return said


def told_whole(caution: Caution) -> str:
    """Return a caution as sentences, with who looked at it where that is asked."""
    looked = f" ({caution.acknowledged})" if caution.acknowledged else ""
    return f"{caution.sentence} {caution.remedy}{looked}"
