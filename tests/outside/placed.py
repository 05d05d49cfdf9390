"""Judges the pieces as they stand: overlaps, gaps between engaged threads, engagement."""

import math
from itertools import combinations

import numpy as np
from manifold3d import Manifold

# Overlap of two pieces that are drawn clear of each other, in mm3: what rounding leaves.
NO_OVERLAP = 1e-6
# A slab of overlap this thin, in mm, is two faces in contact: 32-bit floats round heights of
# 64 to 256 mm by up to 0.0000076 mm, and two faces meet.
CONTACT = 2e-5
# How far a gap is looked for beyond the declared one, in mm.
BEYOND = 0.5
# How far beyond the tips of ribs these are looked for, in mm: less than a rib is high.
INTO_RIBS = 0.02
# Directions of ribs from the way up on the bed, in degrees, and how near they are found.
RIBS = (-30.0, 30.0, 180.0)
NEAR_RIB = 3.0
# Directions of the gap: half a thread's radial gap stands square to its 30 degree flanks.
FLANK_SHARE = math.sin(math.radians(30.0))

# A pin reaches further to one side than to the other by more than this where it has a head, in mm.
HEADED = 0.5


def gaps_of(joints, key):
    """Drawn gaps of the joints between two pieces, with their kinds."""
    return [(joint["kind"], joint["gap_mm"]["drawn"]) for joint in joints
            if joint["gap_mm"] is not None and {ends(joint)[0], ends(joint)[1]} == set(key)]


def ends(joint):
    """Keys of the two pieces of a joint."""
    return tuple(zip(joint["parts"], joint["instances"], strict=True))


def shank(piece):
    """Radius and length of a pin's shank, and whether it has a head.

    In its print frame a pin lies along x on its flat, its shank in the middle, a head at +x, so that y is
    its whole width; the half that has no head is the shank's.
    """
    printed = (piece.vertices - piece.pose[:3, 3]) @ piece.pose[:3, :3]
    low, high = float(printed[:, 0].min()), float(printed[:, 0].max())
    headed = high > HEADED - low
    end = printed[printed[:, 0] < 0.0]
    radius = float(np.ptp(end[:, 1])) / 2.0
    return radius, -2.0 * low if headed else high - low, headed


def in_ribs(radius, tip):
    """Area that three ribs share with a pin: segments of its circle beyond chords at `tip`."""
    if tip >= radius:
        return 0.0
    half = math.sqrt(radius * radius - tip * tip)
    return 3.0 * (radius * radius * math.acos(tip / radius) - tip * half)


def pressed_in(joints, key, a, b):
    """Room that a pin may share with the ribs of its wall, over half of its length at the most.

    One with a head goes into a blind hole, as deep as its shank is long.
    """
    for joint in joints:
        if joint["kind"] == "press" and joint["gap_mm"]["ribs"] and set(ends(joint)) == set(key):
            pin = a if ends(joint)[0] == key[0] else b
            radius, length, headed = shank(pin)
            share = 1.0 if headed else 0.5
            return in_ribs(radius, radius + joint["gap_mm"]["drawn"]) * length * share
    return None


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
            limit = pressed_in(joints, (key_a, key_b), a, b)
            if limit is None:
                limit = overlap_limit(gaps_of(joints, (key_a, key_b)), a, b, tolerance)
            limit = max(limit, NO_OVERLAP)
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


def check_ribs(pieces, joints, tolerance, tally):
    """Three ribs hold each pressed pin, at their angles and as far in as the report says.

    What stands within a cylinder about the pin's axis is looked for in the female: nothing below
    the tips, three bodies a little beyond them.
    """
    for joint in joints:
        if joint["kind"] != "press" or not joint["gap_mm"]["ribs"]:
            continue
        pin, female = (pieces.get(end) for end in ends(joint))
        if pin is None or female is None:
            # A bought piece has no mesh; that it is bought was checked with the parts.
            continue
        where = f"ribs of {pin.name} in {female.name}"
        radius, long, _ = shank(pin)
        tip = radius + joint["gap_mm"]["drawn"]
        # The pin's print frame: along x, on a flat 0.707 diameters wide.
        turn = pin.pose[:3, :3]
        along = np.column_stack([turn[:, 1], turn[:, 2], turn[:, 0]])
        middle = pin.pose[:3, 3] + turn[:, 2] * radius / math.sqrt(2.0)
        def about(r):
            rod = Manifold.cylinder(long, r, r, 360, True)
            return rod.transform(np.column_stack([along, middle])) ^ female.at(0.0)
        inside = about(tip - tolerance)
        tally.check(inside.is_empty() or in_contact(inside), f"{where}: nearer than {tip:.4f}")
        found = about(tip + INTO_RIBS).decompose()
        if not tally.check(len(found) == 3, f"{where}: {len(found)} instead of 3"):
            continue
        up = female.pose[:3, 2]
        beside = np.cross(turn[:, 0], up)
        angles = []
        for rib in found:
            box = np.array(rib.bounding_box()).reshape(2, 3).mean(axis=0) - middle
            angles.append(math.degrees(math.atan2(box @ beside, box @ up)) % 360.0)
        for angle in RIBS:
            off = min(abs((other - angle + 180.0) % 360.0 - 180.0) for other in angles)
            tally.most(off, NEAR_RIB, f"{where}: from {angle:g} degrees to the nearest rib")


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
