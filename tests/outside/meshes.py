"""Judges what netlead wrote, from its files alone.

    python meshes.py [--netlead PROGRAM] [--tolerance MM] FOLDER...

Each folder holds a report.json and the STL files that it names. Nothing of the program is
used but, with --netlead, its thread sheets, which are compared with `designation.py`. Prints a
line for each failure, a line for each kit, and closes with `N passed, N failed`; the exit code
is 1 when anything failed.
"""

import argparse
import json
import random
import subprocess
import sys
from pathlib import Path

import clearance
import designation
import motion
import placed
import report as files
import section
from tally import Tally

# The chord tolerance that a kit has unless it says otherwise, in mm.
TOLERANCE = 0.01
# Turns between the ends of the stroke at which every pair is tried; more where they are cheap.
BETWEEN = 10
# Of these, how many for the gaps, which take longer.
FOR_GAPS = 2
# Half-planes in which each thread is cut, the one at angle 0 included.
HALF_PLANES = 5


def sheets(program, joints, tally):
    """The program's thread sheets against an independent reading."""
    for text in sorted({joint["thread"] for joint in joints if joint["thread"] is not None}):
        with tally.guard(f"sheet of {text}"):
            run = subprocess.run([program, "thread", text, "--json"], check=True,
                                 capture_output=True, stdin=subprocess.DEVNULL)
            designation.check_sheet(text, json.loads(run.stdout), tally)


def threads(joints, parts, pieces, turns, tolerance, chance, tally):
    """Sections and engagement of every thread."""
    count = 0
    for joint in joints:
        if joint["kind"] != "thread":
            continue
        with tally.guard(f"thread of {joint['parts']}"):
            thread = designation.read(joint["thread"])
            # What is bought has no file; that a screw runs in it is for its standard to say.
            if any(end not in pieces for end in placed.ends(joint)):
                bought = {part["name"] for part in parts if part["made"] == "bought"}
                tally.check(not bought.isdisjoint(joint["parts"]), "a thread without a file")
                continue
            male, female = (pieces[end] for end in placed.ends(joint))
            where = f"{male.name} in {female.name}"
            angles = [0.0] + [chance.random() for _ in range(HALF_PLANES - 1)]
            stretches = section.check_thread(male, female, thread, joint["gap_mm"]["drawn"],
                                             tolerance, angles, where, tally)
            placed.check_engagement(joint, stretches, male, female, thread, turns, tally)
            count += 1
    tally.check(count > 0, "no thread was measured")
    return count


def judge(folder, program, tolerance):
    """One folder; its tally, and its line."""
    tally = Tally(Path(folder).name)
    counts = "not read"
    with tally.guard("report"):
        report = files.load(folder, tally)
        tolerance = report["kit"].get("tolerance_mm", tolerance)
        files.check_files(folder, report, tally)
        pieces = files.pieces(folder, report, tally)
        rates = motion.rates_of(report)
        with tally.guard("motion"):
            motion.check_joints(report, rates, tally)
            motion.check_summary(report, rates, tally)
        # Seeded by the kit's name: the same turns and angles in every run.
        chance = random.Random(report["kit"]["name"])
        whole = report["motion"]["turns"]
        turns = [0.0, whole] + [chance.uniform(0.0, whole) for _ in range(BETWEEN)]
        joints = report["joints"]
        pairs = 0
        with tally.guard("overlaps"):
            pairs = placed.check_overlaps(pieces, joints, turns, tolerance, tally)
        with tally.guard("gaps"):
            placed.check_gaps(pieces, joints, turns[:2 + FOR_GAPS], tolerance, tally)
        with tally.guard("ribs"):
            placed.check_ribs(pieces, joints, tolerance, tally)
        compared = 0
        with tally.guard("clearance"):
            compared = clearance.check(report, pieces, tolerance, chance, tally)
        measured = threads(joints, report["parts"], pieces, turns, tolerance, chance, tally)
        if program is not None:
            sheets(program, joints, tally)
        bought = sum(part["made"] == "bought" for part in report["parts"])
        counts = (f"{len(report['parts'])} parts ({bought} bought), {len(pieces)} pieces, "
                  f"{pairs} pairs at {len(turns)} turns, {compared} least gaps, {measured} threads")
    line = f"{tally.kit}: {counts}: {tally.passed} passed, {len(tally.failures)} failed"
    return tally, line


def main():
    parser = argparse.ArgumentParser(description="Judges folders that netlead wrote.")
    parser.add_argument("--netlead", help="the program, for its thread sheets")
    parser.add_argument("--tolerance", type=float, default=TOLERANCE,
                        help="chord tolerance in mm where the report names none")
    parser.add_argument("folders", nargs="+")
    arguments = parser.parse_args()
    passed = failed = 0
    for folder in arguments.folders:
        tally, line = judge(folder, arguments.netlead, arguments.tolerance)
        for failure in tally.failures:
            print(f"FAIL {tally.kit}: {failure}")
        print(line, flush=True)
        passed += tally.passed
        failed += len(tally.failures)
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
