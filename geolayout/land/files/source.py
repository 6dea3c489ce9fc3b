"""The file that is meant: on its own, or inside an archive, a folder or not."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath
from zipfile import BadZipFile, ZipFile

from geolayout.errors import FileError

__all__ = ["Source", "find_source"]

_ARCHIVES = (".zip", ".kmz", ".shz")


@dataclass(frozen=True, slots=True)
class Source:
    """
    A file to read, on its own or inside an archive.

    Attributes
    ----------
    file : path
        Where it is; inside an archive, its path there.
    archive : path, optional
        The zip that holds it.
    """

    file: Path | PurePosixPath
    archive: Path | None = None

    @property
    def suffix(self) -> str:
        """The end of its name, in lower case."""
        return self.file.suffix.lower()

    @property
    def location(self) -> str:
        """Its name as GDAL takes it."""
        return (
            f"/vsizip/{{{self.archive.resolve()}}}/{self.file}" if self.archive else str(self.file)
        )

    def content(self) -> bytes:
        """
        Read it whole.

        Raises
        ------
        FileError
            If the system or the archive does not give it.
        """
        try:
            if self.archive is None:
                return Path(self.file).read_bytes()
            with ZipFile(self.archive) as archive:
                return archive.read(str(self.file))
        except (OSError, BadZipFile, RuntimeError) as error:
            raise FileError(
                f"{self.file.name} cannot be opened.",
                f"The system says: {error}.",
                "Check that it is whole, not locked by a password, and yours to read.",
            ) from error

    def check_layer(self, layer: str | None) -> None:
        """
        Refuse a layer of another name, for a file that is one layer.

        Raises
        ------
        FileError
            If the layer is not called as the file is.
        """
        if layer not in (None, self.file.stem, self.file.name, str(self.file)):
            raise FileError(
                f"Layer {layer!r} of {self.file.name} is asked for.",
                "A file of this kind has no layers of other names than its own.",
                "Leave the layer out.",
            )

    def partner(self, suffix: str) -> "Source | None":
        """Find the file of the same name with another suffix, in either case."""
        for file in self._neighbours():
            if file.stem == self.file.stem and file.suffix.lower() == suffix:
                return replace(self, file=file)
        return None

    def _neighbours(self) -> Iterator[Path | PurePosixPath]:
        if self.archive is None:
            return Path(self.file).parent.iterdir()
        return (file for file in _members(self.archive) if file.parent == self.file.parent)


def find_source(
    path: Path, layer: str | None, readable: Collection[str]
) -> tuple[Source, str | None]:
    """
    Find the file to read, and the layer left to choose in it.

    Parameters
    ----------
    path : Path
        A file that can be read, or a zip with one of them in it.
    layer : str or None
        Layer of the file, or file in the zip.
    readable : collection of str
        Ends of names of the files that can be read, in lower case.

    Returns
    -------
    source : Source
    layer : str or None
        None once it has served to choose a file of the zip.

    Raises
    ------
    FileError
        If the file is not there or of no kind that is read, or if the zip is torn or does not
        leave one file.
    """
    if not path.is_file():
        what = "is a folder" if path.is_dir() else "is not there"
        raise FileError(
            f"{path} {what}.", "A boundary is read from one file.", "Check the name and the folder."
        )
    if path.suffix.lower() not in _ARCHIVES:
        source = Source(path)
    else:
        source, layer = _in_archive(path, layer, readable)
    if source.suffix not in readable:
        raise FileError(
            f"{path.name} is of a kind that is not read here.",
            "Boundaries are read from GeoJSON, shapefile, GeoPackage and KML.",
            "Export it as one of these, GeoJSON or GeoPackage for choice.",
        )
    return source, layer


def _in_archive(
    path: Path, layer: str | None, readable: Collection[str]
) -> tuple[Source, str | None]:
    """Find the one file of an archive that can be read, or the one that ``layer`` names."""
    files = [file for file in _members(path) if file.suffix.lower() in readable]
    if len(files) == 1 and layer != files[0].stem:
        return Source(files[0], path), layer
    named = [file for file in files if layer in (file.stem, file.name, str(file))]
    if len(named) == 1:
        return Source(named[0], path), None
    inside = ", ".join(str(file) for file in files)
    raise FileError(
        f"{path.name} holds {len(files)} files that can be read{': ' * bool(inside)}{inside}.",
        "It must be plain which one is meant.",
        "Name one as the layer." if files else "Put a shapefile, GeoPackage or KML into it.",
    )


def _members(path: Path) -> list[PurePosixPath]:
    """List the files of an archive, without what the packing program added."""
    try:
        with ZipFile(path) as archive:
            names = [
                PurePosixPath(info.filename) for info in archive.infolist() if not info.is_dir()
            ]
    except BadZipFile as error:
        raise FileError(
            f"{path.name} is not a whole zip file.",
            "Its list of contents cannot be found.",
            "Copy or download it again.",
        ) from error
    return [name for name in names if not name.name.startswith(".")]
