"""
The output folder, swapped in whole.

A new folder is built beside the target and takes its name in one step, so that whoever opens the
target finds the old version or the new one, never a mixture. For a target ``NAME`` there are two
siblings, and *the name says what a folder is worth*:

======================  =====================================================================
``NAME``                whole, always: it appears by one rename
``.NAME.geolayout-old`` whole, always: it appears by one rename and leaves by one rename
``.NAME.geolayout-new`` rubbish to the next run: still being written, or already being removed
======================  =====================================================================

No marker inside a folder is needed, and no guess whether a half-built one might be complete. The
steps of a write, what stands after each (w whole, p perhaps partial, - absent), and what the next
run does if the write was cut there:

====  ====================================  ======  ====  ====  ==============================
step  deed                                  NAME    old   new   the next run
====  ====================================  ======  ====  ====  ==============================
0     nothing yet                           w or -  -     -     nothing
1     make ``new``, write, check, sync      w or -  -     p     removes ``new``
2     rename ``NAME`` to ``old`` (if any)   -       w     w     renames ``old`` back, then as 1
3     rename ``new`` to ``NAME``            w new   w     -     as 4
4     rename ``old`` to ``new``             w new   -     p     removes ``new``
5     remove ``new``                        w new   -     -     nothing
====  ====================================  ======  ====  ====  ==============================

Every deed of the next run leads from one line of the table to another, so it may be cut as well.
At step 2 the new folder is whole and could be put in; going back is chosen because it trusts the
names alone. A third sibling, ``.NAME.geolayout-lock``, keeps two runs apart.
"""

import errno
import json
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from geolayout.errors import FileError
from geolayout.handover.disk import plainly, remove, rename
from geolayout.handover.lock import alone

__all__ = ["SUMMARY", "WRITTEN_BY", "files_in", "fresh_folder", "put_back"]

SUMMARY = "summary.json"
WRITTEN_BY = "geolayout"

_NO_FOLDER_SYNC = frozenset({errno.EINVAL, errno.ENOTSUP})  # said by some network file systems


@dataclass(frozen=True, slots=True)
class _Site:
    """A target and the siblings that may stand beside it."""

    target: Path

    @property
    def new(self) -> Path:
        """The folder being written or removed."""
        return self._beside("new")

    @property
    def old(self) -> Path:
        """The folder that stood under the name before."""
        return self._beside("old")

    @property
    def lock(self) -> Path:
        """The file that keeps two runs apart."""
        return self._beside("lock")

    def _beside(self, part: str) -> Path:
        return self.target.with_name(f".{self.target.name}.geolayout-{part}")


def put_back(target: Path) -> str | None:
    """
    Recover from a write that was killed.

    Call it before anything is read from the target; `fresh_folder` calls it as well.

    Parameters
    ----------
    target : Path
        The output folder, present or not.

    Returns
    -------
    said : str or None
        What was done, in one sentence; None if there was nothing to do.

    Raises
    ------
    FileError
        If another run is writing this folder, if something cannot be renamed or removed, or if a
        foreign folder has taken the name while the former one stands beside it.
    """
    site = _site_of(target)
    if not any(os.path.lexists(path) for path in (site.new, site.old, site.lock)):
        return None
    with alone(site.target, lock=site.lock):
        return _mend(site)


@contextmanager
def fresh_folder(target: Path, *, replace: bool) -> Iterator[Path]:
    """
    Give a folder to write into, and put it under its name when all is written.

    If the ``with`` block raises, what it wrote is removed and the target is as it was.

    Parameters
    ----------
    target : Path
        The output folder. Its parent must exist.
    replace : bool
        Whether a folder of ours may stand there already, to be replaced.

    Yields
    ------
    folder : Path
        An empty folder beside the target. The block must write ``summary.json`` into it, with
        ``"written_by": "geolayout"`` and ``"files"``, the list that `files_in` gives at the end.

    Raises
    ------
    FileError
        If the target cannot be written there, or holds what must not be replaced, or is being
        written by another run.
    RuntimeError
        If ``summary.json`` does not list exactly the files written: a fault of the program.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as place:
    ...     with fresh_folder(Path(place, "home"), replace=False) as folder:
    ...         listed = {"written_by": "geolayout", "files": ["summary.json"]}
    ...         _ = Path(folder, "summary.json").write_text(json.dumps(listed), encoding="utf-8")
    ...     files_in(Path(place, "home"))
    ['summary.json']
    """
    site = _site_of(target)
    _check_place(site)
    with alone(site.target, lock=site.lock):
        _mend(site)
        _check_free(site.target, replace=replace)
        try:
            with plainly(f"{site.new} could not be made"):
                site.new.mkdir()
            yield site.new
            _check_listed(site.new)
            with plainly(f"{site.new} could not be written out to the disk"):
                _sync_tree(site.new)
                _sync_folder(site.target.parent)
            _check_free(site.target, replace=replace)  # it may have changed while we wrote
            _swap(site)
        except BaseException:
            with suppress(OSError):  # the first error is the one to tell; the next run mends
                _mend(site)
            raise
        _mend(site)  # steps 4 and 5: the new folder stands, the old one goes


def files_in(folder: Path) -> list[str]:
    """
    List what a folder holds, as ``summary.json`` must list it.

    Parameters
    ----------
    folder : Path
        An existing folder.

    Returns
    -------
    names : list of str
        Paths inside the folder with forward slashes, sorted. A link counts as a file, and a
        folder with nothing in it is named with a slash at its end.
    """
    names = []
    for where, folders, files in os.walk(folder, onerror=_throw):
        inside = Path(where).relative_to(folder)
        links = [name for name in folders if Path(where, name).is_symlink()]
        names += [(inside / name).as_posix() for name in (*files, *links)]
        if not (folders or files or Path(where) == folder):
            names.append(f"{inside.as_posix()}/")
    return sorted(names)


def _throw(error: OSError) -> None:
    raise error


def _mend(site: _Site) -> str | None:
    """Go from any line of the table above to its first or its last, and say what was done."""
    name = site.target.name
    said = None
    if os.path.lexists(site.old):
        if os.path.lexists(site.target):
            _check_successor(site)
            _discard_old(site)
            said = f"The former {name}, left beside the new one by a run cut short, was removed."
        else:
            rename(site.old, site.target)
            said = f"{name}, moved aside by a run that was cut short, was put back whole."
    if os.path.lexists(site.new):
        remove(site.new)
        said = said or f"The unfinished leavings of a run cut short beside {name} were removed."
    return said


def _swap(site: _Site) -> None:
    """Take steps 2 and 3, and make sure of the new name before the old folder is touched."""
    if os.path.lexists(site.target):
        rename(site.target, site.old)
    rename(site.new, site.target)
    with plainly(f"{site.target.parent} could not be written out to the disk"):
        _sync_folder(site.target.parent)


def _discard_old(site: _Site) -> None:
    """Take steps 4 and 5: renamed first, as a half-removed folder must never be called old."""
    if os.path.lexists(site.new):
        remove(site.new)
    rename(site.old, site.new)
    remove(site.new)


def _site_of(target: Path) -> _Site:
    """Make the target absolute, links on the way to it followed, its own name kept."""
    try:
        if target.name in {"", ".."}:
            return _Site(_named(target.resolve()))
        return _Site(target.parent.resolve() / target.name)
    except (OSError, RuntimeError, ValueError) as error:  # also a ring of links, a null character
        raise FileError(
            f"{str(target)!r} cannot be a folder's path.",
            f"The system says: {error}.",
            "Name another folder.",
        ) from error


def _named(target: Path) -> Path:
    if not target.name:
        raise FileError(
            f"{target} is a whole disk.",
            "The output is a folder with a name of its own.",
            "Name a folder in it.",
        )
    return target


def _check_place(site: _Site) -> None:
    parent = site.target.parent
    if not parent.is_dir():
        what = "is not a folder" if parent.exists() else "does not exist"
        raise FileError(
            f"{parent} {what}.",
            f"{site.target.name} is to be written in it.",
            "Make that folder first, or name another.",
        )
    if _holds_current_folder(site.target):
        raise FileError(
            f"{site.target} is the folder you are working in, or holds it.",
            "The output folder is replaced as a whole, which would take it from under you.",
            "Name a folder inside it, or change to another one first.",
        )


def _holds_current_folder(target: Path) -> bool:
    try:
        here = Path.cwd()
        return any(target.samefile(folder) for folder in (here, *here.parents))
    except OSError:  # the target is not there yet, or the current folder is gone
        return False


def _check_free(target: Path, *, replace: bool) -> None:
    """Refuse a target that stands and may not be replaced."""
    if not os.path.lexists(target):
        return
    if target.is_symlink() or not target.is_dir():
        raise FileError(
            f"{target} is a {'link' if target.is_symlink() else 'file'}, not a folder.",
            "The output is a folder and replaces nothing else.",
            "Name another folder.",
        )
    if not replace:
        raise FileError(
            f"{target} is there already.",
            "What it holds would be lost.",
            "Pass --replace to replace it, or name another folder.",
        )
    _check_ours(target)


def _check_ours(target: Path) -> None:
    """Refuse to replace a folder with anything in it that we did not write."""
    listed = _listed(target)
    if listed is None:
        raise FileError(
            f"{target} holds no {SUMMARY} written by {WRITTEN_BY}.",
            "Only a folder that was written by it is replaced.",
            "Name another folder, or remove this one yourself.",
        )
    with plainly(f"{target} could not be read"):
        strangers = [name for name in files_in(target) if name not in listed]
    if strangers:
        others = f" and {len(strangers) - 1} more" if len(strangers) > 1 else ""
        raise FileError(
            f"{target} holds {strangers[0]}{others}, which its {SUMMARY} does not list.",
            "Replacing the folder would lose it.",
            "Move it elsewhere, or name another folder.",
        )


def _check_successor(site: _Site) -> None:
    """Refuse to remove the former folder unless a whole one of ours has followed it."""
    if _listed(site.target) is None:
        raise FileError(
            f"Both {site.target} and {site.old.name} beside it are there.",
            f"A run cut short left the second, and the first was not written by {WRITTEN_BY}.",
            "Move one of the two elsewhere and run again.",
        )


def _listed(folder: Path) -> frozenset[str] | None:
    """Return the files a folder's summary lists, or None if it has no summary of ours."""
    summary = folder / SUMMARY
    if folder.is_symlink() or summary.is_symlink() or not summary.is_file():
        return None
    with plainly(f"{summary} could not be read"):
        read = summary.read_bytes()
    try:
        content = json.loads(read)
    except (ValueError, RecursionError):  # whatever it is, we did not write it
        return None
    if not isinstance(content, dict) or content.get("written_by") != WRITTEN_BY:
        return None
    files = content.get("files")
    if not isinstance(files, list) or not all(isinstance(name, str) for name in files):
        return None
    return frozenset(files)


def _check_listed(folder: Path) -> None:
    """Make sure that the folder just written can be replaced one day."""
    listed = _listed(folder)
    if listed is None:
        message = f"no {SUMMARY} with written_by = {WRITTEN_BY!r} and a list of files was written"
        raise RuntimeError(message)
    differing = sorted(listed.symmetric_difference(files_in(folder)))
    if differing:
        message = f"{SUMMARY} and the files written differ in: {', '.join(differing)}"
        raise RuntimeError(message)


def _sync_tree(folder: Path) -> None:
    """Have every byte on the disk before the folder gets its name."""
    for where, _, files in os.walk(folder, topdown=False, onerror=_throw):
        for name in files:
            _sync_file(Path(where, name))
        _sync_folder(Path(where))


def _sync_file(path: Path) -> None:
    # Windows syncs only what is open for writing; elsewhere a read-only file must do too.
    descriptor = os.open(path, os.O_RDWR if sys.platform == "win32" else os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _sync_folder(folder: Path) -> None:
    if sys.platform == "win32":  # a folder cannot be opened there
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    except OSError as error:
        if error.errno not in _NO_FOLDER_SYNC:
            raise
    finally:
        os.close(descriptor)
