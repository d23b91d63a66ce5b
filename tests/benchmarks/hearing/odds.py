"""Fits a listener's odds on the part "fit", and tells how they do on a part.

    python tests/benchmarks/hearing/odds.py fit      # prints a table for doubt/odds.toml
    python tests/benchmarks/hearing/odds.py table    # the shipped odds on the part "kept"

Three numbers are fitted, by greatest likelihood: the scale, what each letter takes from "none of
these" (a constant of the ear; of sphinx how the scale fades with the noise), and what other talk is
likely to be. ``collect.py`` collects what
is read here. Numbers that sound alike are counted apart: of them a question is due.
"""

import argparse
import math
import statistics
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
from benchmarks.hearing.collect import HEARERS, OTHER, TEMPORARY, Line, lines_file, read_lines
from benchmarks.hearing.judge import asked_anyway, lead
from benchmarks.hearing.phrases import LEVELS, PARTS
from benchmarks.hearing.steps import STEPS, english, grammar
from scipy.optimize import minimize

from voiceassist.app.build import alikes
from voiceassist.app.ears.judgement import Judgement, judged, understood
from voiceassist.app.loaded import shipped_odds
from voiceassist.doubt.alike import others_alike
from voiceassist.doubt.costs import Costs
from voiceassist.doubt.evidence import ClipFacts, Evidence, Key
from voiceassist.doubt.odds import Odds
from voiceassist.doubt.policy import NOT_HERE, Accept, AskAmong
from voiceassist.doubt.prior import plausible
from voiceassist.doubt.same import settled
from voiceassist.language.codec import from_json
from voiceassist.language.meanings import Reading
from voiceassist.recognise.base import Candidate, HeardClip, Nothing
from voiceassist.recognise.ear.listener import NONE_A_LETTER
from voiceassist.recognise.ear.weights import FILE

#: What a wrong turn costs, in questions: 30 to 40 phrases asked about for one taken wrongly are
#: held worth it. A wrong value that leads the same way, a quarter.
WRONG_TURN, WRONG_VALUE = 40.0, 10.0


@dataclass(frozen=True, slots=True)
class Case:
    """A line, what the listener makes of it, and whether each understanding is what was said."""

    line: Line
    evidence: Evidence

    @property
    def step(self) -> str:
        """Where it was said."""
        return str(self.line["step"])

    def right(self, key: object) -> bool:
        """Whether ``key`` holds what was said."""
        if self.line["meaning"] is None:
            return False
        said = settled((from_json(self.line["meaning"]),), STEPS[self.step])[0]
        return said in settled(key, STEPS[self.step])  # type: ignore[arg-type]


def heard(line: Line, none_a_letter: float = NONE_A_LETTER) -> HeardClip:
    """As the listener gives it."""
    if not line["letters"] or not line["candidates"]:
        nothing = Nothing.OUTSIDE if line["letters"] else Nothing.NO_SPEECH
        return HeardClip("ear", nothing=nothing)
    candidates = tuple(Candidate(words, score) for words, score in line["candidates"])
    none = line["free"] - none_a_letter * line["letters"]
    rest = -math.inf if line["rest"] is None else line["rest"]
    spelled = line["spelled"]
    return HeardClip("ear", candidates, None, none, spelled=spelled, rest=rest)


def cases(part: str, file: Path) -> list[Case]:
    """Every line of a part."""
    return [
        Case(line, understood(heard(line), grammar(line["step"])))
        for line in read_lines(file, part)
    ]


def fitted(of: Sequence[Case], listener: str) -> tuple[Odds, float]:
    """The likeliest odds, and what each letter takes; for sphinx, how the scale fades instead."""
    usable = [case for case in of if case.evidence.guesses]

    def made(numbers: np.ndarray) -> tuple[Odds, float]:
        scale, third, other = map(float, numbers)
        if listener == "ear":
            return Odds(scale, other), third
        return Odds(scale, other, fade=third), 0.0

    def loss(numbers: np.ndarray) -> float:
        odds, letter = made(numbers)
        return -statistics.mean(math.log(max(_chance(case, odds, letter), 1e-4)) for case in usable)

    start = np.array([0.5 if listener == "ear" else 0.02, 1.0, -3.0])
    found = minimize(loss, start, method="Nelder-Mead", options={"maxiter": 150})
    print(f"loss {found.fun:.4f} of {len(usable)}", file=sys.stderr)
    return made(found.x)


def _chance(case: Case, odds: Odds, letter: float) -> float:
    """What the odds give to what was said."""
    none = case.line["free"] - letter * case.line["letters"]
    evidence = replace(case.evidence, none_of_these=none)
    belief = odds.belief(evidence, STEPS[case.step], case.line["snr_db"])
    if case.line["meaning"] is None:
        return belief.none
    right = [key for key, _ in belief.likely if case.right(key)]
    alike = {key for each in right for key in _alike(case, each)}
    return sum(chance for key, chance in belief.likely if key in alike or case.right(key))


def _alike(case: Case, key: Key) -> tuple[Key, ...]:
    """What sounds like it, which a rule tells apart: the odds need not."""
    words = next(g.words for g in case.evidence.guesses if g.meanings == key)
    return others_alike(words, grammar(case.step), alikes(english()))


def judgement(case: Case, odds: Odds, none_a_letter: float) -> Judgement:
    """What the session's own code makes of it."""
    again = heard(case.line, none_a_letter)
    sound = ClipFacts(case.line["snr_db"], case.line["seconds"])
    return judged(again, grammar(case.step), sound, odds, alikes(english()))


@dataclass(frozen=True, slots=True)
class Told:
    """What became of one case: "right", "wrong", "asked", "rejected" or "alike".

    "alike" is the question for digits, which is due by rule; ``first`` tells whether the
    likeliest understanding was right, ``turned`` whether a wrong one leads elsewhere.
    """

    case: Case
    outcome: str
    first: bool
    turned: bool
    probability: float


def told(case: Case, found: Judgement) -> Told:
    """Decide as a session does that takes the lower or the upper half of what is plausible."""
    expectation = STEPS[case.step]

    def leads(key: Key) -> str:
        ruled_out = isinstance(key[0], Reading) and not plausible(key[0], expectation)
        return NOT_HERE if len(key) == 1 and ruled_out else lead(key, expectation)

    decision = found.decided(leads)
    likely = found.belief.likely if found.belief is not None else ()
    best, probability = likely[0] if likely else ((), 0.0)
    first, turned = case.right(best), False
    if isinstance(decision, AskAmong):
        plain = replace(found, alike=None).decided(leads)
        outcome = "alike" if isinstance(plain, Accept) else "asked"
    elif not isinstance(decision, Accept):
        outcome = "rejected"
    elif asked_anyway(best, expectation):
        outcome = "asked"
    else:
        outcome = "right" if first else "wrong"
        said = case.line["meaning"]
        truth = () if said is None else (from_json(said),)
        turned = not first and lead(best, expectation) != lead(truth, expectation)
    return Told(case, outcome, first, turned, probability)


def burden(of: Sequence[Told]) -> float:
    """In questions: what is asked or let pass is one, what is taken wrongly many."""
    asked = sum(t.outcome == "asked" for t in of)
    lost = sum(t.outcome == "rejected" and t.case.line["meaning"] is not None for t in of)
    wrong = sum(WRONG_TURN if t.turned else WRONG_VALUE for t in of if t.outcome == "wrong")
    return asked + lost + wrong


def chosen(of: Sequence[Case], odds: Odds, none_a_letter: float) -> Costs:
    """The costs under which the least is paid in questions and mistakes."""
    offered = [
        Costs(turn / 4, turn, none, worth)
        for turn, none, worth in product((20.0, 40.0, 80.0), (0.3, 0.5, 0.8), (0.02, 0.1))
    ]
    found = [judgement(case, odds, none_a_letter) for case in of]

    def paid(costs: Costs) -> float:
        each = zip(of, found, strict=True)
        return burden([told(case, replace(one, costs=costs)) for case, one in each])

    return min(offered, key=paid)


def rows(of: Sequence[Told]) -> Iterator[str]:
    """A line of Markdown a level; shares of its phrases in percent."""
    yield "| level | phrases | first | right | wrong | wrong turn | asked | rejected | alike |"
    yield "|---|---|---|---|---|---|---|---|---|"
    for level in LEVELS:
        these = [t for t in of if t.case.line["level"] == level]
        if these:
            yield f"| {level} | {len(these)} | {_shares(these)} |"


def _shares(of: Sequence[Told]) -> str:
    outcomes = Counter(t.outcome for t in of)
    counts = [sum(t.first for t in of), outcomes["right"], outcomes["wrong"]]
    counts += [sum(t.turned for t in of if t.outcome == "wrong")]
    counts += [outcomes[each] for each in ("asked", "rejected", "alike")]
    return " | ".join(f"{100 * count / len(of):.1f}" for count in counts)


def other_rows(of: Sequence[Told]) -> Iterator[str]:
    """How often other talk and noise stir, a line a source."""
    yield "| other sounds | sounds | minutes | taken | taken an hour | asked an hour |"
    yield "|---|---|---|---|---|---|"
    others = [t for t in of if t.case.line["level"] == OTHER]
    for source in ("all", *sorted({t.case.line["kind"] for t in others})):
        these = [t for t in others if source in {"all", t.case.line["kind"]}]
        hours = sum(t.case.line["seconds"] for t in these) / 3600
        taken = sum(t.outcome == "wrong" for t in these)
        asked = sum(t.outcome in {"asked", "alike"} for t in these)
        yield (
            f"| {source} | {len(these)} | {60 * hours:.1f} | {taken} | {taken / hours:.0f} "
            f"| {asked / hours:.0f} |"
        )


def reliability(of: Sequence[Told]) -> Iterator[str]:
    """How often the likeliest understanding is right, by its probability."""
    yield "| probability | phrases | mean | right |"
    yield "|---|---|---|---|"
    ends = (0.0, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 0.999, 1.01)
    for low, high in pairwise(ends):
        these = [t for t in of if low <= t.probability < high]
        if these:
            mean = statistics.mean(t.probability for t in these)
            right = statistics.mean(t.first for t in these)
            yield f"| {low} | {len(these)} | {mean:.3f} | {right:.3f} |"


def times(of: Sequence[Case]) -> str:
    """What a phrase takes, on one core."""
    network = statistics.median(c.line["network_s"] for c in of)
    searched = statistics.median(c.line["search_s"] for c in of)
    return f"median: network {1e3 * network:.0f} ms, search {1e3 * searched:.0f} ms"


def misses(of: Sequence[Told]) -> Iterator[str]:
    """Each phrase that was taken wrongly, and what it was taken for."""
    for each in of:
        if each.outcome == "wrong":
            line = each.case.line
            heard_as = "; ".join(words for words, _ in line["candidates"][:3])
            place = f"{line['id']} {line['voice']} in {line['noise']} at {line['step']}"
            yield f"{place}: {line['words']} -> {heard_as}"


def tell_fit(file: Path, listener: str) -> None:
    """Fit on what was collected, and print it as the files take it, with its tables."""
    of = cases("fit", file)
    odds, letter = fitted(of, listener)
    odds = replace(odds, costs=chosen(of, odds, letter))
    costs = odds.costs
    print(
        f"NONE_A_LETTER = {letter:.3f}\n\n[{listener}]\nscale = {odds.scale:.4f}\n"
        f"fade = {odds.fade:.4f}"
    )
    print(f"other = {odds.other:.4f}\ncost-wrong-value = {costs.wrong_value}")
    print(f"cost-wrong-turn = {costs.wrong_turn}\nlet-pass-above = {costs.none}")
    print(f"ask-above = {costs.worth}\n")
    _print_tables(of, odds, letter)


def _print_tables(of: Sequence[Case], odds: Odds, letter: float) -> list[Told]:
    found = [told(case, judgement(case, odds, letter)) for case in of]
    for part in (rows(found), other_rows(found), reliability(found)):
        print("\n".join(part), end="\n\n")
    print(times(of))
    return found


def main() -> None:
    """Fit, or print the tables."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("what", choices=("fit", "table"))
    options.add_argument("--part", choices=PARTS, default="kept")
    options.add_argument("--listener", choices=HEARERS, default="ear")
    options.add_argument("--weights", type=Path, default=FILE)
    options.add_argument("--folder", type=Path, default=TEMPORARY)
    options.add_argument("--misses", action="store_true", help="show each phrase taken wrongly")
    given = options.parse_args()
    file = lines_file(given.listener, given.weights, given.folder)
    if not read_lines(file, "fit" if given.what == "fit" else given.part):
        options.error("nothing is collected yet; run collect.py first")
    if given.what == "fit":
        tell_fit(file, given.listener)
        return
    letter = NONE_A_LETTER if given.listener == "ear" else 0.0
    of = cases(given.part, file)
    found = _print_tables(of, shipped_odds()[given.listener], letter)
    if given.misses:
        print("\n".join(misses(found)))


if __name__ == "__main__":
    main()
