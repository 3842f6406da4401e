"""A programme read from its text, all of it or nothing, and the texts shipped with the package."""

from importlib.resources import files

from nares.base.errors import Unknown
from nares.base.findings import refuse_if_any
from nares.decide.steps.programme import Programme, parse_toml, programme_of
from nares.decide.steps.programme_check import programme_findings


def read_programme(text: str) -> Programme:
    """Read a programme, all of it or nothing.

    Raises:
        Unusable: If it is not TOML (naming the line), or naming every finding of the checks.
    """
    table = parse_toml(text)
    refuse_if_any(programme_findings(table), what="The programme")
    return programme_of(table)


def shipped_programme(name: str = "box") -> str:
    """The text of a programme shipped with the package, to read or to hand to a trainer for editing.

    Raises:
        Unknown: If none of that name is shipped.
    """
    folder = files("nares.decide.steps.programmes")
    shipped = sorted(f.name.removesuffix(".toml") for f in folder.iterdir() if f.name.endswith(".toml"))
    if name not in shipped:
        raise Unknown(f"No programme {name!r} is shipped. Shipped are: {', '.join(shipped)}.")
    return folder.joinpath(f"{name}.toml").read_text(encoding="utf-8")
