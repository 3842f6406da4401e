"""Each package folder says what it is in a page of its own that can be read in a minute."""

from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent
PACKAGES = sorted(path for path in (ROOT / "src" / "nares").iterdir() if (path / "__init__.py").exists())


@pytest.mark.parametrize("package", PACKAGES, ids=lambda path: path.name)
def test_a_package_has_a_readme_of_20_to_40_lines(package: Path) -> None:
    lines = (package / "README.md").read_text(encoding="utf-8").splitlines()
    assert 20 <= len(lines) <= 40
