#!/usr/bin/env python3
"""SQLite's own integrity check of a store's index, and that it is what the README says. Usage: check_index.py INDEX"""

import sqlite3
import sys


def main() -> int:
    if len(sys.argv) != 2:
        print("usage: check_index.py INDEX", file=sys.stderr)
        return 2
    index = sqlite3.connect(f"file:{sys.argv[1]}?mode=ro", uri=True)
    told = index.execute("PRAGMA integrity_check").fetchall()
    mode = index.execute("PRAGMA journal_mode").fetchone()[0]
    version = index.execute("PRAGMA user_version").fetchone()[0]
    tables = sorted(name for (name,) in index.execute("SELECT name FROM sqlite_master WHERE type = 'table'"))
    print(f"integrity {told}, {mode}, version {version}, tables {', '.join(tables)}")
    holds = told == [("ok",)] and mode == "wal" and version >= 1
    return 0 if holds and {"identity", "person", "user", "visit"} <= set(tables) else 1


if __name__ == "__main__":
    sys.exit(main())
