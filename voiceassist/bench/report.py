"""A session's own page as the bench serves it: with our head, and no style inline. Pure.

The page is one file that needs nothing else; here its style gets an address of its own, so that
the policy that a browser holds every page to need allow no style within a page.
"""

import hashlib
import re
from collections.abc import Mapping

from voiceassist.bench import views

_STYLE = re.compile(r"<style>(.*?)</style>", re.DOTALL)
_INLINE = re.compile(r' style="([^"<>]*)"')
#: Its own policy, which is looser than ours, and the seal of the file that it is elsewhere.
_OWN = re.compile(r'<meta http-equiv="Content-Security-Policy"[^>]*>\n?|<!-- SHA-256 [^>]*-->\n?')


def served(made: str, session: str) -> tuple[str, str, str]:
    """The page, its style, and the mark by which that is asked for.

    Args:
        made: the page as one file; whatever people said is escaped in it.
        session: its id.
    """
    inline = _inline(made)
    own = _STYLE.search(made)
    rules = [f'[data-s="{number}"]{{{text}}}' for text, number in inline.items()]
    style = "\n".join([own[1] if own else "", *rules])
    mark = hashlib.sha256(style.encode()).hexdigest()[:12]
    head = views.rendered("report_head.html", id=session, mark_of_style=mark)
    plain = _INLINE.sub(lambda found: f' data-s="{inline[found[1]]}"', made)
    plain = _STYLE.sub(lambda _: head, _OWN.sub("", plain), count=1)
    top = views.rendered("report_top.html", id=session)
    return plain.replace("<body>", f'<body class="report">{top}', 1), style, mark


def _inline(made: str) -> Mapping[str, int]:
    """Each style that stands inline, with its number."""
    return {text: number for number, text in enumerate(dict.fromkeys(_INLINE.findall(made)), 1)}
