"""What the disk refuses is told in our three parts."""

import errno
from pathlib import Path

import pytest

from geolayout.errors import FileError
from geolayout.handover.disk import plainly, remove, rename


@pytest.mark.parametrize(
    ("error", "why"),
    [
        pytest.param(
            OSError(errno.ENOSPC, "No space left on device"),
            "The system says: No space left on device.",
            id="in the words of the system",
        ),
        pytest.param(OSError("torn"), "The system says: torn.", id="without a number"),
    ],
)
def test_an_error_of_the_system_is_told_in_three_parts(error: OSError, why: str) -> None:
    with pytest.raises(FileError) as refusal, plainly("The map could not be written"):
        raise error
    assert refusal.value.found == "The map could not be written."
    assert refusal.value.why == why
    assert refusal.value.remedy.endswith("or name another folder.")
    assert refusal.value.__cause__ is error


@pytest.mark.parametrize(
    "error",
    [
        pytest.param(FileError("Found.", "Why.", "Remedy."), id="one of ours, told already"),
        pytest.param(ValueError("of the writer"), id="a fault of the program"),
    ],
)
def test_other_errors_pass_as_they_are(error: Exception) -> None:
    with pytest.raises(type(error)) as passed, plainly("The map could not be written"):
        raise error
    assert passed.value is error


def test_a_folder_is_renamed_and_removed_with_all_it_holds(tmp_path: Path) -> None:
    (tmp_path / "a" / "b").mkdir(parents=True)
    (tmp_path / "a" / "b" / "c.txt").touch()
    rename(tmp_path / "a", tmp_path / "d")
    assert [path.name for path in tmp_path.iterdir()] == ["d"]
    remove(tmp_path / "d")
    assert not list(tmp_path.iterdir())


def test_what_is_not_there_is_told_by_its_name(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="a could not be renamed to b") as refusal:
        rename(tmp_path / "a", tmp_path / "b")
    assert refusal.value.why == "The system says: No such file or directory."
    with pytest.raises(FileError, match="a could not be removed"):
        remove(tmp_path / "a")
