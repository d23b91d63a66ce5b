"""What the pages answer with: streams of changes, and one sentence where something is wrong."""

import json
import sys
from collections.abc import AsyncIterator

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response, StreamingResponse

from voiceassist.bench import views
from voiceassist.bench.hub import Parts


def stream(changes: AsyncIterator[Parts | str] | AsyncIterator[Parts]) -> Response:
    """Server-sent events (WHATWG HTML, section 9.2): the parts, beats between, at last the page."""

    async def written() -> AsyncIterator[bytes]:
        yield b"retry: 1000\n\n"
        async for change in changes:
            if isinstance(change, str):
                yield f"event: page\ndata: {change}\n\n".encode()
            elif change:
                yield f"data: {json.dumps(change)}\n\n".encode()
            else:
                yield b"event: beat\ndata:\n\n"

    return StreamingResponse(written(), media_type="text/event-stream")


async def sentence(_request: Request, error: Exception) -> Response:
    """One sentence; what our own errors tell, or what Starlette's do."""
    if isinstance(error, HTTPException):
        return HTMLResponse(views.sentence_page(error.detail), error.status_code)
    return HTMLResponse(views.sentence_page(str(error)), 404)


async def failed(_request: Request, error: Exception) -> Response:
    """A fault of ours: the page says so, and who started it reads which."""
    print(f"bench: {type(error).__name__}: {error}", file=sys.stderr)
    told = "This page could not be made. The sessions and their records are untouched."
    return HTMLResponse(views.sentence_page(told), 500)
