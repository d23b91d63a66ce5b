"""How much of what people say is understood by sound: ``talk_by_sound.py --folder FOLDER``.

The labelled phrases of ``tests/talk`` are spoken by the kept-out voices of the hearing benchmark
(synthesisers of four kinds), heard by the listener within the grammar of where they are said, and
answered by the real engine. Of what is kept apart, the counts alone are told.
"""

import argparse
import random
import sys
from collections.abc import Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from benchmarks.hearing.sounds import SNR_DB, VOICES, Setting, recorded
from benchmarks.hearing.voices import Studio
from talk.scoring import read, score, table
from talk.situations import Talker
from talk.split import PARTS

from voiceassist.app import build
from voiceassist.app.ears.base import Utterance
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.ears.judgement import decided_at
from voiceassist.app.live.guessing import with_guess
from voiceassist.app.live.heard_events import decided_event
from voiceassist.app.settings.settings import Settings
from voiceassist.session.events import Heard
from voiceassist.session.session import Turn


class Room:
    """Where phrases are spoken and heard."""

    def __init__(self, hearing: Hearing, studio: Studio, level: str, voices: Sequence[str]) -> None:
        self._hearing, self._studio, self._level, self._voices = hearing, studio, level, voices

    def hear(self, one: Talker, turn: Turn, words: str) -> Heard:
        """What the session gets of ``words`` when they are spoken."""
        rng = random.Random(f"{self._level} {words}")
        noise = "room" if self._level == "quiet" else "pink"
        how = Setting(rng.choice(self._voices), "normal", noise, False, -24.0, rng.getrandbits(32))
        speech = self._studio.spoken(words, how.voice, how.rate)
        clip = recorded(speech, how, "kept", self._level, self._studio)
        grammar = one.grammar(turn)
        self._hearing.prepare(grammar)
        found = self._hearing.hear(clip)
        decision = decided_at(found, one.engine.setup, turn.session)
        said = Utterance(
            found.words, (), found.nothing, certain=False, start_s=0, end_s=0, judgement=found
        )
        event = decided_event(said, decision)
        setup = one.engine.at(turn.session)
        sound = found.faithful, found.wordings
        return with_guess(event, grammar, setup, turn.session, one.guesser, *sound)


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("part", choices=PARTS)
    options.add_argument("--folder", type=Path, required=True, help="keeps the spoken phrases")
    options.add_argument("--level", choices=SNR_DB, default="quiet")
    options.add_argument("--voice", choices=VOICES["kept"], help="this one alone")
    options.add_argument("--most", type=int, help="so many of them, drawn by lot, always the same")
    given = options.parse_args()
    voices = (given.voice,) if given.voice else VOICES["kept"]
    room = Room(build.Components(Settings()).hearing(), Studio(given.folder), given.level, voices)
    phrases = read(PARTS[given.part])
    if given.most is not None:
        phrases = random.Random(0).sample(phrases, min(given.most, len(phrases)))
    scored = [score(phrase, room.hear) for phrase in phrases]
    print("\n".join(table(scored, "situation")))


if __name__ == "__main__":
    main()
