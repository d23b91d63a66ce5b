"""A note of the instructor's as a page sends it."""

from pathlib import Path
from urllib.parse import parse_qs

from starlette.requests import Request

from voiceassist.bench.follow import Followed, Standing
from voiceassist.errors import RecordError
from voiceassist.record.instructor import MOST_WORDS, leave, note_of

#: No note that can be spoken is larger, whatever its letters.
_LARGEST = 8192
#: What is larger than that is not even read to its end.
_ENDLESS = 64_000_000


async def take(request: Request, one: Followed, folder: Path) -> tuple[str, str]:
    """Leave the note that ``request`` brings for the session.

    Returns:
        The name it goes by, and the sentence that says why it was not taken; empty when it was.
    """
    body = await _body(request)
    if body is None:
        return "", f"The note is too large; write at most {MOST_WORDS} characters."
    try:
        fields = parse_qs(body.decode("utf-8"), max_num_fields=8)
    except ValueError:
        return "", "The note is not text; write plain words."
    by, words = (" ".join(fields.get(name, [])) for name in ("by", "words"))
    if one.state is not Standing.RUNNING:
        return by, "Nobody has this session open, so that the note would not be spoken."
    try:
        leave(folder, note_of(by, words))
    except RecordError as error:
        sentence = str(error)
        return by, f"{sentence[:1].upper()}{sentence[1:]}."
    return by, ""


async def _body(request: Request) -> bytes | None:
    """The whole of it; None for more than a note can be, which is read and thrown away."""
    data, size = b"", 0
    async for chunk in request.stream():
        size += len(chunk)
        data = data + chunk if size <= _LARGEST else b""
        if size > _ENDLESS:
            break
    return data if size <= _LARGEST else None
