"""Judges the pieces as they stand: overlaps, gaps between engaged threads, engagement."""

import math
from itertools import combinations

# Overlap of two pieces that are drawn clear of each other, in mm3: what rounding leaves.
NO_OVERLAP = 1e-6
# A slab of overlap this thin, in mm, is two faces in contact: 32-bit floats round heights of
# 64 to 256 mm by up to 0.0000076 mm, and two faces meet.
CONTACT = 2e-5
# How far a gap is looked for beyond the declared one, in mm.
BEYOND = 0.5
# Directions of the gap: half a thread's radial gap stands square to its 30 degree flanks.
FLANK_SHARE = math.sin(math.radians(30.0))


def gaps_of(joints, key):
    """Drawn gaps of the joints between two pieces, with their kinds."""
    return [(joint["kind"], joint["gap_mm"]["drawn"]) for joint in joints
            if joint["gap_mm"] is not None and {ends(joint)[0], ends(joint)[1]} == set(key)]


def ends(joint):
    """Keys of the two pieces of a joint."""
    return tuple(zip(joint["parts"], joint["instances"], strict=True))


def overlap_limit(gaps, a, b, tolerance):
    """Chords of two faces may cross where less than two tolerances lies between them.

    The area of contact is not in the report; that of the smaller piece is no less. Seats are
    flat: they have no chords, and meet without sharing room.
    """
    tightest = min((gap for kind, gap in gaps if kind != "seat"), default=math.inf)
    if tightest >= 2.0 * tolerance:
        return NO_OVERLAP
    area = min(a.solid.surface_area(), b.solid.surface_area())
    return (2.0 * tolerance - tightest) * area


def in_contact(shared):
    """Whether what two solids share is nothing but faces that meet."""
    if shared.is_empty():
        return True
    low_x, low_y, low_z, high_x, high_y, high_z = shared.bounding_box()
    return min(high_x - low_x, high_y - low_y, high_z - low_z) <= CONTACT


def check_overlaps(pieces, joints, turns, tolerance, tally):
    """No two pieces share room at any of the turns; number of pairs."""
    pairs = list(combinations(pieces.items(), 2))
    for n in turns:
        solids = {key: piece.at(n) for key, piece in pieces.items()}
        for (key_a, a), (key_b, b) in pairs:
            limit = overlap_limit(gaps_of(joints, (key_a, key_b)), a, b, tolerance)
            shared = solids[key_a] ^ solids[key_b]
            volume = 0.0 if in_contact(shared) else shared.volume()
            tally.most(volume, limit, f"overlap of {a.name} and {b.name} at turn {n:.4f}, mm3")
    return len(pairs)


def check_gaps(pieces, joints, turns, tolerance, tally):
    """Least gaps as drawn: square to the flanks of threads, and of pressed and sliding fits.

    Only these kinds are measured, since a pair with other contacts may have a smaller gap.
    """
    share = {"thread": FLANK_SHARE, "press": 1.0, "slide": 1.0}
    for joint in joints:
        if joint["kind"] not in share:
            continue
        a, b = ends(joint)
        if a not in pieces or b not in pieces:
            # A bought piece has no mesh; that it is bought was checked with the parts.
            continue
        expected = joint["gap_mm"]["drawn"] * share[joint["kind"]]
        for n in turns:
            gap = pieces[a].at(n).min_gap(pieces[b].at(n), max(expected, 0.0) + BEYOND)
            what = f"least gap of {pieces[a].name} in {pieces[b].name} at turn {n:.4f}"
            tally.near(gap, max(expected, 0.0), tolerance, what)


def engaged(screw, hole, male, female, n):
    """Length of whole ridges in whole grooves at turn n.

    Ridges at one angle stand for all: another angle shifts both stretches alike, by less than
    a pitch.
    """
    shift, base = n * male.advance, n * female.advance
    return min(screw.high + shift, hole.high + base) - max(screw.low + shift, hole.low + base)


def check_engagement(joint, stretches, male, female, thread, course, tally):
    """The reported engagement against whole ridges counted on the meshes.

    A stretch from whole top to whole top is shorter than the full profile by less than a pitch
    at either end, and never longer.
    """
    reported = joint["engagement_mm"]
    where = f"engagement of {male.name} in {female.name}"
    least = engaged(*stretches, male, female, reported["at_turn"])
    missing = reported["least"] - least
    tally.check(-1e-3 <= missing <= 2.0 * thread.pitch,
                f"{where}: {least:.4f} measured, {reported['least']:.4f} reported")
    for n in course:
        here = engaged(*stretches, male, female, n)
        tally.check(here >= least - 1e-3, f"{where}: {here:.4f} at turn {n:.4f}, less than the least")
