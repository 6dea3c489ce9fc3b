"""
Reference frames: what coordinates on earth are fixed to, and from when they are.

A correction service gives places in one frame. Frames that are held to the whole earth see every
field wander with its plate, so such coordinates need an epoch beside them; frames that are fixed
to a plate do not. This module holds names and values only; `geolayout.land.frames.drift` measures.
"""

from dataclasses import dataclass

__all__ = ["FRAMES", "Reference", "ReferenceFrame", "stated_reference"]


@dataclass(frozen=True, slots=True)
class ReferenceFrame:
    """
    One reference frame.

    Attributes
    ----------
    epsg : int
        Its longitude and latitude in the EPSG register.
    dynamic : bool
        Whether fields wander in it, so that its coordinates need an epoch.
    """

    epsg: int
    dynamic: bool


FRAMES: dict[str, ReferenceFrame] = {
    "ITRF2008": ReferenceFrame(8999, dynamic=True),
    "ITRF2014": ReferenceFrame(9000, dynamic=True),
    "ITRF2020": ReferenceFrame(9990, dynamic=True),
    "WGS 84 (G1762)": ReferenceFrame(9057, dynamic=True),
    "WGS 84 (G2139)": ReferenceFrame(9755, dynamic=True),
    "WGS 84 (G2296)": ReferenceFrame(10606, dynamic=True),
    "ATRF2014": ReferenceFrame(9309, dynamic=True),
    "ETRS89": ReferenceFrame(9067, dynamic=False),
    "ETRF2000": ReferenceFrame(9067, dynamic=False),
    "ETRF2014": ReferenceFrame(9069, dynamic=False),
    "ETRF2020": ReferenceFrame(10571, dynamic=False),
    "NAD83(2011)": ReferenceFrame(6318, dynamic=False),
    "NAD83(CSRS)": ReferenceFrame(8255, dynamic=False),
    "GDA94": ReferenceFrame(4283, dynamic=False),
    "GDA2020": ReferenceFrame(7844, dynamic=False),
    "NZGD2000": ReferenceFrame(4167, dynamic=False),
    "SIRGAS 2000": ReferenceFrame(4674, dynamic=False),
    "JGD2011": ReferenceFrame(6668, dynamic=False),
}
"""
The frames that a service may be said to work in, a closed list.

Codes are those of the EPSG register, as PROJ has it. ETRS89 is measured as ETRF2000, its usual
realisation, and NAD83(CSRS) as its version 7; EPSG has the ensemble ETRS89 good to 0.1 m. "WGS 84"
by itself is left out: EPSG has it good to 2 m, which says nothing about rows.
"""


@dataclass(frozen=True, slots=True)
class Reference:
    """
    What coordinates are fixed to.

    Attributes
    ----------
    frame : str
        One of ``FRAMES``.
    epoch : float or None
        When they are from; None in a frame that is fixed to its plate. [year]
    """

    frame: str
    epoch: float | None = None

    @property
    def words(self) -> str:
        """
        What people call it.

        Examples
        --------
        >>> Reference("ITRF2014", 2026.9).words, Reference("ETRS89").words
        ('ITRF2014 of epoch 2026.9', 'ETRS89')
        """
        return self.frame if self.epoch is None else f"{self.frame} of epoch {self.epoch:.10g}"


def stated_reference(frame: object, epoch: object) -> Reference | None:
    """
    Return what a file says its coordinates are fixed to.

    Parameters
    ----------
    frame, epoch : object
        As they stand in the file, absent as None.

    Returns
    -------
    reference : Reference or None
        None where too little is said: no frame that is known here, or one in which fields wander
        without an epoch. The epoch of a frame that is fixed to its plate is left behind.

    Examples
    --------
    >>> stated_reference("ETRS89", 2026.9), stated_reference("ITRF2014", None)
    (Reference(frame='ETRS89', epoch=None), None)
    """
    if not isinstance(frame, str) or frame not in FRAMES:
        return None
    if not FRAMES[frame].dynamic:
        return Reference(frame)
    if isinstance(epoch, bool) or not isinstance(epoch, int | float) or not 1980 <= epoch <= 2200:
        return None
    return Reference(frame, float(epoch))
