"""What can go wrong, said so that a person in a yard can act on it."""

__all__ = [
    "BoundaryError",
    "FileError",
    "GeolayoutError",
    "LayoutError",
    "MeasureError",
    "PlanError",
]


class GeolayoutError(Exception):
    """
    Base of every error that a user can mend.

    Parameters
    ----------
    found : str
        What was found, with value and unit. One sentence.
    why : str, optional
        Why it cannot be. One sentence.
    remedy : str, optional
        What to do. One sentence.
    """

    def __init__(self, found: str, why: str = "", remedy: str = "") -> None:
        self.found = found
        self.why = why
        self.remedy = remedy
        super().__init__(" ".join(part for part in (found, why, remedy) if part))


class BoundaryError(GeolayoutError, ValueError):
    """The field's outline or a feature beside it cannot be used as drawn."""


class PlanError(GeolayoutError, ValueError):
    """A key of the plan has a value that cannot be, or is missing or unknown."""


class MeasureError(GeolayoutError, ValueError):
    """A length, width, spacing or rate that does not fit the others."""


class LayoutError(GeolayoutError, ValueError):
    """The plan is sound and the field is sound, but the one does not fit on the other."""


class FileError(GeolayoutError, OSError):
    """A file or folder cannot be read or written."""

    def __str__(self) -> str:
        """Return the three parts as one line, not the form of ``OSError``."""
        return " ".join(part for part in (self.found, self.why, self.remedy) if part)
