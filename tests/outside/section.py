"""Cuts a threaded part by half-planes through its axis and compares with the basic profile.

Basic profile, ISO 68-1: H = (sqrt 3 / 2) P, crest flat P/8 at the major diameter, root flat P/4
at D1, flanks 30 degrees to the normal of the axis. A hole's profile is the same, shifted
outwards by the gap that its joint declares. Everything is measured on the mesh at turn 0, in
the assembly's frame.
"""

import math
from dataclasses import dataclass

import numpy as np

# Points of a section's segment that are compared: its ends, its middle, and the quarters.
SAMPLES = np.linspace(0.0, 1.0, 5)
# What 32-bit coordinates of a part of 100 mm add to the chord tolerance, in mm.
FLOAT = 1e-5
# The flat of a thread's top is looked for within so many tolerances of its radius, so that a
# wrong radius is found and measured, and leans less than this from the axis: cones are 45 degrees.
FLAT_REACH = 4.0
FLAT_LEAN = 0.1
# Surfaces within this of the profile's radii belong to the thread, in mm.
NEIGHBOURHOOD = 0.3


@dataclass
class Section:
    """The full-profile stretch of a thread in one half-plane: segments (n, 2 ends, [z, r])."""

    segments: np.ndarray
    low: float
    high: float

    @property
    def length(self):
        return self.high - self.low


def half_plane(vertices, faces, angle):
    """Segments [z, r] in which a mesh meets the half-plane at an angle (in turns)."""
    turn = 2.0 * math.pi * angle
    x = vertices[:, 0] * math.cos(turn) + vertices[:, 1] * math.sin(turn)
    y = vertices[:, 1] * math.cos(turn) - vertices[:, 0] * math.sin(turn)
    # A vertex on the plane counts as above it, so every cut facet has exactly two cut edges.
    above = y >= 0.0
    cut = faces[above[faces].any(axis=1) & ~above[faces].all(axis=1)]
    ends = []
    for first, second in ((0, 1), (1, 2), (2, 0)):
        a, b = cut[:, first], cut[:, second]
        crossed = above[a] != above[b]
        step = np.where(crossed, y[a] - y[b], 1.0)
        share = y[a] / step
        point = np.stack([vertices[a, 2] + share * (vertices[b, 2] - vertices[a, 2]),
                          x[a] + share * (x[b] - x[a])], axis=1)
        ends.append(np.where(crossed[:, None], point, np.nan))
    stacked = np.stack(ends, axis=1)
    segments = stacked[~np.isnan(stacked[:, :, 0])].reshape(-1, 2, 2)
    return segments[(segments[:, :, 1] > 0.0).all(axis=1)]


def full_profile(vertices, faces, angle, thread, shift, external, tolerance):
    """The longest run of whole ridges, from the first full top to the last."""
    segments = half_plane(vertices, faces, angle)
    top = thread.major / 2 if external else thread.minor / 2 + shift
    flat = (np.abs(segments[:, :, 1] - top) <= FLAT_REACH * tolerance).all(axis=1)
    along, out = np.abs(segments[:, 1] - segments[:, 0]).T
    flat &= out <= FLAT_LEAN * along
    flats = np.sort(segments[flat][:, :, 0], axis=1)
    flats = flats[np.argsort(flats[:, 0])]
    if len(flats) == 0:
        raise ValueError("no flat at the radius of the thread's top")
    runs = np.split(flats, np.flatnonzero(np.diff(flats[:, 0]) > thread.pitch) + 1)
    low, high = max(((run[0, 0], run[:, 1].max()) for run in runs), key=lambda run: run[1] - run[0])
    near = (segments[:, :, 1] > thread.minor / 2 + shift - NEIGHBOURHOOD).all(axis=1)
    near &= (segments[:, :, 1] < thread.major / 2 + shift + NEIGHBOURHOOD).all(axis=1)
    inside = (segments[:, :, 0] >= low - FLOAT).all(axis=1)
    inside &= (segments[:, :, 0] <= high + FLOAT).all(axis=1)
    return Section(segments[near & inside], low, high)


def to_segment(points, start, end):
    """Distances of points (n, 2) from the segment between two points."""
    along = end - start
    share = np.clip((points - start) @ along / (along @ along), 0.0, 1.0)
    return np.linalg.norm(points - start - share[:, None] * along, axis=1)


def profile_distance(points, thread, shift, centre):
    """Distances of points [z, r] from the basic profile with a ridge's centre at `centre`."""
    pitch = thread.pitch
    away = points[:, 0] - centre
    away = np.abs(away - pitch * np.round(away / pitch))
    folded = np.stack([away, points[:, 1]], axis=1)
    crest, root = thread.major / 2 + shift, thread.minor / 2 + shift
    corners = [np.array(corner) for corner in (
        (-pitch / 16, crest), (pitch / 16, crest), (3 * pitch / 8, root), (5 * pitch / 8, root))]
    return np.min([to_segment(folded, a, b) for a, b in zip(corners, corners[1:])], axis=0)


def crossings(section, radius):
    """z at which the section rises and falls through a radius, each ascending."""
    ordered = np.take_along_axis(
        section.segments, np.argsort(section.segments[:, :, 0], axis=1)[:, :, None], axis=1)
    (z0, r0), (z1, r1) = ordered[:, 0].T, ordered[:, 1].T
    through = (r0 < radius) != (r1 < radius)
    step = np.where(through, r1 - r0, 1.0)
    z = z0 + (radius - r0) / step * (z1 - z0)
    return np.sort(z[through & (r1 > r0)]), np.sort(z[through & (r1 < r0)])


def wrapped(length, pitch):
    """A length modulo the pitch, in [-P/2, P/2]."""
    return length - pitch * round(length / pitch)


def ridge_centre(section, thread, shift):
    """z, modulo the pitch, midway between the flanks on the pitch line where r is larger."""
    rises, falls = crossings(section, thread.pitch_diameter / 2 + shift)
    rise = rises[0]
    fall = falls[falls > rise][0]
    return (rise + fall) / 2


def check_section(section, centre, thread, shift, tolerance, where, tally):
    """One section against the profile, both ways, and its pitch by three measurements."""
    limit = tolerance + FLOAT
    segments = section.segments
    covered = np.abs(segments[:, 0, 0] - segments[:, 1, 0]).sum()
    tally.near(covered, section.length, 10 * FLOAT, f"{where}: length covered by the section")
    ends = segments[:, :1], segments[:, 1:]
    points = (ends[0] + SAMPLES[None, :, None] * (ends[1] - ends[0])).reshape(-1, 2)
    off = profile_distance(points, thread, shift, centre).max()
    tally.most(off, limit, f"{where}: section off the basic profile")

    pitch = thread.pitch
    first, last = math.ceil((section.low - centre) / pitch), math.floor((section.high - centre) / pitch)
    corners = [(centre + k * pitch + u, radius + shift)
               for k in range(first, last + 1)
               for u, radius in ((-3 * pitch / 8, thread.minor / 2), (-pitch / 16, thread.major / 2),
                                 (pitch / 16, thread.major / 2), (3 * pitch / 8, thread.minor / 2))]
    corners = [corner for corner in corners if section.low <= corner[0] <= section.high]
    missed = max(min(to_segment(np.array([corner]), a, b)[0] for a, b in nearby(segments, corner[0]))
                 for corner in corners)
    tally.most(missed, limit, f"{where}: corners of the basic profile off the section")

    rises, _ = crossings(section, thread.pitch_diameter / 2 + shift)
    if tally.check(len(rises) >= 4, f"{where}: only {len(rises)} pitches to measure"):
        for steps in sorted({1, len(rises) // 2, len(rises) - 1}):
            tally.near(rises[steps] - rises[0], steps * pitch, tolerance,
                       f"{where}: distance over {steps} pitches")


def nearby(segments, z):
    """Segments that may hold the point of the section nearest to a height."""
    reach = (segments[:, :, 0].min(axis=1) <= z + NEIGHBOURHOOD)
    reach &= (segments[:, :, 0].max(axis=1) >= z - NEIGHBOURHOOD)
    return segments[reach]


def check_thread(male, female, thread, gap, tolerance, angles, where, tally):
    """A screw and its hole at several angles; their full-profile stretches at the first."""
    stretches = None
    start = None
    for angle in angles:
        at = f"{where} at {360 * angle:.1f} deg"
        sections = []
        for side, piece, shift in (("screw", male, 0.0), ("hole", female, gap)):
            section = full_profile(piece.vertices, piece.faces, angle, thread, shift,
                                   side == "screw", tolerance)
            centre = ridge_centre(section, thread, shift)
            check_section(section, centre, thread, shift, tolerance, f"{side} {at}", tally)
            sections.append((section, centre))
        (screw, crest), (hole, groove) = sections
        tally.near(wrapped(groove - crest, thread.pitch), 0.0, tolerance,
                   f"{at}: groove centre past crest centre at turn 0")
        if start is None:
            start, stretches = crest - thread.lead * angle, (screw, hole)
        # The helix climbs by the signed lead in a turn: this tells its hand and its lead.
        climb = wrapped(crest - start - thread.lead * angle, thread.pitch)
        tally.near(climb, 0.0, tolerance, f"{at}: climb of the helix")
    return stretches
