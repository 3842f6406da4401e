"""Plain words for the codes of line-ups: shapes, what a position holds, how far a run is, who knew."""

from nares.base.lineups import Blinding, Control, Role, Shape

SHAPES: dict[Shape, str] = {
    "straight": "straight line",
    "ring": "ring",
    "boxes": "boxes",
    "cans": "cans",
    "room": "room",
    "vehicles": "vehicles",
    "parcels": "parcels",
}
CONTROLS: dict[Control, tuple[str, str]] = {
    "packaging": ("Packaging", "the container and wrapping of the target, empty"),
    "gloves": ("Gloves", "touched with the gloves the target is handled with"),
    "placer": ("Placer", "touched and stood at by whoever places the target"),
}
BLINDINGS: dict[Blinding, tuple[str, str]] = {
    "known": (
        "Known",
        "Everybody may know where it lies. All runs are drawn together so that the rules below hold, and no "
        "side, place or habit pays off for the dog; somebody who knows the rules can guess better than "
        "chance, so such an order proves nothing.",
    ),
    "single": (
        "Single-blind",
        "The handler does not know, somebody present does. Every run is drawn by itself, whatever came "
        "before: a rule about the whole order is something a handler could reckon with.",
    ),
    "double": (
        "Double-blind",
        "Nobody present knows. Every run is drawn by itself and how many hold a target is not announced, so "
        "that neither counting nor a glance can give it away.",
    ),
}
ROLES: dict[Role, tuple[str, str]] = {
    "placer": ("Placer", "reads what lies where, sets each run, then goes out of sight"),
    "handler": ("Handler", "works the dog and makes the call"),
    "evaluator": ("Evaluator", "starts each run, writes what was seen, opens the run after the call"),
    "recorder": ("Recorder", "writes what was seen, when the evaluator has no hand free"),
}
STATES = {
    "waiting": "not placed yet",
    "placed": "placed",
    "running": "running",
    "called": "called",
    "observed": "seen, not called yet",
    "open": "open",
    "void": "void",
}
HELD = {
    "target": "target",
    "distractor": "distractor",
    "control": "control",
    "blank": "blank",
    "warm": "held a target before",
}


def held_words(holds: str, item: str) -> str:
    """What a position held, in words.

    >>> held_words("distractor", "rope"), held_words("blank", ""), held_words("target", "target")
    ('distractor, rope', 'blank', 'target')
    """
    word = HELD.get(holds, holds)
    return f"{word}, {item}" if item and item != holds else word


def shape_words(shape: str) -> str:
    """A shape in words.

    >>> shape_words("straight")
    'straight line'
    """
    return {str(key): words for key, words in SHAPES.items()}.get(shape, shape)


def called_words(position: int | None) -> str:
    """What the handler called.

    >>> called_words(3), called_words(None)
    ('position 3', 'clear')
    """
    return "clear" if position is None else f"position {position}"
