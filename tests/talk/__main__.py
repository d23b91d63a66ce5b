"""How much of what people say is understood.

Run in ``tests``: ``python -m talk [open|kept|fresh|fresh2|...|fresh11]``.

Only of the open part are phrases told; of the others, the counts alone.
"""

import sys

from talk.scoring import Score, let_pass, read, score, table
from talk.split import PARTS


def main(part: str, *, told: bool) -> None:
    scored = [score(phrase) for phrase in read(PARTS[part])]
    for by in ("situation", "want"):
        print("\n".join(table(scored, by)), end="\n\n")
    print(let_pass(scored))
    if told and part == "open":
        for one in scored:
            if one.score is not Score.UNDERSTOOD:
                phrase = one.phrase
                print(
                    one.score,
                    phrase.situation,
                    "|".join(phrase.wants),
                    one.took,
                    phrase.words,
                    sep="\t",
                )


if __name__ == "__main__":
    main(next(iter(sys.argv[1:]), "open"), told="-v" in sys.argv)
