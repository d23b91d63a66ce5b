"""How much is said in a whole job: ``words.py [--show JOB [--detail LEVEL]] [--most]``.

Does nine jobs on simulated vehicles through the real engine, at each level of detail, and counts
the words that are spoken, figures in words, and the exchanges. ``--show`` prints one of them with
the words of each sentence, ``--most`` the sentences of all nine that take the most words.
"""

import argparse
import sys
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from whole_jobs import Job, whole_job

from voiceassist.app import build
from voiceassist.app.desk.prove import setup_of
from voiceassist.app.settings.settings import Settings
from voiceassist.session.copying import replace
from voiceassist.session.session import Detail

#: Procedure and fault ("" for a good vehicle), with what was counted before it said less:
#: words in brief, normal and teaching detail, and exchanges.
JOBS = {
    "fan module": ("heater-fan-module", "module-stuck-fast", 651, 849, 1494, 29),
    "draw, lid switch": ("key-off-draw", "lid-switch-stuck", 619, 716, 988, 21),
    "draw, alternator": ("key-off-draw", "diode-leaks", 809, 930, 1271, 28),
    "bus, good": ("can-termination", "", 534, 759, 1205, 20),
    "bus, front end open": ("can-termination", "front-end-open", 482, 576, 867, 14),
    "charging, alternator": ("no-charging", "diodes-burnt", 675, 764, 997, 27),
    "charging, good": ("no-charging", "", 293, 329, 479, 12),
    "trailer, wire": ("trailer-socket", "brown-wire-broken", 570, 829, 1243, 29),
    "trailer, good": ("trailer-socket", "", 426, 664, 929, 21),
}
SHOP = build.Components(Settings())
#: Words that the fan job may take, by detail; the others may take two thirds of what they took.
GOALS = {Detail.BRIEF: 380, Detail.NORMAL: 550, Detail.TEACHING: 1000}


def job(name: str, fault: str, detail: Detail) -> Job:
    setup = setup_of(build.procedure(name).procedure, SHOP)
    return whole_job(replace(setup, detail=detail), fault)


def table() -> None:
    print(
        f"{'job':22} {'brief':>10} {'normal':>11} {'teaching':>12} {'exchanges':>9} bare cautions"
    )
    for title, (name, fault, *before) in JOBS.items():
        jobs = {detail: job(name, fault, detail) for detail in Detail}
        words = [jobs[d].words(SHOP.to_words) for d in Detail]
        normal = jobs[Detail.NORMAL]
        cells = " ".join(f"{now:5}/{old:<5}" for now, old in zip(words, before, strict=False))
        print(
            f"{title:22} {cells} {normal.exchanges:4}/{before[3]:<3} {normal.bare:4} "
            f"{normal.caution_words(SHOP.to_words):5}  {normal.session.finding} {normal.outcome}"
        )


def count(text: str) -> int:
    return len(SHOP.to_words(text).split())


def show(title: str, detail: Detail) -> None:
    name, fault, *_ = JOBS[title]
    for turn in job(name, fault, detail).turns:
        if turn.said:
            print(f"        > {turn.said}")
        for output in turn.outputs:
            if output.text:
                print(f"{count(output.text):5}   {output.text}")


def most(detail: Detail) -> None:
    """Sentences by the words they take in all nine jobs together."""
    spent: Counter[str] = Counter()
    for name, fault, *_ in JOBS.values():
        for text in job(name, fault, detail).texts:
            spent[text] += count(text)
    for text, words in spent.most_common(60):
        print(f"{words:5}   {text}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--show", choices=JOBS)
    parser.add_argument("--most", action="store_true")
    parser.add_argument("--detail", type=Detail, default=Detail.NORMAL)
    chosen = parser.parse_args()
    if chosen.show:
        show(chosen.show, chosen.detail)
    elif chosen.most:
        most(chosen.detail)
    else:
        table()


if __name__ == "__main__":
    main()
