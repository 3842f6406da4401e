"""Set up nares beside this file and run it. Needs Python 3.11 or newer and pip, nothing else.

    python3 start.py demo      install, then run the demo kennel (more words go to `nares demo`)
    python3 start.py nares …   install, then run any nares command
    python3 start.py test      install the test tools too, then run the whole test suite
    python3 start.py check     lint, types, import contracts

Everything goes into the folder .venv here; deleting that folder undoes the installation.
"""

import hashlib
import os
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
VENV = HERE / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
CHECKS = (
    ("ruff", "check", "src", "tests", "benchmarks", "tools", "start.py"),
    ("ruff", "format", "--check", "src", "tests", "benchmarks", "tools", "start.py"),
    ("mypy",),
    ("lint-imports",),
)


def run(*command: str | Path) -> int:
    """Run a command here and give back its exit code."""
    return subprocess.run([str(word) for word in command], cwd=HERE, check=False).returncode


def must(*command: str | Path) -> None:
    """Run a command; stop with its exit code when it fails."""
    code = run(*command)
    if code:
        raise SystemExit(code)


def make_venv() -> None:
    """Make the virtual environment, also where Python came without its own copy of pip."""
    if PYTHON.exists():
        return
    print("Setting up nares in .venv (once; a minute or two) …", file=sys.stderr)
    must(sys.executable, "-m", "venv", "--without-pip", VENV)


def install(lock: str) -> None:
    """Install exactly what the lock lists, with its hashes, and nares itself; skip when nothing changed."""
    make_venv()
    wanted = hashlib.sha256((HERE / lock).read_bytes() + (HERE / "pyproject.toml").read_bytes()).hexdigest()
    stamp = VENV / f"installed-{lock}"
    if stamp.exists() and stamp.read_text() == wanted:
        return
    pip = (sys.executable, "-m", "pip", "--python", VENV, "install", "-q", "--disable-pip-version-check")
    must(*pip, "--require-hashes", "-r", HERE / lock)
    must(*pip, "--no-deps", "-e", HERE)
    stamp.write_text(wanted)


def main(words: list[str]) -> int:
    """Do what the first word says."""
    if sys.version_info < (3, 11):  # noqa: UP036 - this file is what tells people so
        print(f"This is Python {sys.version.split()[0]}; nares needs 3.11 or newer.", file=sys.stderr)
        return 2
    deed, *rest = words or ["help"]
    if deed in ("demo", "nares"):
        install("requirements.lock")
        return run(BIN / "nares", *(["demo"] if deed == "demo" else []), *rest)
    if deed in ("test", "check"):
        install("requirements-dev.lock")
        if deed == "test":
            return run(PYTHON, "-m", "pytest", *(rest or ["-n", "auto", "--dist", "loadfile"]))
        return max(run(BIN / name, *arguments) for name, *arguments in CHECKS)
    print(__doc__)
    return 0 if deed in ("help", "-h", "--help") else 2


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
