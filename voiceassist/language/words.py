"""Cuts a text into the words that grammars know."""

import re
import unicodedata
from collections.abc import Set

#: Letters, digits and what may stand inside a word; grammars have no other signs.
_OUTSIDE = re.compile(r"[^\w\s,.:'’‘ʼ%°·-]|_")
_TOKEN = re.compile(r",|[^\s,]+")
_EDGES = ".:"
#: Words that are written in more than one way.
_SPELLED = {"ok": "okay", "o.k": "okay"}
#: What is typed without its apostrophe is the same word.
_WITH_APOSTROPHE = (
    "it's that's what's there's where's who's how's he's she's here's let's i'm i've don't can't "
    "won't isn't ain't aren't doesn't didn't wasn't weren't hasn't haven't hadn't couldn't "
    "wouldn't shouldn't needn't you're you've they're they've we've it'll that'll you'll they'll"
)
_SPELLED |= {word.replace("'", ""): word for word in _WITH_APOSTROPHE.split()}
#: As it is spoken in some regions, and then written: the word that is meant, then its spellings.
_RESPELLED = (
    "out oot; off aff; on oan; about aboot; down doon; now noo; over ower owre; what whit;"
    "how hoo 'ow; where whaur; to tae; no naw nae; don't dinnae dinna divvent; can't canna cannit;"
    "with wi wi' vith; won't willnae winnae; wouldn't wouldnae widnae; isn't isnae isna;"
    "didn't didnae; ampere amper; twelve twelf twelv;"
    "wasn't wasnae wasna; haven't havenae huvnae; doesn't doesnae doesna disnae; couldn't couldnae;"
    "shouldn't shouldnae; you're ye're; you've ye've; you youse; from fae frae; give gie gies;"
    "give-us gie's; most maist;"
    "take tak; make mak; half hauf 'alf; hundred hunner hunnert 'undred; two twa; head heid;"
    "here 'ere; hold haud houl 'old; hang hing ang 'ang; have 'ave; heard 'eard; had 'ad; them 'em;"
    "until 'til; something summat sommat; anything owt; wrong wrang; long lang; go gan;"
    "going gaun gannin; hand haun; hands hauns; right reet; very awfy gey; more mair; before afore;"
    "was wis; were wur; just jist; that yon thon zat dat; this zis dis; the ze; other ither;"
    "do dae; one wan; yes yarp ayuh ja jawohl oui sí; nope nyet nein; okay d'accord;"
    "everything everythin everyting; everything's everythin's; nothing nothin nuttin nuffin;"
    "and an'"
)
#: Many say and write "holdin" for "holding"; but not where that is a word of its own.
_SHORT_ENDED = re.compile(
    r"(tell|pull|look|sitt|miss|noth|show|gett|hang|hing|danc|wink|say|read|giv|measur|burn|someth|ask"
    r"|go|turn|com|wait|hold|do|anyth|putt|try|work|runn|mov|jump|flicker|spinn|talk|bounc|glow|smok"
    r"|blink|chang|dropp|climb|everyth|stay|stand|mak|tak|see|us|think|feel|touch|plugg)in'?"
)
#: With the mark of what is left out it is always that.
_CUT_SHORT = re.compile(r"[^\W\d_]{3,}in'")
_AS_SPOKEN = {
    spelled: meant
    for meant, *several in (row.split() for row in _RESPELLED.split(";"))
    for spelled in several
}
_APOSTROPHES = str.maketrans({"’": "'", "‘": "'", "ʼ": "'"})


def cut(text: str, known: Set[str]) -> list[str]:
    """Lower-case words without punctuation; a comma is a word of its own.

    A word with a hyphen is cut at it, unless it is ``known`` as it stands.
    """
    plain = unicodedata.normalize("NFC", text).translate(_APOSTROPHES).lower()
    plain = _OUTSIDE.sub(" ", plain)
    words: list[str] = []
    for token in _TOKEN.findall(plain):
        word = token.strip(_EDGES)
        word = _SPELLED.get(word, word)
        if word in known:
            words.append(word)
        else:
            for part in _spelled(word).replace("-", " ").split():
                words.extend(_pieces(part, known) or [part])
    return words


def _spelled(word: str) -> str:
    """The word that is meant, where it is written as it is spoken."""
    if _SHORT_ENDED.fullmatch(word) or _CUT_SHORT.fullmatch(word):
        return word.rstrip("'") + "g"
    stem, mark, end = word.partition("'")
    if mark and word not in _AS_SPOKEN and stem in _AS_SPOKEN:  # "whit's"
        return f"{_AS_SPOKEN[stem]}{mark}{end}"
    return _AS_SPOKEN.get(word, word)


def _pieces(word: str, known: Set[str]) -> list[str]:
    """An unknown word as known words, where the script writes words together (Hangul, Han)."""
    if word in known or not all(unicodedata.category(char) == "Lo" for char in word):
        return []
    best: list[list[str] | None] = [[]]
    for end in range(1, len(word) + 1):
        ways = [
            [*before, word[start:end]]
            for start in range(end)
            if (before := best[start]) is not None and word[start:end] in known
        ]
        best.append(min(ways, key=len, default=None))
    return best[-1] or []
