"""Checks a journal.jsonl by itself: python3 check_journal.py journal.jsonl [HASH ON THE PAGE]"""

import hashlib
import json
import sys

AFTER_END = {"sound-lost", "repaired", "record", "interrupted"} | {
    "addendum", "picture", "picture-refused",
}  # fmt: skip


def canonical(fields):
    text = json.dumps(
        fields, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    )
    return text.encode("utf-8", "backslashreplace")


def check(data, on_paper=""):
    """What is wrong with the journal ``data``, in a sentence; and the hashes of its good lines."""
    hashes, before, closed = [], "0" * 64, False
    for number, line in enumerate(data.removesuffix(b"\n").split(b"\n"), 1):
        try:
            fields = json.loads(line)
            own = fields.pop("hash")
            good = hashlib.sha256(canonical(fields)).hexdigest() == own
            good = good and canonical(fields | {"hash": own}) == line
            event, place = fields["event"], (fields["seq"], fields["prev"])
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
            return f"line {number} is torn, or no line of a journal", hashes
        if not good:
            return f"line {number} was edited", hashes
        if place != (number, before):
            return f"line {number} does not follow the line before it", hashes
        if closed and event not in AFTER_END:
            return f"line {number} ({event}) was added after the job was closed", hashes
        hashes.append(own)
        before, closed = own, closed or event == "end"
    if on_paper and not any(each.startswith(on_paper) for each in hashes):
        return "no line has the hash that is on the page", hashes
    return "", hashes


if __name__ == "__main__":
    with open(sys.argv[1], "rb") as file:
        wrong, found = check(file.read(), "".join(sys.argv[2:]).lower())
    print(f"{len(found)} good lines, last hash {found[-1] if found else 'none'}")
    sys.exit(wrong or 0)
