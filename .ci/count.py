#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Counts subtests, which Meson does not: the `ok` and `not ok` lines of every program in the
# given logs.  A program that ended in any other way than it should is at least one failure,
# and so is a log that is not there.  Prints `N passed, N failed`; fails when any did.
#
# A command that ran outside Meson counts as one, by its exit status: NAME=STATUS.
#
# usage: count.py [NAME=STATUS …] BUILD/meson-logs/testlog.json …
import json
import re
import sys

GOOD_ENDS = ("OK", "EXPECTEDFAIL", "SKIP")


def count_program(entry):
    lines = (entry.get("stdout") or "").split("\n")
    passed = sum(1 for line in lines if re.match(r"ok\b", line))
    failed = sum(1 for line in lines if re.match(r"not ok\b", line))
    if entry["result"] not in GOOD_ENDS:
        failed = max(failed, 1)
    elif passed + failed == 0:
        passed = 1  # a program that speaks by its exit code alone
    return passed, failed


def count_log(path):
    passed = failed = 0
    try:
        with open(path, encoding="utf-8") as log:
            entries = [json.loads(line) for line in log if line.strip()]
    except OSError as problem:
        print(f"{path}: {problem.strerror}")
        return 0, 1
    for entry in entries:
        good, bad = count_program(entry)
        if bad:
            print(f"{path}: {entry['name']}: {entry['result']}, {bad} failed")
        passed += good
        failed += bad
    return passed, failed if entries else 1


def count(argument):
    name, equals, status = argument.rpartition("=")
    if not equals:
        return count_log(argument)
    if status != "0":
        print(f"{name}: exit status {status}")
    return (1, 0) if status == "0" else (0, 1)


def main():
    totals = [count(argument) for argument in sys.argv[1:]]
    passed = sum(total[0] for total in totals)
    failed = sum(total[1] for total in totals)
    print(f"{passed} passed, {failed} failed")
    sys.exit(1 if failed or not totals else 0)


main()
