#!/usr/bin/env python3
"""Verify a journal's numbers and chain with hashlib alone. Usage: verify_chain.py JOURNAL

Written from the description of the format, not from the program: a line's hash is SHA-256 (FIPS 180-4, here
Python's hashlib) over the hash before (lower-case hex; nothing for the first line), a line feed, and the line's
bytes before its last `,"hash":"`.
"""

import hashlib
import json
import re
import sys

KEYS = {"number", "time", "t_s", "kind", "body", "hash"}
TAIL = re.compile(rb'[0-9a-f]{64}"}')


def fault(line: bytes, number: int, before: str) -> tuple[str, str]:
    """What is wrong with this line ('' for nothing), and its hash."""
    if not line.endswith(b"\n"):
        return "not ended by a line feed", ""
    content, mark, tail = line[:-1].rpartition(b',"hash":"')
    if not mark or not TAIL.fullmatch(tail):
        return "does not end with a hash", ""
    try:
        event = json.loads(line)
    except ValueError:
        return "not JSON", ""
    if set(event) != KEYS:
        return "not the six keys of an event", ""
    if event["number"] != number:
        return f"numbered {event['number']}", ""
    digest = hashlib.sha256(before.encode() + b"\n" + content).hexdigest()
    return ("" if tail[:64].decode() == digest else "hash does not fit"), digest


def main() -> int:
    if len(sys.argv) != 2:
        print("usage: verify_chain.py JOURNAL", file=sys.stderr)
        return 2
    head, number = "", 0
    with open(sys.argv[1], "rb") as journal:
        for number, line in enumerate(journal, start=1):
            wrong, head = fault(line, number, head)
            if wrong:
                print(f"line {number}: {wrong}")
                return 1
    if not number:
        print("line 1: missing")
        return 1
    print(f"{number} lines, head {head}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
