"""A bench that is typed at: lines in, through the real grammar of the step, outputs out."""

from functools import cache

from bench import HOUSE, Bench

from voiceassist import resources
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.meanings import Meaning
from voiceassist.language.step import StepGrammar
from voiceassist.session.events import TimeUp
from voiceassist.session.expect import expectation
from voiceassist.session.states import State


@cache
def _language() -> Language:
    return Language.load(resources.grammar_files("en"))


class Lines(Bench):
    """One session of a shipped procedure, or of one with the text given."""

    def __init__(self, procedure: str = "", text: str = "", **setup: object) -> None:
        path = HOUSE / "procedures" / f"{procedure}.yaml"
        super().__init__(text or path.read_text(encoding="utf-8"), **setup)  # type: ignore[arg-type]

    def type(self, *lines: str) -> str:
        """Type one line after another; returns what was said to the last."""
        for line in lines:
            self.hear(*self.meanings(line), words=line)
        return self.texts()

    def meanings(self, line: str) -> tuple[Meaning, ...]:
        """What ``line`` means where the session stands."""
        return self.grammar().parse(line).meanings

    def grammar(self, listened: Expectation | None = None) -> StepGrammar:
        """What can be said where the session stands; of ``listened``, with its names too."""
        return _language().compose(listened or expectation(self.engine.setup, self.session))

    def walk(self, step: str, **answers: str) -> "Lines":
        """Go on to ``step``, typing "affirm" and "done" where they are awaited, else its answer."""
        for _ in range(60):
            waiting = {State.CAUTION: "affirm", State.CONDITION: "done", State.DO: "done"}
            if self.session.state in waiting:
                self.type(waiting[self.session.state])
            elif self.session.state is State.WAIT:
                self.sleep()
            elif self.session.step == step:
                return self
            else:
                self.type(answers[self.session.step.replace("-", "_")])
        raise AssertionError(f"the path does not come to {step}, but stays at {self.session.step}")

    def sleep(self) -> None:
        """Let the time of a WAIT step pass."""
        self.give(TimeUp())

    @property
    def counting(self) -> dict[str, str]:
        """What was read and counts, by its step."""
        return {r.step: r.shown for r in self.session.ledger if not r.superseded}
