"""How many of a thing, in words; every screen and sheet says it alike."""

__all__ = ["counted"]


def counted(count: int, one: str, more: str) -> str:
    """
    Return a number of things in words.

    Examples
    --------
    >>> counted(1, "pass", "passes"), counted(2, "pass", "passes")
    ('1 pass', '2 passes')
    """
    return f"{count} {one if count == 1 else more}"
