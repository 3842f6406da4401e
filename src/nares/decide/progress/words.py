"""What a dog's progress says, in sentences for the trainer: every figure with its count and interval."""

from nares.decide.progress.clusters import Alike
from nares.decide.progress.cold import FEWEST_SESSIONS, Loss
from nares.decide.progress.course import Place
from nares.decide.progress.fits import Start
from nares.decide.progress.mastered import Mastered
from nares.decide.progress.progress import FEWEST_REPS, Progress
from nares.decide.progress.relapse import Watch
from nares.decide.progress.uneven import uneven_reps_to_alarm

TOLD_ALIKE = 0.01
"""Below this, how alike sessions are is not worth telling of an alarm. [-]"""

STARTS: dict[Start, str] = {
    "open": "The curve may begin anywhere between 0 and 100 %; how fast it may move is weighed over "
    "six speeds.",
    "at_level": "The curve begins at {level:.0%}, which pulls a short record towards it.",
    "half_way": "The curve begins half-way between {level:.0%} and what the first rep suggests.",
    "at_first": "The curve begins at what the first rep suggests.",
}
"""Where the curve begins, in words."""


def relapse_sentences(progress: Progress) -> list[str]:
    """One sentence for every mastered step the dog has fallen back at; none when there is none.

    Said of reps since the dog went on from the step; an alarm stands until the reps after it have earned the
    raise again.
    """
    return [_fallen(one, steady_alike(progress)) for one in progress.mastered if one.standing == "relapse"]


def mastered_sentences(one: Mastered) -> list[str]:
    """How one mastered step stands, and what its alarm is worth."""
    if one.standing == "untried":
        return [f"Not tried since the dog went on ({_day(one.raised)}): nothing is known of it now."]
    said = [_standing(one)]
    if one.earlier:
        times = "once" if one.earlier == 1 else f"{one.earlier} times"
        said.append(f"It had fallen back {times} before and earned the raise again.")
    return said


def alarm_sentence(watch: Watch, alike: Alike | None = None) -> str:
    """How often the alarm goes by luck, and how soon in earnest.

    Args:
        watch: The alarm.
        alike: How alike the reps of a session are, where known: false alarms come oftener then.
    """
    return (
        f"A false alarm about once in {watch.false_alarm_reps:.0f} reps of a dog at {watch.good:.0%}"
        f"{_oftener(watch, alike)}; one fallen to {watch.bad:.0%} is noticed after about "
        f"{watch.notice_reps:.0f} "
        "reps."
    )


def steady_alike(progress: Progress) -> Alike | None:
    """How alike the reps of a session are, unless the dog changed: what it learned is no luck of a day."""
    return None if progress.changes else progress.alike


def _oftener(watch: Watch, alike: Alike | None) -> str:
    if alike is None or alike.alike is None or alike.alike < TOLD_ALIKE:
        return ""
    reps = uneven_reps_to_alarm(
        watch.good,
        good=watch.good,
        bad=watch.bad,
        line=watch.line,
        alike=round(alike.alike, 2),
        session_reps=round(alike.reps / alike.sessions),
    )
    return f" (in {reps:.0f} where the reps of a session are alike by {alike.alike:.2f}, as here)"


def rate_sentences(progress: Progress) -> list[str]:
    """Reps met at the step with the interval, and what was left out."""
    if progress.rate is None or progress.low is None or progress.high is None:
        said = [f"No counted reps at {progress.step_name} yet."]
    else:
        said = [
            f"{progress.met} of {_counted(progress.reps, 'rep')} met over "
            f"{_counted(progress.sessions, 'session')}: "
            f"{progress.rate:.0%} ({progress.low:.0%} to {progress.high:.0%}, {progress.confidence:.0%} "
            "interval)."
        ]
    if progress.note and progress.reps:
        said.append(progress.note)
    if progress.left_out:
        said.append(
            f"Not counted: {_counted(progress.left_out, 'rep')} there asked for less than the step's "
            "shortest hold, "
            "or not about what the step is about."
        )
    if not progress.known:
        said.append("The programme does not have this step: the usual levels are used.")
    return said


def curve_sentences(progress: Progress) -> list[str]:
    """Where the dog stands by the curve, from where on it has learned, and how the curve was made."""
    if progress.course is None:
        return [
            f"{_counted(progress.reps, 'counted rep')} at this step: a curve is drawn from "
            f"{FEWEST_REPS} reps on."
        ]
    curve, bins = progress.course.curve, progress.course.bins
    live = curve.live
    said = [
        f"Now: {live.middle[-1]:.0%} ({live.low[-1]:.0%} to {live.high[-1]:.0%}, 90% band) on the reps "
        "so far; "
        f"the chance that it is above {curve.level:.0%} is {_chance(live.above[-1])}.",
        _learned(progress),
        "The curve looks back: each point also uses later reps, so it is for the picture; decisions "
        "use the reps so "
        "far.",
        STARTS[curve.start].format(level=curve.level),
    ]
    if len(bins) < progress.reps:
        said.append(
            f"{progress.reps} reps are too many for one point each: they are put together in "
            f"{len(bins)} points, "
            f"whole sessions each."
        )
    if not curve.settled:
        said.append("The fit of the curve did not come to rest: do not lean on it.")
    return said


def change_sentences(progress: Progress) -> list[str]:
    """Where the share of reps met changed, by a test of its own."""
    if progress.reps < FEWEST_REPS:
        return [f"{_counted(progress.reps, 'counted rep')}: too few to look for a change."]
    said = [
        f"From rep {one.place.rep} ({one.place.session}, {_day(one.place)}) on: "
        f"{one.after.met} of {one.after.reps} met, {one.before.met} of {one.before.reps} just before."
        for one in progress.changes
    ]
    if progress.changes_from > 1:
        said.append(f"Looked for from rep {progress.changes_from} on.")
    return said or ["No sudden change is seen: the reps fit one share of reps met, or one that moves slowly."]


def cold_sentences(progress: Progress) -> list[str]:
    """What the first reps of a session lose, or that too little is known."""
    cold = progress.cold
    said = [
        _loss(cold.within, f"the first {cold.cold_reps} reps of a session", "its later ones"),
        _loss(
            cold.since_last,
            f"the first {cold.cold_reps} reps of a session",
            f"the last {cold.cold_reps} of the one before",
        ),
    ]
    warmed = progress.sessions - cold.begun_cold
    if warmed:
        said.append(
            f"{_counted(warmed, 'session')} of {progress.sessions} began with other reps and say "
            "nothing of cold ones."
        )
    asks = progress.cold_ask_s, progress.later_ask_s
    if cold.within.difference is not None and asks[0] is not None and asks[1] is not None:
        said.append(
            f"Mean ask: {asks[0]:.1f} s cold, {asks[1]:.1f} s later. Shorter asks make cold reps look better."
        )
    return said


def alike_sentences(progress: Progress) -> list[str]:
    """How alike the reps of a session are, and what that costs."""
    alike = progress.alike
    if alike.alike is None or alike.low is None or alike.high is None:
        return [alike.why_none]
    said = [
        f"Reps of one session are alike by {alike.alike:.2f} ({alike.low:.2f} to {alike.high:.2f}; 0 is "
        "not at all, "
        f"1 is fully), from {_counted(alike.sessions, 'session')}."
    ]
    if alike.design_effect is not None and alike.design_effect >= 1.05:
        said.append(f"It takes {alike.design_effect:.1f} such reps to say as much as one independent rep.")
    if progress.changes:
        said.append(
            "The dog changed over these sessions: part of how they differ is what it learned or lost."
        )
    if progress.effective_reps < 0.95 * progress.reps:
        said.append(
            f"The interval counts the {progress.reps} reps as {progress.effective_reps:.0f}: sessions "
            "differ, and how "
            "much is itself uncertain."
        )
    return said


def _fallen(one: Mastered, alike: Alike | None) -> str:
    return f"{one.step_name}: {_since(one)} {alarm_sentence(one.watch, alike)}"


def _since(one: Mastered) -> str:
    assert one.since is not None
    assert one.alarm is not None
    return (
        f"fallen back since rep {one.since.rep} there ({_day(one.since)}), noticed at rep {one.alarm.rep} "
        f"({_day(one.alarm)}); {one.since_met} of {one.since_reps} met since."
    )


def _standing(one: Mastered) -> str:
    assert one.low is not None
    assert one.high is not None
    share = (
        f"{one.met} of {_counted(one.reps, 'rep')} met since the dog went on "
        f"({one.low:.0%} to {one.high:.0%}, {one.confidence:.0%} interval), "
        f"{_counted(one.sessions, 'session')}, last "
        f"{_day(one.newest)}."
    )
    if one.standing == "relapse":
        return f"F{_since(one)[1:]} In all, {share}"
    if one.standing == "quiet":
        return f"No sign of falling back: {share}"
    return (
        f"Watch it: {one.since_met} of the last {one.since_reps} met, {one.height:.0%} of the way to an "
        "alarm. "
        f"{share}"
    )


def _learned(progress: Progress) -> str:
    assert progress.course is not None
    curve, learned = progress.course.curve, progress.course.learned
    if learned is None:
        return _not_learned(progress) + _was_certain(progress)
    return (
        f"Learned from rep {learned.rep} ({learned.session}, {_day(learned)}): from there to the last "
        "rep it is more "
        f"than {curve.sure:.0%} certain that the dog is above {curve.level:.0%}, the level of a dog "
        "that is not ready."
    )


def _not_learned(progress: Progress) -> str:
    assert progress.course is not None
    curve = progress.course.curve
    return (
        "Not learned for good: there is no rep from which on, to the last, it is more than "
        f"{curve.sure:.0%} certain that the dog is above {curve.level:.0%}."
    )


def _was_certain(progress: Progress) -> str:
    """The last stretch of the curve that was certain, where later reps left doubt; else nothing."""
    assert progress.course is not None
    curve, bins = progress.course.curve, progress.course.bins
    above = curve.looking_back.above
    last = next((place for place in reversed(range(len(above))) if above[place] > curve.sure), None)
    if last is None:
        return ""
    first = last
    while first > 0 and above[first - 1] > curve.sure:
        first -= 1
    return (
        f" It is that certain of reps {bins[first].first} to {bins[last].last}; those after it leave doubt."
    )


def _loss(loss: Loss, first: str, others: str) -> str:
    if loss.difference is None or loss.low is None or loss.high is None:
        return (
            f"{first.capitalize()} against {others}: {_counted(loss.sessions, 'session')} to compare, "
            f"{FEWEST_SESSIONS} are needed."
        )
    says = "are worse" if loss.high < 0 else "are better" if loss.low > 0 else "do not differ for certain"
    return (
        f"{first.capitalize()} against {others}: {loss.cold:.0%} and {loss.others:.0%}, a difference of "
        f"{100 * loss.difference:+.0f} points ({100 * loss.low:+.0f} to {100 * loss.high:+.0f}) over "
        f"{_counted(loss.sessions, 'session')}: cold reps {says}."
    )


def _counted(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def _chance(chance: float) -> str:
    return "under 1%" if chance < 0.01 else "over 99%" if chance > 0.99 else f"{chance:.0%}"


def _day(place: Place | None) -> str:
    return "" if place is None else place.started_at[:10]
