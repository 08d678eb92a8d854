#!/usr/bin/env python3
"""Verify a journal's numbers and chain, and the signed head beside it.

Usage: verify_chain.py JOURNAL [SIGNED [KEY]]

JOURNAL is a visit's journal.jsonl, or a store's register.jsonl. SIGNED is journal.signed.json. KEY is the public key that
is expected, 64 hexadecimal digits, from somewhere else than these files: without it anybody's signature is taken.
The chain needs Python's standard library alone; a signature needs the package `cryptography`.
Exit 0: it holds. 1: it does not, and the reason. 2: it cannot be read.

Written from the description of the format, not from the program: a line's hash is SHA-256 (FIPS 180-4, here
Python's hashlib) over the hash before (lower-case hex; nothing for the first line), a line feed, and the line's
bytes before its last `,"hash":"`.

A signed head is Ed25519 (RFC 8032) over six lines of text, each ended by a line feed (see `message`). It shows an edit, a
line that was dropped, moved or exchanged, a tail that was cut off, another journal and another key. It does not show a
journal that somebody who holds the secret key sealed anew and signed again: compare the first 16 characters of the head
with a copy that was written down or printed elsewhere.
"""

import hashlib
import json
import re
import sys

KEYS = {"number", "time", "t_s", "kind", "body", "hash"}
REGISTER_KEYS = {"number", "time", "by", "kind", "body", "hash"}
HEAD_KEYS = {"format", "begins", "lines", "head", "signed", "key", "signature"}
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
    if not isinstance(event, dict) or set(event) not in (KEYS, REGISTER_KEYS):
        return "not the six keys of an event", ""
    if event["number"] != number:
        return f"numbered {event['number']}", ""
    digest = hashlib.sha256(before.encode() + b"\n" + content).hexdigest()
    return ("" if tail[:64].decode() == digest else "hash does not fit"), digest


def message(signed: dict) -> bytes:
    """What is signed."""
    lines = [f"veridical signed head {signed['format']}"]
    lines += [f"{key} {signed[key]}" for key in ("begins", "lines", "head", "signed", "key")]
    return "".join(line + "\n" for line in lines).encode()


def signature_fault(signed: dict, hashes: list[str], expected: str) -> str:
    """What a signed head says against a journal whose lines have these hashes ('' for nothing)."""
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    if not isinstance(signed, dict) or set(signed) != HEAD_KEYS:
        return "not the seven keys of a signed head"
    if type(signed["lines"]) is not int or signed["lines"] < 1:
        return f"lines: expected a count of lines, found {signed['lines']!r}"
    # One way to write it: small digits only.
    for name, digits in (("key", 64), ("signature", 128)):
        if not re.fullmatch(f"[0-9a-f]{{{digits}}}", str(signed[name])):
            return f"{name}: expected {digits} small hexadecimal digits"
    try:
        key = Ed25519PublicKey.from_public_bytes(bytes.fromhex(signed["key"]))
        key.verify(bytes.fromhex(signed["signature"]), message(signed))
    except (InvalidSignature, ValueError):
        return "the signature does not fit"
    if expected and signed["key"].lower() != expected.lower():
        return "signed by another key than the one expected"
    if hashes[0] != signed["begins"]:
        return "another journal was signed"
    if len(hashes) < signed["lines"]:
        return "lines that were signed are missing at the end"
    if hashes[signed["lines"] - 1] != signed["head"]:
        return "sealed anew after it was signed"
    return ""


def checked() -> int:
    if not 2 <= len(sys.argv) <= 4:
        print("usage: verify_chain.py JOURNAL [SIGNED [KEY]]", file=sys.stderr)
        return 2
    head, hashes = "", []
    with open(sys.argv[1], "rb") as journal:
        for number, line in enumerate(journal, start=1):
            wrong, head = fault(line, number, head)
            if wrong:
                print(f"line {number}: {wrong}")
                return 1
            hashes.append(head)
    if not hashes:
        print("line 1: missing")
        return 1
    print(f"{len(hashes)} lines, head {head}")
    if len(sys.argv) == 2:
        return 0
    with open(sys.argv[2], encoding="utf-8") as file:
        try:
            signed = json.load(file)
        except ValueError as error:
            print(f"{sys.argv[2]}: expected a signed head: {error}")
            return 1
    wrong = signature_fault(signed, hashes, sys.argv[3] if len(sys.argv) == 4 else "")
    if wrong:
        print(wrong)
        return 1
    later = len(hashes) - signed["lines"]
    print(f"signed {signed['signed']} by {signed['key']}" + (f", {later} lines later" if later else ""))
    return 0


def main() -> int:
    try:
        return checked()
    except OSError as error:
        print(error, file=sys.stderr)
        return 2
    except ModuleNotFoundError as error:
        print(f"a signature needs the package `cryptography`: {error}", file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main())
