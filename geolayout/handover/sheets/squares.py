"""A code of squares that a telephone reads without a net: text, never an address."""

import segno

__all__ = ["QUIET", "squares_of"]

QUIET = 2.5
"""Light border that a reader needs, four squares of a small code; ISO/IEC 18004. [mm]"""


def squares_of(text: str) -> tuple[tuple[bool, ...], ...]:
    """
    Return a text as a QR code, ISO/IEC 18004, without its light border.

    A quarter of it may be dirty: it is read in a cab.

    Parameters
    ----------
    text : str
        What is read from it.

    Returns
    -------
    rows : tuple of tuple of bool
        Whether a square is dark, from the top row down.

    Examples
    --------
    >>> len(squares_of("TUC-P8F job_plant.pdf"))
    29
    """
    code = segno.make_qr(text, error="q", boost_error=False)
    return tuple(tuple(bool(square) for square in row) for row in code.matrix)
