"""
Numbers as people write coordinates: decimal point or comma, or degrees, minutes and seconds.

Nothing is guessed: a cell that can be read in two ways is an error that says which two.
"""

import re
from reprlib import repr as brief

__all__ = ["is_angle", "parse_angle", "parse_number"]

_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)(e-\d+)?", re.IGNORECASE)

_THOUSANDS = re.compile(r"[+-]?\d{1,3}([.,'’ \u00a0\u202f]\d{3}){2,}([.,]\d+)?")

_PART = r"(\d+(?:[.,]\d*)?)"
_ANGLE = re.compile(
    rf"(?P<before>[NSEW])?\s*(?P<sign>[+-])?\s*{_PART}\s*[°º:\s]\s*"
    rf"(?:{_PART}\s*(?:['′’‘:\s]|$)\s*)?(?:{_PART}\s*(?:[\"″”“]|''|′′|’’)?\s*)?"
    r"(?P<after>[NSEW])?",
    re.IGNORECASE,
)
_WITH_LETTER = re.compile(
    rf"(?:(?P<before>[NSEW])\s*)?(?P<sign>[+-])?{_PART}\s*(?P<after>[NSEW])?", re.IGNORECASE
)
_IN_LETTERS = re.compile(r"(\d)\s*d\s*([\d.,]+)\s*m\s*([\d.,]+)\s*s")

_LONGEST = 60  # letters; a longer cell is no coordinate

_SIDES = {"longitude": "EW", "latitude": "NS"}


def is_angle(cell: str) -> bool:
    """
    Tell whether a cell is degrees for certain: by its signs or its letter.

    Examples
    --------
    >>> is_angle("52°30'N"), is_angle("N 52.5"), is_angle("52.5")
    (True, True, False)
    """
    return _NUMBER.fullmatch(cell) is None and _angle_match(cell) is not None


def parse_number(cell: str) -> float:
    """
    Read a plain number, with a decimal point or a decimal comma.

    Parameters
    ----------
    cell : str
        Without blanks around it.

    Returns
    -------
    number : float

    Raises
    ------
    ValueError
        If it is no such number. The text is the end of a sentence.

    Examples
    --------
    >>> parse_number("500123,25")
    500123.25
    """
    if len(cell) <= _LONGEST and _NUMBER.fullmatch(cell):
        return float(cell.replace(",", "."))
    raise ValueError(_fault(cell))


def _fault(cell: str) -> str:
    """Say what is wrong with a cell that is no number."""
    if not cell:
        return "is empty"
    if len(cell) > _LONGEST:
        return f"is {brief(cell)}, which is no number"
    if re.fullmatch(r"[+-]?\d[\d.,]*e\+?\d+", cell, re.IGNORECASE):
        return f"is {brief(cell)}, a power of ten that lost its last digits"
    if _THOUSANDS.fullmatch(cell) or ("." in cell and "," in cell):
        return f"is {brief(cell)}, which has marks for thousands in it"
    return f"is {brief(cell)}, which is no number"


def parse_angle(cell: str, axis: str) -> float:
    r"""
    Read a longitude or a latitude, in any of the ways they are written.

    Parameters
    ----------
    cell : str
        Decimal degrees, degrees and minutes, or these and seconds; with N, S, E, W or a sign.
    axis : {"longitude", "latitude"}
        Which of the two it has to be.

    Returns
    -------
    angle : float
        East and north are positive. [degrees]

    Raises
    ------
    ValueError
        If it cannot be read. The text is the end of a sentence.

    Examples
    --------
    >>> parse_angle("52°30'36\"N", "latitude")
    52.51
    >>> parse_angle("W 10° 30.0'", "longitude")
    -10.5
    """
    found = None if _NUMBER.fullmatch(cell) else _angle_match(cell)
    if found is None:
        return parse_number(cell)
    letter = (found["before"] or "") + (found["after"] or "")
    if len(letter) > 1 or (letter and found["sign"]):
        raise ValueError(f"is {brief(cell)}, which names its side twice")
    if letter and letter.upper() not in _SIDES[axis]:
        raise ValueError(f"is {brief(cell)}, which is no {axis}")
    side = -1.0 if letter.upper() in ("S", "W") or found["sign"] == "-" else 1.0
    return side * _degrees(cell, [part for part in found.groups() if _is_part(part)])


def _angle_match(cell: str) -> re.Match[str] | None:
    if len(cell) > _LONGEST:
        return None
    plain = _IN_LETTERS.sub(r"\1°\2'\3", cell)  # so that an s is never taken for south
    return _WITH_LETTER.fullmatch(plain) or _ANGLE.fullmatch(plain)


def _is_part(group: str | None) -> bool:
    return group is not None and group[:1].isdigit()


def _degrees(cell: str, parts: list[str]) -> float:
    """Add up degrees, minutes and seconds; only the last of them may have decimals."""
    if any("." in part or "," in part for part in parts[:-1]):
        raise ValueError(f"is {brief(cell)}, with decimals before its last part")
    whole, *rest = [float(part.replace(",", ".")) for part in parts]
    if any(part >= 60 for part in rest):
        raise ValueError(f"is {brief(cell)}, with 60 or more minutes or seconds")
    seconds = sum(part * size for part, size in zip(rest, (60, 1), strict=False))
    return whole + seconds / 3600
