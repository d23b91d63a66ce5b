"""How long does an answer take that is reckoned from the circuit, with the largest procedure?

Largest is the one with the most faults times steps. Told are its table (how large it is, and how
long it takes to make, once for each file), the probabilities after a reading with every other
step read before it (goal: under 200 ms on one core), what all tests that are left are worth, and
what a reading takes in a rehearsal, where the procedure leads and between two places of the
trainee's own choice, any two that a lead can be held to (goal: under 50 ms). A test that no step
makes is looked into once, while the trainee says nothing or at the latest when he asks; then the
answer to how sure it is (goal: under 200 ms). All of it is processor time.

Run it: ``python tests/benchmarks/reasoning.py``; other procedures may be named.
"""

import random
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import permutations
from pathlib import Path
from threading import Thread

sys.path.insert(0, str(Path(__file__).parents[1]))

import numpy as np
from drawn_jobs import library
from drawn_vehicles import readers

from voiceassist.app import build
from voiceassist.app.desk.prove import setup_of
from voiceassist.app.rehearsal.asked import Mode, Settled
from voiceassist.app.rehearsal.tables import adviser_of
from voiceassist.app.rehearsal.vehicle import bench_of
from voiceassist.prove.cases import GOOD
from voiceassist.reason.adviser import Adviser
from voiceassist.rehearse.hints import hint
from voiceassist.rehearse.marks import Strictness
from voiceassist.rehearse.tested import with_tests
from voiceassist.rehearse.wishes import Verb, Wish, points

SEED, VEHICLES, OWN = 20_261_130, 20, 8


def ms(act: Callable[..., object], *given: object) -> float:
    """The processor time of ``act`` with what is ``given``, in milliseconds."""
    begun = time.process_time()
    act(*given)
    return 1000 * (time.process_time() - begun)


def beliefs(adviser: Adviser) -> tuple[list[float], list[float]]:
    """What the probabilities take after each reading, and the worth of what is left then."""
    after, worth = [], []
    for reader in readers(adviser, VEHICLES, SEED):
        steps = list(dict.fromkeys(place.step for place in adviser.samples.places))
        seen = []
        for step in tuple(steps):
            place = adviser.first(step)
            assert place is not None
            seen.append(adviser.seen_at(place, reader(adviser.samples.places[place])))
            steps.remove(step)
            after.append(ms(adviser.belief, seen))
            if len(seen) % 5 == 1:
                worth.append(ms(adviser.next_tests, seen, steps))
    return after, worth


def readings(adviser: Adviser) -> tuple[list[float], list[float]]:
    """What it takes to read each step at vehicles of each fault, and then any two places."""
    setup, led, free = adviser.setup, [], []
    chance = random.Random(SEED)
    pairs = list(permutations(points(setup.procedure), 2))
    for number, cause in enumerate(adviser.samples.causes):
        fault = "" if cause == GOOD else cause
        bench = bench_of(Settled(Mode.LED, fault, number, Strictness.MILD), setup)
        for place in adviser.samples.places:
            for condition, state in place.states:
                bench.do(Wish(Verb.BRING, condition, state))
            step = setup.procedure.step(place.step)
            led.append(ms(bench.do, Wish(Verb.READ), step))
            verb = chance.choice((Verb.VOLTS, Verb.OHMS, Verb.LAMP))
            free.append(ms(bench.do, Wish(verb, *chance.choice(pairs))))
    return led, free


def own(adviser: Adviser) -> tuple[list[float], list[float], list[float]]:
    """How long a test of one's own takes to look into, and how sure it is, meanwhile and then."""
    setup, first, again, meanwhile = adviser.setup, [], [], []
    chance = random.Random(SEED)
    pairs = list(permutations(points(setup.procedure), 2))
    bench = bench_of(Settled(Mode.FREE, adviser.samples.causes[0], 1, Strictness.MILD), setup)
    for pair in chance.sample(pairs, OWN):
        bench.do(Wish(Verb.VOLTS, *pair))
        first.append(ms(with_tests, adviser, bench.acts))
        looking = Thread(target=with_tests, args=(adviser, tuple(bench.acts)))
        looking.start()
        meanwhile.append(ms(hint, adviser, bench.acts, Wish(Verb.SURE)))
        looking.join()
        adviser, _ = with_tests(adviser, bench.acts)
        again.append(ms(hint, adviser, bench.acts, Wish(Verb.SURE)))
    return first, meanwhile, again


def told(title: str, took: list[float], goal: str = "") -> str:
    """One line: the middle, the 99th of a hundred and the longest."""
    middle, high, most = np.median(took), np.percentile(took, 99), max(took)
    line = f"  {title:38} {middle:8.1f} {high:8.1f} {most:8.1f} ms"
    return f"{line}  (goal {goal})" if goal else line


def report(name: str) -> None:
    """Print all of one procedure."""
    written = build.procedure(name)
    procedure = written.procedure
    setup = setup_of(procedure, build.Components(build.settings({})))
    print(f"{name}: {len(procedure.faults)} faults, {len(procedure.steps)} steps")
    with tempfile.TemporaryDirectory() as folder:
        made: list[Adviser] = []
        took = ms(lambda: made.append(adviser_of(setup, written, folder=Path(folder))))
        size = sum(file.stat().st_size for file in Path(folder).iterdir())
        read = ms(lambda: adviser_of(setup, written, folder=Path(folder)))
    table = made[0].samples
    held = (table.numbers.nbytes + table.seen.nbytes) / 1000
    places, causes, cars = table.numbers.shape
    print(f"  table: {places} tests x {causes} causes x {cars} vehicles, {held:.0f} kB in memory,")
    print(f"  {size / 1000:.0f} kB kept; made in {took / 1000:.1f} s, read in {read:.0f} ms")
    print(f"  {'':38} {'middle':>8} {'99 %':>8} {'longest':>8}")
    after, worth = beliefs(made[0])
    print(told("probabilities after a reading", after, "200"))
    print(told("worth of every test that is left", worth))
    led, free = readings(made[0])
    print(told("reading that the procedure asks for", led, "50"))
    print(told("reading between two places of his own", free, "50"))
    first, meanwhile, again = own(made[0])
    print(told("a test of his own looked into, once", first))
    print(told("how sure it is, meanwhile", meanwhile, "200"))
    print(told("how sure it is, after such tests", again, "200"), flush=True)


def largest() -> str:
    """The shipped procedure with the most faults times steps."""
    every = {name: build.procedure(name).procedure for name in library()}
    return max(every, key=lambda name: len(every[name].faults) * len(every[name].steps))


def main() -> None:
    for name in sys.argv[1:] or [largest()]:
        report(name)


if __name__ == "__main__":
    main()
