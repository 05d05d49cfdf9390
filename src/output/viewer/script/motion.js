/* Where every piece stands in a state: turned by its rate, and moved by what has left.

   A pose is three rows of four numbers, from the print frame to the assembly. Frame: +z from the drive
   head into the frame; a positive turn is clockwise seen from the drive head. */

const HALF_TURN = Math.PI;
/* Of a removal that goes on after its thread, this share of its way is the thread's. */
const THREADED = 0.7;

const STILL = [
  [1, 0, 0, 0],
  [0, 1, 0, 0],
  [0, 0, 1, 0],
];

/* First the one pose, then the other. */
function then(first, next) {
  return next.map((row) =>
    [0, 1, 2, 3].map(
      (column) =>
        row[0] * first[0][column] +
        row[1] * first[1][column] +
        row[2] * first[2][column] +
        (column === 3 ? row[3] : 0),
    ),
  );
}

/* Turns about an axis through the origin, and an advance along it. */
function screw(axis, turns, advance) {
  const [cos, sin] = [Math.cos(2 * HALF_TURN * turns), Math.sin(2 * HALF_TURN * turns)];
  const [a, b] = [(axis + 1) % 3, (axis + 2) % 3];
  const rows = STILL.map((row) => row.slice());
  rows[a][a] = cos;
  rows[a][b] = -sin;
  rows[b][a] = sin;
  rows[b][b] = cos;
  rows[axis][3] = advance;
  return rows;
}

function placed(pose, point) {
  return pose.map((row) => row[0] * point[0] + row[1] * point[1] + row[2] * point[2] + row[3]);
}

/* How much of a removal is done when so many are. */
function doneOf(index, apart) {
  return clamped(apart - index, 0, 1);
}

/* The turn of the mechanism, as far as it is together. */
function turnIn(kit, state) {
  if (state.apart <= 0 || kit.leavings.length === 0) {
    return state.turn;
  }
  const index = Math.min(Math.ceil(state.apart), kit.leavings.length) - 1;
  const leaving = kit.leavings[index];
  return leaving.turn + (leaving.turn_after - leaving.turn) * doneOf(index, state.apart);
}

/* A removal's motion as far as it is done: first as its thread leads, then straight on. */
function leftBy(leaving, done, piece) {
  const threaded = leaving.turns === 0 ? 1 : THREADED;
  const first = clamped(done / threaded, 0, 1);
  const whole = leaving.advance_mm + leaving.on_mm;
  const along =
    leaving.turns === 0
      ? done * whole
      : first * leaving.advance_mm + clamped((done - threaded) / (1 - threaded), 0, 1) * leaving.on_mm;
  return screw(
    leaving.axis,
    leaving.taken.includes(piece) ? first * leaving.turns : 0,
    leaving.pieces.includes(piece) ? along : 0,
  );
}

/* Poses of all pieces of the kit. */
function kitPoses(kit, state) {
  const now = turnIn(kit, state);
  return kit.kit.pieces.map((piece, index) => {
    let turn = now;
    let moved = STILL;
    const room = [0, 0, 0];
    /* The last to leave is the innermost motion: what comes off on the bench came off its group. */
    for (let at = kit.leavings.length - 1; at >= 0; at--) {
      const leaving = kit.leavings[at];
      const done = doneOf(at, state.apart);
      if (done <= 0) {
        continue;
      }
      if (leaving.taken.includes(index)) {
        turn = leaving.turn;
      }
      moved = then(moved, leftBy(leaving, done, index));
      const shove = leaving.shoved.find((shove) => shove.piece === index);
      if (shove) {
        room[leaving.axis] += shove.by_mm * done;
      }
    }
    const own = then(piece.pose, screw(2, turn * piece.turns, turn * piece.advance_mm));
    const out = then(own, moved);
    return out.map((row, axis) => [...row.slice(0, 3), row[3] + room[axis]]);
  });
}

/* How far the plain screw's drive is turned: it stops where its stroke ends. */
function plainTurn(kit, state) {
  return Math.min(state.turn, kit.plain.turns);
}

function turnedPoses(mechanism, turn) {
  return mechanism.pieces.map((piece) =>
    then(piece.pose, screw(2, turn * piece.turns, turn * piece.advance_mm)),
  );
}

/* Travel of carriages from turn 0, in mm, signed along the axis. */
function travels(mechanism, turn) {
  return mechanism.carriages.map((piece) => mechanism.pieces[piece].advance_mm * turn);
}

/* The removals that a step undoes, from the last of them on; none of a step that moves nothing. */
function undoneBy(kit, step) {
  const [before, after] = kit.steps[step].done;
  const all = kit.leavings.length;
  return kit.leavings.slice(all - after, all - before);
}

/* Whether a piece is on the table in a step: it is being put in, or stood there before. Before the
   first motion all are there, to be looked at. */
function isThere(kit, step, piece) {
  const [, after] = kit.steps[step].done;
  const last = kit.leavings.findLastIndex(
    (leaving) => leaving.taken.includes(piece) || leaving.bench.includes(piece),
  );
  return after === 0 || last < 0 || last >= kit.leavings.length - after;
}

/* The box around points, as its lowest and highest corner. */
function boxAround(points) {
  const box = [
    [Infinity, Infinity, Infinity],
    [-Infinity, -Infinity, -Infinity],
  ];
  for (const point of points) {
    for (let axis = 0; axis < 3; axis++) {
      box[0][axis] = Math.min(box[0][axis], point[axis]);
      box[1][axis] = Math.max(box[1][axis], point[axis]);
    }
  }
  return box;
}

function cornersOfBox([low, high]) {
  const corners = [];
  for (const x of [low[0], high[0]]) {
    for (const y of [low[1], high[1]]) {
      for (const z of [low[2], high[2]]) {
        corners.push([x, y, z]);
      }
    }
  }
  return corners;
}

/* The corners of the box around a part in its print frame. */
function meshCorners({ low, size }) {
  return cornersOfBox([low, low.map((value, axis) => value + size[axis])]);
}

/* Corners of the boxes of pieces in their poses. */
function pieceCorners(mechanism, poses, isShown) {
  return mechanism.pieces.flatMap((piece, index) =>
    isShown(index)
      ? meshCorners(mechanism.parts[piece.part].mesh).map((corner) => placed(poses[index], corner))
      : [],
  );
}
