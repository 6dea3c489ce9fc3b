"""GeoParquet, through geopandas, after a look at how much the file would unfold to."""

import io
import warnings
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely
from pyproj import CRS
from shapely.geometry.base import BaseGeometry

from geolayout.errors import FileError
from geolayout.land.boundary.finding import Finding
from geolayout.land.files.limits import MAX_UNPACKED, check_rows, too_large
from geolayout.land.files.sheet import Row, Sheet
from geolayout.land.files.source import Source
from geolayout.land.files.wording import library_words, listed, shown

if TYPE_CHECKING:
    import geopandas as gpd
    import pandas as pd
    import pyarrow as pa
    from pyarrow.parquet import FileMetaData, ParquetFile

__all__ = ["read_parquet"]

_MAX_VALUES = 10_000_000
"""Values of all columns; a few bytes of a file may stand for any number of equal ones."""


def read_parquet(source: Source, layer: str | None) -> Sheet:
    """
    Read a GeoParquet file.

    Parameters
    ----------
    source : Source
        The file.
    layer : str or None
        A column of shapes; without it the one that the file calls its primary one is read.

    Returns
    -------
    sheet : Sheet
        The system is what the file states: longitude and latitude where it is silent, none
        where it says that it is not known (GeoParquet 1.1, column metadata, crs).

    Raises
    ------
    FileError
        If pyarrow is not installed, it is no GeoParquet, it unfolds to too much, or it has no
        such column.
    """
    content = source.content(MAX_UNPACKED)
    _check_size(source.name, _opened(source.name, content))
    frame, columns = _frames(source.name, content)
    shapes = [str(column) for column in frame.columns]
    active = _one_column(source, layer, str(frame.geometry.name), shapes)
    geometries = frame[active].to_numpy()
    check_rows(source.name, len(geometries), int(shapely.get_num_coordinates(geometries).sum()))
    records = columns.where(columns.notna(), None).itertuples(index=False, name=None)
    rows = tuple(
        Row(_drawn(shape), _named(columns.columns, record), number=str(i))
        for i, (shape, record) in enumerate(zip(geometries, records, strict=True), start=1)
    )
    crs = frame[active].crs
    others = [column for column in shapes if column != active] if layer is None else []
    return Sheet(source, rows, None if crs is None else CRS(crs), _beside(source, others))


def _opened(name: str, content: bytes) -> "ParquetFile":
    """Open the file, and its columns of text so that equal values are held once."""
    try:
        import pyarrow as pa  # noqa: PLC0415  # an extra
        from pyarrow import parquet  # noqa: PLC0415
    except ImportError as error:
        raise FileError(
            f"{name} is a Parquet file.",
            "The library pyarrow, which reads these, is not installed.",
            "Run: pip install 'geolayout[parquet]'.",
        ) from error
    try:
        schema = parquet.read_schema(io.BytesIO(content))
        texts = [field.name for field in schema if _is_text(field.type)]
        return parquet.ParquetFile(io.BytesIO(content), read_dictionary=texts)
    except (pa.ArrowException, OSError, ValueError) as error:
        raise _cannot_be_read(name, error) from error


def _is_text(kind: "pa.DataType") -> bool:
    from pyarrow import types  # noqa: PLC0415  # an extra

    tests = (types.is_string, types.is_large_string, types.is_binary, types.is_large_binary)
    return any(test(kind) for test in tests)


def _check_size(name: str, file: "ParquetFile") -> None:
    """Refuse a file that would unfold to more than is read; what it says of itself comes first."""
    import pyarrow as pa  # noqa: PLC0415  # as above

    about = file.metadata
    if b"geo" not in (about.metadata or {}):
        raise FileError(
            f"{name} is a Parquet file without shapes.",
            "GeoParquet keeps a note on its columns of shapes, and there is none.",
            "Save it with geopandas or GDAL, which write the note.",
        )
    check_rows(name, about.num_rows, 0)
    size, values = _stated_size(about)
    if size > MAX_UNPACKED:
        raise too_large(name, f"{size / 1e6:,.0f} MB", f"{MAX_UNPACKED / 1e6:,.0f} MB")
    if values > _MAX_VALUES:
        raise too_large(name, f"{values:,} values", f"{_MAX_VALUES:,}")
    try:
        unfolded = sum(_text_size(group) for group in _groups(file))
    except (pa.ArrowException, OSError, ValueError) as error:
        raise _cannot_be_read(name, error) from error
    if unfolded > MAX_UNPACKED:
        raise too_large(name, f"{unfolded / 1e6:,.0f} MB", f"{MAX_UNPACKED / 1e6:,.0f} MB")


def _stated_size(about: "FileMetaData") -> tuple[int, int]:
    """Add up the bytes and the values of all columns, as the file states them."""
    groups = [about.row_group(i) for i in range(about.num_row_groups)]
    chunks = [group.column(i) for group in groups for i in range(group.num_columns)]
    size = sum(max(chunk.total_uncompressed_size, 0) for chunk in chunks)
    return size, sum(max(chunk.num_values, 0) for chunk in chunks)


def _groups(file: "ParquetFile") -> list[Any]:
    return [file.read_row_group(i) for i in range(file.num_row_groups)]


def _text_size(table: Any) -> int:  # noqa: ANN401  # pyarrow has no types
    """Measure the text of a table as it would be with each value written out."""
    import pyarrow as pa  # noqa: PLC0415  # as above
    import pyarrow.compute as pc  # noqa: PLC0415

    size = 0
    for column in table.columns:
        for chunk in column.chunks:
            if pa.types.is_dictionary(chunk.type):
                lengths = pc.binary_length(chunk.dictionary).to_numpy(zero_copy_only=False)
                indices = chunk.indices.drop_null().to_numpy(zero_copy_only=False)
                size += int(lengths[indices].astype(np.int64).sum())
    return size


def _frames(name: str, content: bytes) -> "tuple[gpd.GeoDataFrame, pd.DataFrame]":
    """Read the columns of shapes, and the others as Python has them."""
    import geopandas as gpd  # noqa: PLC0415  # half a second at start-up
    import pyarrow as pa  # noqa: PLC0415  # as above

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what matters of it is checked here
            frame = gpd.read_parquet(io.BytesIO(content))
            drawn = frame.dtypes == "geometry"
            # Only here is text taken out of its column, and found to be none.
            return frame.loc[:, drawn], frame.loc[:, ~drawn].astype(object)
    except _GEOPANDAS_ERRORS + (pa.ArrowException,) as error:  # noqa: RUF005
        raise _cannot_be_read(name, error) from error


# A note on the columns that is not as it should be ends in any of these.
_GEOPANDAS_ERRORS = (
    ValueError,
    LookupError,
    TypeError,
    AttributeError,
    NotImplementedError,
    OverflowError,
    RecursionError,
    OSError,
    RuntimeError,
    shapely.errors.ShapelyError,
)


def _cannot_be_read(name: str, error: Exception) -> FileError:
    return FileError(
        f"{name} cannot be read as GeoParquet.",
        f"The library that reads it says: {library_words(error)}.",
        "Export it again, as GeoParquet or as GeoPackage.",
    )


def _one_column(source: Source, layer: str | None, primary: str, shapes: list[str]) -> str:
    """Settle which column of shapes is meant."""
    if layer in shapes:
        return layer
    if layer is None or source.answers_to(layer):
        return primary
    raise FileError(
        f"Layer '{shown(layer)}' of {source.name} is asked for.",
        f"Its columns of shapes are: {listed(shapes)}.",
        "Choose one of these, or leave the layer out.",
    )


def _beside(source: Source, others: list[str]) -> tuple[Finding, ...]:
    if not others:
        return ()
    sentence = f"{source.name} has other columns of shapes: {listed(others)}. Layer reads them."
    return (Finding("passed over", sentence),)


def _drawn(shape: BaseGeometry | None) -> BaseGeometry | None:
    return None if shape is None or shape.is_empty else shape


def _named(columns: "pd.Index", record: Iterable[object]) -> dict[str, object]:
    return {str(name): _plain(value) for name, value in zip(columns, record, strict=True)}


def _plain(value: object) -> object:
    """Give a number of Python in place of one of numpy."""
    return value.item() if isinstance(value, np.generic) else value
