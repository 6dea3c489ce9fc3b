"""Names that look like a name nobody knows, for the end of an error's sentence."""

from collections.abc import Iterable
from difflib import get_close_matches

__all__ = ["near_names"]


def near_names(name: str, known: Iterable[str]) -> str:
    """
    Return a sentence that lists the names nearest to one that is unknown.

    Parameters
    ----------
    name : str
        What was written.
    known : iterable of str
        What there is.

    Returns
    -------
    sentence : str
        Up to three near names, else all of them.

    Examples
    --------
    >>> near_names("beens", ["beans", "maize"])
    "Did you mean 'beans'?"
    """
    names = list(dict.fromkeys(known))
    near = get_close_matches(name, names, n=3, cutoff=0.6)
    if near:
        return f"Did you mean {' or '.join(repr(n) for n in near)}?"
    return f"There are: {', '.join(names)}." if names else "There are none."
