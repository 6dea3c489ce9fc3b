"""What was found in a boundary, or done to it."""

from dataclasses import dataclass

__all__ = ["Finding"]


@dataclass(frozen=True, slots=True)
class Finding:
    """
    One thing that was found in a boundary, or done to it.

    Attributes
    ----------
    kind : str
        Short key, such as "spike" or "crossing".
    sentence : str
        What a person should know, with value, unit and place.
    area_change : float, default 0
        Area gained, or lost if negative. [m2]
    places : tuple of (float, float)
        Where, longitude first, if it is at some places and not everywhere. [degrees]
    question : str
        What the person at the desk has to answer, "" where nothing is left open.
    """

    kind: str
    sentence: str
    area_change: float = 0.0
    places: tuple[tuple[float, float], ...] = ()
    question: str = ""
