"""Files that a programme uses: inside its folder tree only, each once, and never in a circle."""

import os
from collections.abc import Iterable
from pathlib import Path

import pytest

from chime.cli.reading import MOST_BYTES
from tests.spoiled_programmes import SOUND, checked, with_

# -------------------------------------------------------------------------------- use


def folder_of(folder: Path, files: Iterable[tuple[str, str]]) -> Path:
    """A folder inside another with some files; gives the first of them."""
    inner = folder / "inner"
    paths = []
    for name, content in files:
        paths.append(inner / name)
        paths[-1].parent.mkdir(parents=True, exist_ok=True)
        paths[-1].write_text(content, encoding="utf-8", newline="")
    return paths[0]


def one_fault(path: Path, code: str) -> str:
    status, said = checked(path)
    assert status == 1, said
    assert [line.split()[2] for line in said] == [f"{code}:"], said
    return said[0]


ELSEWHERE = "zone secret on track 9\n"


@pytest.mark.parametrize(
    "way", ["../secret.chime", "sub/../../secret.chime", "..\\\\secret.chime", "C:/secret.chime"]
)
def test_a_file_outside_the_folder_tree_is_not_used(way: str, tmp_path: Path) -> None:
    (tmp_path / "secret.chime").write_text(ELSEWHERE, encoding="utf-8")
    path = folder_of(tmp_path, [("test.chime", f'{SOUND}use "{way}"\n'), ("sub/other.chime", "")])
    assert "secret on track" not in one_fault(path, "F111")


def test_an_absolute_path_is_not_used(tmp_path: Path) -> None:
    (tmp_path / "secret.chime").write_text(ELSEWHERE, encoding="utf-8")
    path = folder_of(tmp_path, [("test.chime", f'{SOUND}use "{tmp_path}/secret.chime"\n')])
    one_fault(path, "F111")


def test_a_link_that_leads_outside_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "secret.chime").write_text(ELSEWHERE, encoding="utf-8")
    path = folder_of(tmp_path, [("test.chime", f'{SOUND}use "link.chime"\n')])
    (path.parent / "link.chime").symlink_to("../secret.chime")
    assert "it lies outside the folder of the programme" in one_fault(path, "F110")
    path.write_text(f'{SOUND}use "out/secret.chime"\n', encoding="utf-8")
    (path.parent / "out").symlink_to("..")
    assert "it lies outside the folder of the programme" in one_fault(path, "F110")


def test_a_link_inside_the_folder_tree_is_followed(tmp_path: Path) -> None:
    path = folder_of(
        tmp_path,
        [("test.chime", with_("zone main", 'use "link.chime"\nzone hall')), ("a.chime", "zone main\n")],
    )
    (path.parent / "link.chime").symlink_to("a.chime")
    assert [line.split()[2] for line in checked(path)[1]] == ["N393:"], "the zone hall is not used"


def test_a_link_that_leads_back_does_not_go_round_for_ever(tmp_path: Path) -> None:
    path = folder_of(tmp_path, [("test.chime", f'{SOUND}use "back/test.chime"\n')])
    (path.parent / "back").symlink_to(".")
    assert "it is test.chime under another name" in one_fault(path, "F110")


def test_one_file_under_two_names_is_used_once(tmp_path: Path) -> None:
    main = with_("zone main", 'use "a.chime"\nuse "b.chime"\nzone main').replace("in main", "in main, hall")
    path = folder_of(tmp_path, [("test.chime", main), ("a.chime", "zone hall on track 2\n")])
    (path.parent / "b.chime").symlink_to("a.chime")
    assert "it is a.chime under another name" in one_fault(path, "F110")


def test_files_that_use_each_other_in_a_circle(tmp_path: Path) -> None:
    files = [(f"{n}.chime", f'use "{(n + 1) % 3}.chime"\n') for n in range(3)]
    path = folder_of(tmp_path, [("test.chime", f'{SOUND}use "0.chime"\n'), *files])
    said = one_fault(path, "F112")
    assert said.startswith(str(path.parent / "2.chime:1:5"))
    assert "0.chime uses 1.chime uses 2.chime uses 0.chime" in said


def test_a_file_that_uses_itself(tmp_path: Path) -> None:
    one_fault(folder_of(tmp_path, [("test.chime", f'{SOUND}use "./test.chime"\n')]), "F112")


def test_a_file_used_twice_is_told_at_the_second_place(tmp_path: Path) -> None:
    main = with_("in main", "in main, hall") + 'use "a.chime"\nuse "sub/../a.chime"\n'
    path = folder_of(tmp_path, [("test.chime", main), ("a.chime", "zone hall on track 2\n")])
    assert one_fault(path, "F113").startswith(f"{path}:13:5")


def test_a_used_file_that_cannot_be_read_is_one_fault_of_the_programme(tmp_path: Path) -> None:
    # What the file may say is not missed: no unknown name is complained of.
    for name in ("none.chime", ".", "sub", "pipe", "x" * 300, "huge"):
        main = with_("in main", "in main, hall") + f'use "{name}"\n'
        path = folder_of(tmp_path / (name[:9] or "empty"), [("test.chime", main), ("sub/a.chime", "")])
        os.mkfifo(path.parent / "pipe")
        with (path.parent / "huge").open("wb") as huge:
            huge.truncate(MOST_BYTES + 1)
        one_fault(path, "F110")


def test_a_used_file_that_is_no_text_is_one_fault_of_that_file(tmp_path: Path) -> None:
    path = folder_of(tmp_path, [("test.chime", with_("in main", "in main, hall") + 'use "a.chime"\n')])
    (path.parent / "a.chime").write_bytes(b"zone h\xe4ll\n")
    assert one_fault(path, "F102").startswith(str(path.parent / "a.chime"))


def test_a_chain_of_files_may_be_long(tmp_path: Path) -> None:
    links = [(f"{n}.chime", f'use "{n + 1}.chime"\n') for n in range(1_500)]
    main = with_("in main", "in main, hall") + 'use "0.chime"\n'
    path = folder_of(tmp_path, [("test.chime", main), *links, ("1500.chime", "zone hall on track 2\n")])
    assert checked(path) == (0, [])


def test_a_long_chain_that_comes_back_is_one_fault(tmp_path: Path) -> None:
    links = [(f"{n}.chime", f'use "{(n + 1) % 1_500}.chime"\n') for n in range(1_500)]
    path = folder_of(tmp_path, [("test.chime", f'{SOUND}use "0.chime"\n'), *links])
    one_fault(path, "F112")
