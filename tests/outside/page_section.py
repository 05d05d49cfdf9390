"""What the viewer has to show, computed from the written solids alone.

A kit's printed parts are read from its folder, set in their poses and turned by their rates, and cut by
the plane x = 0; a line across the axis then passes from outside to material and back at places that
the picture has to show too.
"""

import math
from pathlib import Path

import numpy as np
import trimesh


class Solid:
    """The pieces of one printed part, as they stand at turn 0."""

    def __init__(self, folder, part):
        mesh = trimesh.load(Path(folder) / part["file"], process=False)
        self.name = part["name"]
        self.pieces = []
        for entry in part["instances"]:
            pose = np.array(entry["assembly_from_print"], dtype=float)
            rate = entry["per_turn"]
            corners = np.asarray(mesh.triangles) @ pose[:3, :3].T + pose[:3, 3]
            self.pieces.append((corners, rate["advance_mm"], rate["turns"]))

    def at(self, turn):
        """Corners of all facets after so many turns of the drive, (n, 3, 3)."""
        moved = []
        for corners, advance, turns in self.pieces:
            angle = 2.0 * math.pi * math.fmod(turn * turns, 1.0)
            cos, sin = math.cos(angle), math.sin(angle)
            about = np.array([[cos, -sin, 0.0], [sin, cos, 0.0], [0.0, 0.0, 1.0]])
            moved.append(corners @ about.T + [0.0, 0.0, turn * advance])
        return np.concatenate(moved)

    def ends(self, turn):
        """Lowest and highest z."""
        heights = self.at(turn)[:, :, 2]
        return float(heights.min()), float(heights.max())


def cut(corners):
    """Where facets cross the plane x = 0: pairs of ends, (n, 2, 2) as z and y."""
    side = corners[:, :, 0] >= 0.0
    crossing = corners[side.any(axis=1) & ~side.all(axis=1)]
    ends = []
    for facet in crossing:
        points = []
        for one, other in ((0, 1), (1, 2), (2, 0)):
            a, b = facet[one], facet[other]
            if (a[0] >= 0.0) != (b[0] >= 0.0):
                share = a[0] / (a[0] - b[0])
                points.append((a + share * (b - a))[[2, 1]])
        ends.append(points)
    return np.array(ends).reshape(-1, 2, 2)


def across(segments, z):
    """Heights y at which the section's outline crosses a line across the axis at z, ascending."""
    below, above = segments[:, 0, 0] < z, segments[:, 1, 0] < z
    crossed = segments[below != above]
    share = (z - crossed[:, 0, 0]) / (crossed[:, 1, 0] - crossed[:, 0, 0])
    return np.sort(crossed[:, 0, 1] + share * (crossed[:, 1, 1] - crossed[:, 0, 1]))


def is_steady(segments, z, within, most):
    """Whether the outline crosses near z as often as at it, and no steeper than can be compared."""
    here, before, behind = (across(segments, place) for place in (z, z - within, z + within))
    if not len(here) == len(before) == len(behind):
        return False
    return len(here) > 0 and np.abs(behind - before).max() <= most


def seen(ends, low, high):
    """Of ends of material, in pairs, those that a picture from one height to another shows."""
    pairs = np.clip(ends.reshape(-1, 2), low, high)
    return pairs[pairs[:, 1] > pairs[:, 0]].ravel()


def runs(column, paper):
    """Where a column of pixels goes from paper to what is drawn and back: pixels from the top."""
    drawn = (np.abs(column.astype(int) - paper).max(axis=1) > 12).astype(int)
    return np.flatnonzero(np.diff(np.concatenate([[0], drawn, [0]])))
