"""A folder in one file: the same bytes from the same files."""

import zipfile
from collections.abc import Sequence
from pathlib import Path

__all__ = ["ZIP", "write_zip"]

ZIP = "handover.zip"
"""Name of the file in an output folder."""

FIXED_DATE = (1980, 1, 1, 0, 0, 0)
"""Date of every file in it."""

READABLE = 0o100644
"""A file that its owner may change and all may read."""

UNIX = 3

PACKED = frozenset({".png", ".tif", ".kmz", ".zip"})
"""Ends of names of what is packed already."""


def write_zip(folder: Path, names: Sequence[str], path: Path) -> None:
    """
    Write files of a folder as a zip.

    Parameters
    ----------
    folder : Path
        The folder.
    names : sequence of str
        Paths in it, with forward slashes.
    path : Path
        File to write.
    """
    with zipfile.ZipFile(path, "w") as archive:
        for name in sorted(names):
            told = zipfile.ZipInfo(name, FIXED_DATE)
            told.create_system, told.external_attr = UNIX, READABLE << 16
            packed = Path(name).suffix in PACKED
            how = zipfile.ZIP_STORED if packed else zipfile.ZIP_DEFLATED
            archive.writestr(told, (folder / name).read_bytes(), how)
