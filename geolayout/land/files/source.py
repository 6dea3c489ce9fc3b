"""The file that is meant: on its own, in a folder, or inside a zip."""

import os
import stat
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePath, PurePosixPath

from geolayout.errors import FileError
from geolayout.land.files.archive import ARCHIVES, members, read_member
from geolayout.land.files.limits import MAX_MEMBERS, MAX_TEXT, NAME_THE_FILE, too_large
from geolayout.land.files.wording import library_words, listed, shown

__all__ = ["Source", "find_source"]

_WRITTEN_ABOUT = (".txt", ".csv", ".tsv", ".xml")
"""Kinds that also hold notes and tables beside a map: taken if nothing else is there."""

_TASKDATA = "taskdata.xml"
"""The one file of an ISO 11783-10 folder that the others are parts of."""

_SHAPEFILE_PARTS = (".shx", ".dbf", ".prj", ".cpg", ".sbn", ".sbx", ".qix", ".qpj")

_OTHER_KINDS = {
    **dict.fromkeys((".rar", ".7z", ".tar", ".gz", ".tgz"), "Unpack it first, or pack it as a zip"),
    **dict.fromkeys((".qgs", ".qgz", ".mxd", ".aprx"), "Export the layer itself from the project"),
    **dict.fromkeys((".pdf", ".png", ".jpg", ".tif"), "A picture has no corners: draw it as a map"),
    **dict.fromkeys((".tab", ".mif", ".gdb", ".dwg", ".xlsx"), "Export it as GeoPackage"),
}


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
    def name(self) -> str:
        """Its name without folders, as messages show it."""
        return shown(self.file.name)

    def content(self, most: int = MAX_TEXT) -> bytes:
        """
        Read it whole.

        Parameters
        ----------
        most : int
            Size over which it is refused. [bytes]

        Returns
        -------
        content : bytes

        Raises
        ------
        FileError
            If the system or the archive does not give it, or if it is too large.
        """
        if self.archive is not None:
            _check_is_file(self.archive)
            return read_member(self.archive, PurePosixPath(self.file), most)
        try:
            with Path(self.file).open("rb") as file:
                content = file.read(most + 1)
        except OSError as error:
            raise _cannot_open(self.file, error) from error
        if len(content) > most:
            size = Path(self.file).stat().st_size
            raise too_large(self.file.name, f"{size / 1e6:,.1f} MB", f"{most / 1e6:,.0f} MB")
        return content

    def check_layer(self, layer: str | None) -> None:
        """
        Refuse a layer of another name, for a file that is one layer.

        Raises
        ------
        FileError
            If the layer is not called as the file is.
        """
        if layer is not None and not self.answers_to(layer):
            raise FileError(
                f"Layer '{shown(layer)}' of {self.name} is asked for.",
                "A file of this kind has no layers of other names than its own.",
                "Leave the layer out.",
            )

    def answers_to(self, layer: str) -> bool:
        """Tell if a layer is called as the file is, with or without suffix and folder."""
        return layer in (self.file.stem, self.file.name, str(self.file))

    def partner(self, suffix: str) -> "Source | None":
        """Find the file of the same name with another suffix, in either case."""
        for file in self._neighbours():
            if file.stem == self.file.stem and file.suffix.lower() == suffix:
                return replace(self, file=file)
        return None

    def neighbour(self, name: str) -> "Source | None":
        """Find a file of a name, in either case, in the same folder; a path is no name."""
        for file in self._neighbours():
            if file.name.casefold() == name.casefold():
                return replace(self, file=file)
        return None

    def _neighbours(self) -> Iterator[Path | PurePosixPath]:
        if self.archive is None:
            return Path(self.file).parent.iterdir()
        return (file for file in members(self.archive) if file.parent == self.file.parent)


def find_source(
    path: Path, layer: str | None, readable: Collection[str]
) -> tuple[Source, str | None]:
    """
    Find the file to read, and the layer left to choose in it.

    Parameters
    ----------
    path : Path
        A file that can be read, or a folder or a zip with one of them in it.
    layer : str or None
        Layer of the file, or file in the folder or zip.
    readable : collection of str
        Ends of names of the files that can be read, in lower case.

    Returns
    -------
    source : Source
    layer : str or None
        None once it has served to choose a file.

    Raises
    ------
    FileError
        If the file is not there or of no kind that is read, or if the zip is torn, tries tricks,
        or does not leave one file.
    """
    if _is_folder(path) and path.suffix.lower() not in _OTHER_KINDS:
        return _chosen([Source(file) for file in _files_below(path)], path, layer, readable)
    if not _is_folder(path):
        _check_is_file(path)
    if path.suffix.lower() in ARCHIVES:
        inside = [Source(file, path) for file in members(path)]
        return _chosen(inside, path, layer, readable)
    source = Source(path)
    if source.suffix not in readable:
        raise _not_read(source, readable)
    return source, layer


def _mode(path: Path) -> int:
    try:
        return path.stat().st_mode
    except (FileNotFoundError, NotADirectoryError, ValueError) as error:
        raise FileError(
            f"{shown(path)} is not there.",
            "A boundary is read from a file.",
            "Check the name and the folder.",
        ) from error
    except OSError as error:
        raise _cannot_open(path, error) from error


def _is_folder(path: Path) -> bool:
    return stat.S_ISDIR(_mode(path))


def _check_is_file(path: Path) -> None:
    if not stat.S_ISREG(_mode(path)):
        raise FileError(
            f"{shown(path)} is no file.",
            "A boundary is read more than once, which a pipe or a device does not allow.",
            "Save it to a file first.",
        )


def _cannot_open(file: PurePath, error: OSError) -> FileError:
    return FileError(
        f"{shown(file.name)} cannot be opened.",
        f"The system says: {library_words(error.strerror or error)}.",
        "Check that it is there, not locked by another program, and yours to read.",
    )


def _not_read(source: Source, readable: Collection[str]) -> FileError:
    if source.suffix in _SHAPEFILE_PARTS:
        return FileError(
            f"{source.name} is one part of a shapefile.",
            "The shapes are in the part that ends in .shp.",
            f"Name {shown(source.file.stem)}.shp.",
        )
    remedy = _OTHER_KINDS.get(source.suffix, "Export it as one of these, GeoPackage for choice")
    return FileError(
        f"{source.name} is of a kind that is not read here.",
        f"Boundaries are read from files that end in {', '.join(sorted(readable))}.",
        f"{remedy}.",
    )


def _files_below(folder: Path) -> list[Path]:
    """List the files of a folder and of those in it, hidden ones left out, links not followed."""
    found: list[Path] = []
    for home, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        found += [Path(home, name) for name in sorted(files) if not name.startswith(".")]
        if len(found) > MAX_MEMBERS:
            holds = f"more than {MAX_MEMBERS:,} files"
            raise too_large(folder.name, holds, f"{MAX_MEMBERS:,}", NAME_THE_FILE)
    return found


def _chosen(
    inside: Sequence[Source], path: Path, layer: str | None, readable: Collection[str]
) -> tuple[Source, str | None]:
    """Take the one file that can be read, or the one that ``layer`` names."""
    sources = _readable(inside, readable)
    if len(sources) == 1:
        return sources[0], layer
    named = [source for source in sources if layer is not None and source.answers_to(layer)]
    if len(named) == 1:
        return named[0], None
    if not sources:
        raise _nothing_in(path, inside)
    raise FileError(
        f"{shown(path.name)} holds {len(sources)} files that can be read:"
        f" {listed([_inner(source, path) for source in sources])}.",
        "It must be plain which one is meant." if layer is None else _none_called(layer, named),
        "Name one as the layer.",
    )


def _readable(inside: Sequence[Source], readable: Collection[str]) -> list[Source]:
    """Take the files of kinds that are read; notes and tables only if nothing else is there."""
    tasks = [source for source in inside if source.file.name.casefold() == _TASKDATA]
    sources = [source for source in inside if source.suffix in readable]
    maps = [source for source in sources if source.suffix not in _WRITTEN_ABOUT]
    if maps or tasks:
        return maps + [source for source in tasks if source in sources]
    return [source for source in sources if source.suffix != ".xml"]


def _none_called(layer: str, named: Sequence[Source]) -> str:
    return f"{len(named) or 'None'} of them {'are' if named else 'is'} called '{shown(layer)}'."


def _inner(source: Source, path: Path) -> PurePath:
    """Give the path of a file inside its folder or zip."""
    return source.file if source.archive else source.file.relative_to(path)


def _nothing_in(path: Path, inside: Sequence[Source]) -> FileError:
    packed = [source for source in inside if source.suffix in ARCHIVES]
    if packed:
        return FileError(
            f"{shown(path.name)} holds another zip, {packed[0].name}.",
            "A zip is not read out of a zip or a folder.",
            "Unpack the outer one, and name the inner one.",
        )
    return FileError(
        f"{shown(path.name)} holds 0 files that can be read, of {len(inside)}.",
        "A boundary is read from one.",
        "Put a shapefile, GeoPackage, GeoJSON or KML into it.",
    )
