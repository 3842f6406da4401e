"""RFC 8493: the declaration of a 1.0 bag and the shape of a manifest line. From memory, high confidence; an
independent program validates whole bags in `tests/record/test_export.py`.
"""

import zipfile
from pathlib import Path

import pytest
from tests.record.kennel import opened

from nares.record.bag_verifier import MANIFEST_LINE
from nares.record.export import export_bag


@pytest.mark.published(source="rfc-8493", at="2.1.1 bag declaration, 2.1.3 payload manifest", seen="memory")
def test_a_bag_declares_itself_and_lists_its_payload_as_printed(tmp_path: Path) -> None:
    with opened(tmp_path) as store:
        export_bag(store, tmp_path / "out.zip", {})
    with zipfile.ZipFile(tmp_path / "out.zip") as file:
        declared = file.read("record/bagit.txt")
        listed = file.read("record/manifest-sha256.txt").decode().splitlines()
    assert declared == b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
    assert [line[64:] for line in listed] == ["  data/entries.jsonl", "  data/head.txt"]
    assert all(MANIFEST_LINE.fullmatch(line) for line in listed)
