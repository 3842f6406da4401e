"""The form that draws a line-up: sent back as often as needed, drawn once, its codes shown once."""

from dataclasses import dataclass, replace
from typing import Any

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from nares.app import jobs
from nares.app.lineups.values import LineupsPage
from nares.base.errors import NaresError, OutOfRange
from nares.base.lineups import Area, Shape
from nares.web.application import desk_of
from nares.web.lineups import smells, spots
from nares.web.lineups.drawing import plan_of
from nares.web.lineups.forms import DEFAULTS, LineupForm
from nares.web.lineups.once import ONCE
from nares.web.lineups.smells import SmellRow
from nares.web.lineups.spots import SpotRow
from nares.web.lineups.words import BLINDINGS, CONTROLS, ROLES, SHAPES
from nares.web.shell.answers import wrapped_json
from nares.web.shell.errors import status_of
from nares.web.shell.person import person_of

DRAWING = (
    "This line-up is being drawn, from a press just before. Its codes come with the answer to that press; "
    "the list of line-ups shows when it is there."
)
LAID = ("shape", "positions")
GONE = (
    "This form was opened before nares was started again, so it could not be told whether it had drawn "
    "already. Nothing was drawn now: look at the list of line-ups, then press Draw again."
)


@dataclass(frozen=True, slots=True)
class Typed:
    """The whole form as it stands: the fields, the positions, the distractors."""

    form: LineupForm
    rows: tuple[SpotRow, ...]
    smells: tuple[SmellRow, ...]

    @property
    def sound(self) -> bool:
        """Whether nothing in it has a fault."""
        rows = any(row.faults for row in self.rows) or any(row.fault for row in self.smells)
        return self.form.is_valid() and not rows


@require_http_methods(["GET", "HEAD", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """Show the form; lay positions out, look at what was typed, or draw."""
    page = jobs.lineups_page(desk_of(request))
    if request.method != "POST" or not page.dogs:
        return _page(request, page, _fresh(request, page)) if page.dogs else _no_dog(request)
    what = request.POST.get("do", "look")
    if what == "lay":
        return _laid(request, page)
    if what == "more":
        kept = _typed(request, request.POST, page)
        return _page(
            request, page, replace(_calm(kept, ()), smells=smells.rows_sent(request.POST, more=True))
        )
    typed = _checked(_typed(request, request.POST, page))
    if not typed.sound:
        return _page(request, page, typed, status=422)
    if what != "draw":
        return _page(
            request, page, typed, said="Nothing here has a fault. Press Draw when it is as you want it."
        )
    return _draw(request, page, typed)


@require_safe
def area_json(request: HttpRequest) -> HttpResponse:
    """Where positions of a shape usually stand, for the plan that is being drawn."""
    shape, positions = request.GET.get("shape", ""), request.GET.get("positions", "")
    if shape not in SHAPES:
        raise OutOfRange(f"There is no shape {shape!r}. Give one of: {', '.join(SHAPES)}.")
    if not positions.isdecimal() or not 2 <= int(positions[:9]) <= spots.MOST_POSITIONS:
        raise OutOfRange(f"{positions!r} is no number of positions. Give 2 to {spots.MOST_POSITIONS}.")
    return wrapped_json("lineup-area/1", jobs.lineup_area(shape, int(positions), place=""))


def _draw(request: HttpRequest, page: LineupsPage, typed: Typed) -> HttpResponse:
    token = request.POST.get("once", "")
    may, drew = ONCE.claim(token)
    if not may:
        if drew:
            return redirect("lineup", lineup=drew)
        typed.form.add_error(None, GONE if drew is None else DRAWING)
        return _page(request, page, typed, status=409, token=ONCE.give() if drew is None else token)
    said = typed.form.cleaned_data
    area = spots.area_from(
        typed.rows,
        place=said["place"],
        shape=said["shape"],
        width_m=said["width_m"],
        depth_m=said["depth_m"],
        keeps_odour=said["keeps_odour"],
    )
    tested = tuple(row.position for row in typed.rows if row.tested)
    asked = typed.form.asked(area, smells.smells_of(typed.smells), tested, person_of(request))
    try:
        drawn = jobs.draw_lineup(desk_of(request), asked)
    except NaresError as error:
        ONCE.release(token)
        typed.form.add_error(None, str(error))
        return _page(request, page, typed, status=status_of(error))
    except BaseException:
        ONCE.release(token)
        raise
    ONCE.drew(token, drawn.lineup)
    cards = [(ROLES[code.role][0], code.person, _spaced(code.code)) for code in drawn.codes]
    return render(request, "lineups/drawn.html", {"drawn": drawn, "cards": cards})


def _spaced(code: str) -> list[str]:
    """A code in groups, so that it is read and typed without losing one's place.

    >>> _spaced("K7PRWXH4MD")
    ['K7PR', 'WXH', '4MD']
    """
    first = 4 if len(code) % 3 == 1 else len(code) % 3 or 3
    return [code[:first], *(code[at : at + 3] for at in range(first, len(code), 3))]


def _laid(request: HttpRequest, page: LineupsPage) -> HttpResponse:
    """Lay the positions out anew for the shape and the number chosen; everything else stays."""
    typed = _calm(_typed(request, request.POST, page), LAID)
    if typed.form.errors:
        return _page(request, page, typed, status=422)
    said = typed.form.cleaned_data
    area = jobs.lineup_area(said["shape"], said["positions"], place="")
    sent = request.POST.copy()
    sent["width_m"], sent["depth_m"] = f"{area.width_m:g}", f"{area.depth_m:g}"
    sent.pop("keeps_odour", None)
    if area.keeps_odour:
        sent["keeps_odour"] = "on"
    anew = _calm(_typed(request, sent, page), ())
    return _page(request, page, replace(anew, rows=spots.rows_of(area)))


def _typed(request: HttpRequest, sent: QueryDict, page: LineupsPage) -> Typed:
    form = LineupForm(sent, dogs=page.dogs, rules=jobs.rule_choices())
    return Typed(form, spots.rows_sent(sent), smells.rows_sent(sent))


def _calm(typed: Typed, about: tuple[str, ...]) -> Typed:
    """The same without faults but of these fields: nobody asked for the others yet."""
    for name in [name for name in typed.form.errors if name not in about]:
        del typed.form.errors[name]
    return typed


def _checked(typed: Typed) -> Typed:
    """With every fault of the positions and the distractors beside what has it."""
    said = typed.form.cleaned_data if typed.form.is_valid() else getattr(typed.form, "cleaned_data", {})
    positions = said.get("positions")
    if positions is not None and positions != len(typed.rows):
        typed.form.add_error(
            "positions",
            f"{positions} positions are asked for and {len(typed.rows)} are on the plan. Lay the positions "
            f"out anew, or give {len(typed.rows)}.",
        )
    width_m, depth_m = said.get("width_m"), said.get("depth_m")
    rows = typed.rows
    if width_m is not None and depth_m is not None:
        rows = spots.checked(rows, width_m=width_m, depth_m=depth_m)
    return replace(typed, rows=rows, smells=smells.checked(typed.smells, said.get("aids") or ()))


def _fresh(request: HttpRequest, page: LineupsPage) -> Typed:
    """The form with what is likely: the dog asked for, the place used last, the usual rules."""
    dog = request.GET.get("dog", "")
    area = jobs.lineup_area("straight", int(DEFAULTS["positions"]), place="")
    initial = {
        **DEFAULTS,
        "dog": dog if dog in page.dogs else page.dogs[0],
        "place": page.lines[0].place if page.lines else "",
        "width_m": f"{area.width_m:g}",
        "depth_m": f"{area.depth_m:g}",
        "keeps_odour": area.keeps_odour,
        "rules": [rule.key for rule in jobs.rule_choices() if rule.usual],
    }
    form = LineupForm(dogs=page.dogs, rules=jobs.rule_choices(), initial=initial)
    return Typed(form, spots.rows_of(area), smells.empty_rows())


def _no_dog(request: HttpRequest) -> HttpResponse:
    return render(request, "lineups/no_dog.html", {})


def _area(typed: Typed) -> Area:
    """The area to draw; what cannot be read is drawn as usual."""
    said = getattr(typed.form, "cleaned_data", None)
    first = typed.form.get_initial_for_field
    values: dict[str, Any] = {}
    for name, otherwise in (("shape", "straight"), ("width_m", 10.0), ("depth_m", 5.0)):
        typed_in = said.get(name) if said is not None else first(typed.form.fields[name], name)
        values[name] = typed_in or otherwise
    shape: Shape = values["shape"]
    width_m, depth_m = float(values["width_m"]), float(values["depth_m"])
    return spots.area_to_draw(typed.rows, shape=shape, width_m=width_m, depth_m=depth_m)


def _page(
    request: HttpRequest,
    page: LineupsPage,
    typed: Typed,
    *,
    status: int = 200,
    said: str = "",
    token: str = "",
) -> HttpResponse:
    form = typed.form
    ticked = set(form.chosen_in("controls"))
    rules = set(form.chosen_in("rules"))
    aim = form["blinding"].value()
    shown = {
        "form": form,
        "rows": typed.rows,
        "blank": SpotRow(0, "", "", ""),
        "smells": typed.smells,
        "mets": smells.METS,
        "plan": plan_of(_area(typed)),
        "places": sorted({line.place for line in page.lines}),
        "controls": [(key, name, says, key in ticked) for key, (name, says) in CONTROLS.items()],
        "aims": [(key, name, says, key == aim) for key, (name, says) in BLINDINGS.items()],
        "rules": [(rule.key, rule.says, rule.key in rules) for rule in jobs.rule_choices()],
        "people": [form[role] for role in ROLES],
        "faulty_rows": any(row.faults for row in typed.rows),
        "faulty": form.errors
        or any(row.faults for row in typed.rows)
        or any(row.fault for row in typed.smells),
        "said": said,
        "once": token or request.POST.get("once") or ONCE.give(),
        "most": spots.MOST_POSITIONS,
    }
    return render(request, "lineups/new.html", shown, status=status)
