"""
Shapefiles, looked over before GDAL sees them: a shapefile is several files that must agree.

Layout of the parts: ESRI Shapefile Technical Description, ESRI White Paper, July 1998, pages 2
to 4 and 23 (header of 100 bytes; lengths and places in words of two bytes), and dBASE III tables.
"""

import codecs
import struct
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.errors import FileError
from geolayout.land.boundary.finding import Finding
from geolayout.land.files.limits import MAX_RINGS, MAX_UNPACKED, check_rows, too_large
from geolayout.land.files.source import Source

__all__ = ["ShapefileParts", "check_shapefile"]

_HEADER = 100
_PIECE = 1_000_000
_POLYGONS = (5, 15, 25)
_PARTS = (".shp", ".shx", ".dbf", ".prj", ".cpg")


@dataclass(frozen=True, slots=True, eq=False)
class ShapefileParts:
    """
    What a shapefile is made of, once looked over.

    Attributes
    ----------
    contents : dict of str to bytes
        Part by part, where it must be handed on in memory: in a zip, or mended. Empty where the
        files on the disk will do.
    encoding : str or None
        Of its text, where no part tells it.
    findings : tuple of Finding
    """

    contents: dict[str, bytes]
    encoding: str | None
    findings: tuple[Finding, ...]


def check_shapefile(source: Source) -> ShapefileParts:
    """
    Look a shapefile over.

    Parameters
    ----------
    source : Source
        Its .shp part.

    Returns
    -------
    parts : ShapefileParts

    Raises
    ------
    FileError
        If a part breaks off, is of another kind, or holds too much.
    """
    partners = {suffix: source.partner(suffix) for suffix in _PARTS[1:]}
    contents = {".shp": source.content(MAX_UNPACKED)}
    for suffix, partner in partners.items():
        if partner is not None:
            contents[suffix] = partner.content(MAX_UNPACKED)
    if sum(map(len, contents.values())) > MAX_UNPACKED:
        size = sum(map(len, contents.values())) / 1e6
        raise too_large(source.name, f"{size:,.0f} MB", f"{MAX_UNPACKED / 1e6:,.0f} MB")
    said: tuple[Finding, ...] = ()
    mended = ".shx" not in contents
    if mended:
        contents[".shx"] = _rebuilt_index(contents[".shp"], source)
        said += (_no_index(source),)
    _check_shapes(contents[".shp"], contents[".shx"], source)
    if ".dbf" in contents:
        said += _check_table(contents[".dbf"], contents[".shx"], source)
    else:
        said += (_no_table(source),)
    encoding = _encoding(contents)
    if not contents.get(".prj", b"").isascii():
        # GDAL repeats it in its messages, and fiona breaks at letters that are not UTF-8.
        contents[".prj"] = contents[".prj"].decode("ascii", "replace").encode("ascii", "replace")
        mended = True
    handed_on = contents if mended or source.archive else {}
    return ShapefileParts(handed_on, encoding, said)


def _no_index(source: Source) -> Finding:
    sentence = (
        f"{source.name} came without its .shx file, which says where each shape starts;"
        " that was worked out from the shapes."
    )
    return Finding("missing part", sentence)


def _no_table(source: Source) -> Finding:
    sentence = f"{source.name} came without its .dbf file, which holds the names."
    return Finding("missing part", sentence)


def _breaks_off(source: Source, suffix: str) -> FileError:
    return FileError(
        f"{source.name} cannot be read: its {suffix} part breaks off or is damaged.",
        "It is shorter than it says, or not of its kind.",
        "Copy all parts of the shapefile again, or export it again.",
    )


def _rebuilt_index(shapes: bytes, source: Source) -> bytes:
    """Build the .shx part from the .shp part, record by record."""
    entries = []
    at = _HEADER
    while at + 8 <= len(shapes):
        (length,) = struct.unpack_from(">i", shapes, at + 4)
        end = at + 8 + 2 * length
        if length < 2 or end > len(shapes):
            raise _breaks_off(source, ".shp")
        entries.append(struct.pack(">ii", at // 2, length))
        check_rows(source.name, len(entries), 0)
        at = end
    words = (_HEADER + 8 * len(entries)) // 2
    return shapes[:24] + struct.pack(">i", words) + shapes[28:_HEADER] + b"".join(entries)


def _index(index: bytes) -> NDArray[np.int64]:
    """Read place and length of each shape, in bytes."""
    whole = len(index) - (len(index) - _HEADER) % 8
    words = np.frombuffer(index[_HEADER:whole], dtype=">i4").reshape(-1, 2)
    return 2 * words.astype(np.int64)


def _check_shapes(shapes: bytes, index: bytes, source: Source) -> None:
    """Refuse shapes that lie beyond the end of the file, or are too many for a field."""
    for suffix, content in ((".shp", shapes), (".shx", index)):
        if len(content) < _HEADER or content[:4] != b"\x00\x00\x27\x0a":
            raise _breaks_off(source, suffix)
    (stated,) = struct.unpack_from(">i", index, 24)
    entries = _index(index)
    check_rows(source.name, len(entries), int(entries[:, 1].clip(0).sum()) // 16)
    ends = entries.sum(axis=1) + 8
    if 2 * stated > len(index) or (entries < 0).any() or (ends > len(shapes)).any():
        raise _breaks_off(source, ".shp" if 2 * stated <= len(index) else ".shx")
    for place in entries[entries[:, 1] >= 44, 0]:
        kind, rings = struct.unpack_from("<i32xi", shapes, place + 8)
        if kind in _POLYGONS and rings > MAX_RINGS:
            raise too_large(source.name, f"a shape of {rings:,} rings", f"{MAX_RINGS:,} in one")


def _check_table(table: bytes, index: bytes, source: Source) -> tuple[Finding, ...]:
    """Refuse a table that breaks off; say where it has more rows than shapes, or fewer."""
    if len(table) < 32:
        raise _breaks_off(source, ".dbf")
    rows, header, width = struct.unpack_from("<IHH", table, 4)
    if header + rows * width > len(table) or header < 33 or width < 1:
        raise _breaks_off(source, ".dbf")
    shapes = len(_index(index))
    if rows == shapes:
        return ()
    sentence = f"{source.name} has {shapes} shapes, but its .dbf file has {rows} rows."
    question = "Are the parts from the same export? Names may stand at the wrong shapes."
    return (Finding("parts differ", sentence, question=question),)


def _encoding(contents: dict[str, bytes]) -> str | None:
    """
    Tell the encoding of the text where no part does.

    Without a .cpg file UTF-8 text would be read as Latin, so UTF-8 is tried first.
    """
    table = contents.get(".dbf")
    if table is None or ".cpg" in contents:
        return None
    decoder = codecs.getincrementaldecoder("utf-8")()
    try:
        for begin in range(int.from_bytes(table[8:10], "little"), len(table), _PIECE):
            decoder.decode(table[begin : begin + _PIECE])
        decoder.decode(b"", final=True)
    except UnicodeDecodeError:
        return None
    return "utf-8"
