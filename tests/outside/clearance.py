"""Judges the reported clearances from the files alone: no overlaps, and the least gaps."""

import math

import numpy as np

# Overlap of two pieces that are drawn clear of each other, in mm3: what rounding leaves.
NO_OVERLAP = 1e-6
# Files hold 32-bit numbers; the report's gaps are sought to within 0.001 mm; and rounding.
PRECISION = 2e-3
# Rings hold rows of radii 0.05 mm wide, whose corners slanted faces fill: root two of a row.
ROW = 0.05 * math.sqrt(2.0)
# How far beyond a reported gap the measure goes.
BEYOND = 0.5
# Turns at which each pair is tried beside the reported one.
TRIED = 4


def by_name(pieces):
    """Placed pieces by the names that the report gives pairs."""
    return {piece.name: piece for piece in pieces.values()}


def interference(report, names):
    """How far two pieces are drawn into each other by a press, a side; 0 where they are not."""
    deepest = 0.0
    parts = {part["name"]: part for part in report["parts"]}
    for joint in report["joints"]:
        ends = [parts[part]["instances"][index]["name"]
                for part, index in zip(joint["parts"], joint["instances"])]
        if joint["kind"] == "press" and sorted(ends) == sorted(names):
            deepest = max(deepest, -joint["gap_mm"]["drawn"])
    return deepest


def check_pair(pair, a, b, pressed, tolerance, chance, tally):
    """One pair: its reported gap is there at the reported turn, and less nowhere."""
    names = " and ".join(pair["pieces"])
    least = pair["least_gap_mm"]
    if pressed > 0.0 and least is None:
        # A press is drawn tight by so much; facets of both faces come a chord nearer or further,
        # and along a lead-in of 45 degrees that is root two as long.
        depth = (pair["overlap_mm"] or {}).get("depth")
        most = math.sqrt(2.0) * (pressed + 2.0 * tolerance)
        tally.check(depth is not None and depth <= most,
                    f"{names}: pressed {pressed:.4f} a side, {depth} reported")
        shared = (a.at(0.0) ^ b.at(0.0)).volume()
        tally.check(shared > 0.0, f"{names}: a press that shares nothing")
        return
    if not tally.check(least is not None, f"{names} overlap: {pair['overlap_mm']}"):
        return
    gap, turn = least["value"], least["at_turn"]
    low, high = pair["turns"]
    tally.check(low - 1e-6 <= turn <= high + 1e-6, f"{names}: turn {turn} outside {low} to {high}")
    # A section is the exact profile, which chords of two faces undercut; a ring holds at some
    # angle of the turn, so the meshes may stand off further at this one.
    below = PRECISION + (2.0 * tolerance if least["by"] == "section" else 0.0)
    above = PRECISION + (ROW + 2.0 * tolerance if least["by"] == "rings" else 0.0)
    measured = a.at(turn).min_gap(b.at(turn), gap + BEYOND)
    tally.check(gap - below <= measured <= gap + above,
                f"{names} at turn {turn:.4f}: {measured:.4f} apart, {gap:.4f} reported "
                f"by {least['by']}")
    for n in [low, high] + [chance.uniform(low, high) for _ in range(TRIED - 2)]:
        solids = a.at(n), b.at(n)
        here = solids[0].min_gap(solids[1], gap + BEYOND)
        tally.check(here >= gap - below, f"{names} at turn {n:.4f}: {here:.4f}, less than {gap:.4f}")
        shared = (solids[0] ^ solids[1]).volume()
        # Faces in contact share what rounding leaves of them.
        tally.most(shared, NO_OVERLAP if gap > PRECISION else 1.0, f"overlap of {names} at {n:.4f}")
    points = np.array(least["points"])
    apart = float(np.linalg.norm(points[0] - points[1]))
    tally.check(gap - below <= apart <= gap + above, f"{names}: points {apart:.4f} apart, not {gap:.4f}")


def check(report, pieces, tolerance, chance, tally):
    """Every reported pair of printed pieces; how many."""
    placed = by_name(pieces)
    count = 0
    for pair in report["pairs"]:
        if all(name in placed for name in pair["pieces"]):
            a, b = (placed[name] for name in pair["pieces"])
            pressed = interference(report, pair["pieces"])
            check_pair(pair, a, b, pressed, tolerance, chance, tally)
            count += 1
    tally.check(count > 0, "no pair was compared")
    return count
