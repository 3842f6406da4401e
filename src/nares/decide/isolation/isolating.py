"""Which criterion was too much: after a fail at a combination, probes that tell the criteria apart.

Conventions
-----------
A step fails when the call at it is *ease*, or *undecided* at the cap. *Suspects* are what the step raised,
and every other criterion not at its easiest. A *probe* is the failed step with one suspect brought back to
where the dog was last sure, everything else as it was: a session differs from the failed step in that one
criterion. Where the programme has a step with exactly these criteria, going back to that step is the probe.

- Each probe is judged by Wald's lines between the step's ``ready`` and ``not_ready``. At the upper line the
  dog is *restored*: that criterion, alone, was too much. At the lower line, or after ``PROBE_CAP`` reps, it
  is *not restored*, and the next suspect is probed.
- The accepted chance that a probe is taken for restored though the dog stands at ``not_ready`` is shared
  among the probes, so that the chance to name a wrong criterion stays near ``WRONG``. `probe_risks` computes
  exactly what that leaves; where no suspect alone brings the dog back, *none* is the answer.
- What raised the step is probed first: it is what changed. The others follow, by how much better the dog's
  own reps were with them eased, then in the order of `nares.decide.steps.criteria`.
- What the dog's own reps say of each suspect is counted and shown, never decided on: older reps come from a
  greener dog.
- At a probe: *stay* while it is open, *ease* to the next suspect's when it did not restore the dog, *raise*
  on the way back when it did.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.vocab import Rep
from nares.decide.calling.step import StepCall
from nares.decide.evidence import is_about, is_easy, latest_stretch
from nares.decide.isolation.blame import Blame, blame_of
from nares.decide.isolation.easing import name_of, parent_of, raised_from, step_of
from nares.decide.isolation.probes import Probe, all_eased, probe_risks, probe_state, probe_steps, way_back
from nares.decide.steps.programme import Programme, Step
from nares.decide.verdict import Verdict, call_on


@dataclass(frozen=True, slots=True)
class Isolation:
    """What is known of which criterion broke a step.

    ``broke``: the criterion's name, None while open or where none alone explains it; ``settled`` says which.
    ``next_step``: where to go on now, by key. ``plan``: the way back to the failed step, by key, once it is
    known. ``wrong``: chance that the criterion named is a wrong one. ``blames``: the dog's own reps.
    """

    failed: str
    failed_name: str
    probes: tuple[Probe, ...]
    blames: tuple[Blame, ...]
    next_step: str
    next_name: str
    settled: bool
    broke: str | None
    plan: tuple[str, ...]
    plan_names: tuple[str, ...]
    wrong: float
    because: tuple[str, ...]


def isolate(own: Sequence[Rep], found: StepCall, step: Step, programme: Programme) -> Isolation | None:
    """Say what broke the step a dog failed at, and what to try next; None where nothing failed.

    Args:
        own: All reps of one dog, oldest first.
        found: The call at its step.
        step: That step: the failed one, or a probe of it.
        programme: Its programme.
    """
    failed = _failed_step(own, found, step, programme)
    if failed is None:
        return None
    steps = probe_steps(failed, programme)
    if not steps:
        return None
    blames = tuple(blame_of(own, failed, steps, programme))
    order = _order(failed, steps, blames, programme)
    since = _since(own, failed) if failed.key != step.key else []
    probes = tuple(_probe(key, steps[key], since, failed, len(steps)) for key in order)
    tried = list(dict.fromkeys(rep.step for rep in since))
    return _isolation(failed, steps, probes, blames, tried, programme)


def followed(verdict: Verdict, step: Step, isolation: Isolation | None, programme: Programme) -> Verdict:
    """The verdict with what isolating asks for; the same object where it asks for nothing else."""
    if isolation is None or verdict.call == "stop":
        return verdict
    there = step_of(programme, isolation.next_step)
    if there is None or (isolation.failed == step.key and verdict.call != "ease"):
        return verdict
    if isolation.failed == step.key:
        same = there.key == verdict.next_step.key
        return verdict if same else Verdict("ease", there, f"Go to {there.name} and come again.")
    if isolation.broke is not None:
        if there.key == step.key:
            return verdict  # on the way back already: the step test decides
        return Verdict("raise", there, f"Next: {there.name}.")
    if there.key == step.key:
        return Verdict("stay", step, f"Go on with {step.name}: it does not tell yet.")
    return Verdict("ease", there, f"This did not bring the dog back. Next: {there.name}.")


def _failed_step(own: Sequence[Rep], found: StepCall, step: Step, programme: Programme) -> Step | None:
    """The failed step a dog is at, or whose probe it is at."""
    parent = step_of(programme, parent_of(step.key)) if programme.place_of(step.key) is None else None
    if parent is not None and step.key in {probe.key for probe in probe_steps(parent, programme).values()}:
        before = list(own)
        while before and before[-1].step != parent.key:
            before.pop()
        if before and failed_call(call_on(latest_stretch(before, programme), parent)):
            return parent
    return step if failed_call(found) else None


def failed_call(found: StepCall) -> bool:
    """Whether a call says that the step was too much: to ease, or undecided at the cap."""
    return found.call == "ease" or found.undecided


def _since(own: Sequence[Rep], failed: Step) -> list[Rep]:
    """The reps after the last one at the failed step."""
    last = max((index for index, rep in enumerate(own) if rep.step == failed.key), default=-1)
    return list(own[last + 1 :])


def _order(failed: Step, steps: dict[str, Step], blames: Sequence[Blame], programme: Programme) -> list[str]:
    """What raised the step first; the others by how much better the dog's own reps were with them eased."""
    raised = raised_from(failed, programme)
    gain = {blame.criterion: blame.gain for blame in blames}
    places = {key: place for place, key in enumerate(steps)}
    return sorted(steps, key=lambda key: (key not in raised, -gain.get(key, 0.0), places[key]))


def _probe(criterion: str, probe: Step, since: Sequence[Rep], failed: Step, count: int) -> Probe:
    own = [rep for rep in since if rep.step == probe.key]
    met = [rep.met for rep in own if is_about(rep, probe) and not is_easy(rep, probe)]
    return Probe(
        criterion,
        name_of(criterion),
        probe.key,
        probe.name,
        probe_state(met, failed, count),
        len(met),
        sum(met),
    )


def _isolation(
    failed: Step,
    steps: dict[str, Step],
    probes: tuple[Probe, ...],
    blames: tuple[Blame, ...],
    tried: Sequence[str],
    programme: Programme,
) -> Isolation:
    """``tried``: the steps worked at since the fail, in the order they were begun."""
    # On the way back a second probe may be restored too: the first one tried is the answer.
    back = [probe for probe in probes if probe.state == "restored"]
    restored = min(back, key=lambda probe: tried.index(probe.step)) if back else None
    going = next((one for state in ("open", "untried") for one in probes if one.state == state), None)
    if restored is not None:
        way = way_back(failed, restored.criterion, steps, programme)
    elif going is not None:
        way = (steps[going.criterion],)
    else:
        way = (all_eased(failed, probes, programme),)
    settled = restored is not None or going is None
    return Isolation(
        failed=failed.key,
        failed_name=failed.name,
        probes=probes,
        blames=blames,
        next_step=way[0].key,
        next_name=way[0].name,
        settled=settled,
        broke=restored.name if restored else None,
        plan=tuple(step.key for step in way) if settled else (),
        plan_names=tuple(step.name for step in way) if settled else (),
        wrong=probe_risks(failed, len(probes))[0],
        because=tuple(_sentences(failed, probes, restored, going, way)),
    )


def _sentences(
    failed: Step,
    probes: Sequence[Probe],
    restored: Probe | None,
    going: Probe | None,
    way: Sequence[Step],
) -> list[str]:
    tried = [f"{probe.met} of {probe.reps} with {probe.name} eased" for probe in probes if probe.reps]
    counts = f" ({'; '.join(tried)})" if tried else ""
    if restored is not None:
        wrong = probe_risks(failed, len(probes))[0]
        risk = f", wrong at most {wrong:.0%} of the time" if len(probes) > 1 else ""
        return [
            f"What was too much at {failed.name} is {restored.name}{counts}{risk}. It alone is eased: "
            f"{', then '.join(step.name for step in way)}."
        ]
    if going is None:
        return [
            f"No single criterion explains {failed.name}{counts}: something else has changed. "
            f"Look at the dog, the place and the pay, and begin again at {way[0].name}."
        ]
    if len(probes) == 1:
        return [
            f"At {failed.name} only {going.name} stands above its easiest{counts}: that was too much. "
            f"It is eased: {going.step_name}."
        ]
    others = [probe.name for probe in probes if probe is not going and probe.state == "untried"]
    rest = (
        f" If that does not bring the dog back, {_listed(others)} come{'s' * (len(others) == 1)} next."
        if others
        else ""
    )
    start = f"To find what was too much at {failed.name}, ease {going.name} alone: {going.step_name}"
    return [f"{start}{counts}.{rest}"]


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
