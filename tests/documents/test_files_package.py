"""The sealed package: the same bytes, a list that others read, and what is refused in words."""

from __future__ import annotations

import hashlib
import shutil
import subprocess
import zipfile
from io import BytesIO

import pytest

from estimator.documents.files.sealed_package import (
    LIST,
    NoPackage,
    check_package,
    hash_list,
    plain_stem,
    seal_of,
    sealed_package,
)

FILES = {"q.pdf": b"%PDF-1.7\n" * 50, "q.json": b'{"a": 1}\n', "q.xml": b"<q/>\n"}


def package(files: dict[str, bytes], listed: bytes | None = None) -> bytes:
    """Any ZIP, as somebody else would make it."""
    content = BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in files.items():
            made.writestr(name, data)
        made.writestr(LIST, hash_list(FILES) if listed is None else listed)
    return content.getvalue()


def test_same_files_same_bytes():
    data = sealed_package(FILES)
    assert data == sealed_package(dict(reversed(FILES.items())))
    with zipfile.ZipFile(BytesIO(data)) as made:
        assert made.testzip() is None
        assert made.namelist() == ["q.json", "q.pdf", "q.xml", LIST]
        assert {one.date_time for one in made.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert {name: made.read(name) for name in FILES} == FILES


def test_what_was_sealed_is_sound():
    checked = check_package(sealed_package(FILES))
    assert checked.sound
    assert checked.files == ("q.json", "q.pdf", "q.xml")
    assert checked.seal == seal_of(FILES) == hashlib.sha256(hash_list(FILES)).hexdigest()
    assert checked.contents == FILES
    assert check_package(package(FILES)).sound  # packed anew by another program


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="no sha256sum here")
def test_sha256sum_reads_the_list(tmp_path):
    with zipfile.ZipFile(BytesIO(sealed_package(FILES))) as made:
        made.extractall(tmp_path)

    def run():
        return subprocess.run(["sha256sum", "-c", "--strict", LIST], cwd=tmp_path, check=False,
                              capture_output=True, text=True)  # fmt: skip

    assert run().returncode == 0
    (tmp_path / "q.xml").write_bytes(b"<p/>\n")
    told = run()
    assert told.returncode == 1
    assert "q.xml: FAILED" in told.stdout
    assert "q.pdf: OK" in told.stdout


def test_each_file_changed_added_or_missing_is_named():
    files = {"q.pdf": FILES["q.pdf"] + b" ", "q.xml": FILES["q.xml"], "more.txt": b"x"}
    checked = check_package(package(files))
    assert not checked.sound
    assert checked.changed == ("q.pdf",)
    assert checked.added == ("more.txt",)
    assert checked.missing == ("q.json",)


@pytest.mark.parametrize("name", list(FILES))
def test_any_byte_changed_is_found(name):
    changed = {**FILES, name: FILES[name][:-1] + bytes([FILES[name][-1] ^ 1])}
    assert check_package(package(changed)).changed == (name,)


def test_a_damaged_file_is_one_that_was_changed():
    data = bytearray(sealed_package(FILES))
    at = data.index(b"%PDF-1.7")
    data[at] ^= 0xFF
    assert check_package(bytes(data)).changed == ("q.pdf",)
    packed = package(FILES)
    with zipfile.ZipFile(BytesIO(packed)) as made:
        start = made.getinfo("q.pdf").header_offset + 30 + len("q.pdf")
    broken = bytearray(packed)
    broken[start : start + 6] = b"\xff" * 6
    assert check_package(bytes(broken)).changed == ("q.pdf",)


@pytest.mark.parametrize(
    "name",
    ["../q.pdf", "/etc/passwd", "a/b", "..\\x", "C:\\x", "..", ".hidden", "a\u202eb", "x\ny", "ä"],
)
def test_a_name_that_leads_elsewhere_is_refused(name):
    with pytest.raises(NoPackage, match="plain name"):
        check_package(package({name: b"x"}))
    with pytest.raises(ValueError, match="no name for a file"):
        sealed_package({name: b"x"})


def zeros(size: int) -> bytes:
    """Compressed zeros: a hundred megabytes in some hundred kilobytes."""
    content = BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as made:
        with made.open("bomb.bin", "w", force_zip64=True) as file:
            for _ in range(size >> 20):
                file.write(bytes(1 << 20))
        made.writestr(LIST, hash_list(FILES))
    return content.getvalue()


def test_a_zip_bomb_is_refused_before_it_is_read():
    data = zeros(300 << 20)
    assert len(data) < 1 << 20
    with pytest.raises(NoPackage, match=r"bomb\.bin is too large"):
        check_package(data)


def test_a_size_that_lies_is_found_out():
    data = bytearray(zeros(2 << 20))
    at = data.rindex(b"PK\x01\x02", 0, data.rindex(b"PK\x01\x02"))
    assert data[at + 46 : at + 54] == b"bomb.bin"
    data[at + 24 : at + 28] = (10).to_bytes(4, "little")
    assert check_package(bytes(data)).added == ("bomb.bin",)


def link() -> bytes:
    content = BytesIO()
    with zipfile.ZipFile(content, "w") as made:
        entry = zipfile.ZipInfo("q.pdf")
        entry.create_system, entry.external_attr = 3, 0o120777 << 16
        made.writestr(entry, "/etc/passwd")
        made.writestr(LIST, hash_list(FILES))
    return content.getvalue()


def locked() -> bytes:
    data = bytearray(package(FILES))
    data[data.index(b"PK\x01\x02") + 8] |= 1
    return bytes(data)


def doubled() -> bytes:
    content = BytesIO()
    with zipfile.ZipFile(content, "w") as made:
        made.writestr("q.pdf", b"one")
        with pytest.warns(UserWarning, match="Duplicate"):
            made.writestr("q.pdf", b"two")
        made.writestr(LIST, hash_list(FILES))
    return content.getvalue()


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda: b"", "no ZIP file"),
        (lambda: b"PK\x03\x04 nothing more", "no ZIP file"),
        (lambda: sealed_package(FILES)[:-30], "no ZIP file"),
        (lambda: b"%PDF-1.7", "no ZIP file"),
        (lambda: package(FILES, b""), "empty"),
        (lambda: package(FILES, b"nonsense\n"), "line 1 of its list"),
        (lambda: package(FILES, hash_list(FILES) * 2), "line 4 of its list"),
        (lambda: package({f"f{one}": b"" for one in range(70)}), "more than 64"),
        (link, "no plain file"),
        (locked, "encrypted"),
        (doubled, "two files of one name"),
    ],
)
def test_what_is_no_package_is_refused_in_words(make, why):
    with pytest.raises(NoPackage, match=why):
        check_package(make())


def test_a_package_without_its_list():
    content = BytesIO()
    with zipfile.ZipFile(content, "w") as made:
        made.writestr("q.pdf", b"x")
    with pytest.raises(NoPackage, match="holds no list of hashes"):
        check_package(content.getvalue())


def test_any_byte_of_a_package_changed_is_a_fault_or_harmless():
    """Flip each byte: what comes back says so, or is the same files; nothing else is raised."""
    data, harmless = sealed_package({"q.json": b"{}"}), 0
    for at in range(len(data)):
        broken = bytearray(data)
        broken[at] ^= 0x55
        try:
            checked = check_package(bytes(broken))
        except NoPackage:
            continue
        if checked.sound:
            assert checked.contents == {"q.json": b"{}"}
            harmless += 1
    assert harmless < len(data) / 2


def test_stems():
    assert plain_stem("Q-2041-A") == "Q-2041-A"
    assert plain_stem("../../x y\u0416") == "x-y"
    assert plain_stem("\u91cd") == "quote"
    assert len(plain_stem("x" * 500)) == 80
