/* The drawing: from a state to a picture on the canvas, with its notes, and to what the section tells. */

/* Dots a pixel at the most: more are not seen. */
const MOST_RATIO = 2;
/* The same while the picture moves and takes too long. */
const ROUGH_RATIO = 0.5;
/* Height of a window's title, in pixels. */
const TITLE = 24;
/* From note to note along the edge, in pixels. */
const BALLOON = 26;
const SVG = "http://www.w3.org/2000/svg";

function middleOf({ low, size }) {
  return low.map((value, axis) => value + size[axis] / 2);
}

/* The dots of the canvas that a piece takes, within a window: [left, bottom, width, height]. */
function roomOf({ pose, part }, look, [left, bottom, width, height]) {
  const seen = meshCorners(part.mesh).map((corner) => look.at(placed(pose, corner)));
  const [low, high] = boxAround(seen.map(([x, y]) => [x * look.ratio, height - y * look.ratio, 0]));
  const [x, y] = [Math.max(Math.floor(low[0]), 0), Math.max(Math.floor(low[1]), 0)];
  const across = clamped(Math.ceil(high[0]) - x, 0, width - x);
  const up = clamped(Math.ceil(high[1]) - y, 0, height - y);
  return [left + x, bottom + y, Math.max(across, 0), Math.max(up, 0)];
}

/* Whether a piece may hide a place on the screen: its room holds it, and it is nearer to the eye. */
function covers({ pose, part, room }, [x, y], depth, look) {
  const [left, bottom, width, height] = room;
  const [across, up] = [x * look.ratio, look.top - y * look.ratio];
  const inside = across > left && across < left + width && up > bottom && up < bottom + height;
  return inside && dot(look.eye, placed(pose, middleOf(part.mesh))) > depth;
}

class Drawing {
  constructor(section, gl, kit) {
    this.section = section;
    this.gl = gl;
    this.kit = kit;
    this.canvas = gl.canvas;
    this.notes = section.querySelector("#viewer-notes");
    this.isRough = false;
    this.dark = matchMedia("(prefers-color-scheme: dark)");
    this.painter = new Painter(gl, mechanismsOf(kit));
    this.colourParts();
  }

  /* Another kit in place of that which it has. */
  renew(kit) {
    this.kit = kit;
    this.painter.take(mechanismsOf(kit));
    this.colourParts();
  }

  /* A part of the plain screw has the colour of the kit's part of its name. */
  colourParts() {
    const names = this.kit.kit.parts.map((part) => part.name);
    for (const mechanism of mechanismsOf(this.kit)) {
      mechanism.parts.forEach((part, index) => {
        const place = names.includes(part.name) ? names.indexOf(part.name) : index;
        part.colour = this.kit.colours[place % this.kit.colours.length];
      });
    }
  }

  scheme() {
    return this.dark.matches ? "dark" : "light";
  }

  /* The mechanisms that are drawn, each in its own window, the kit above. */
  scenes(state) {
    const { kit } = this;
    const poses = kitPoses(kit, state);
    const isShown = (piece) =>
      (state.step === null || isThere(kit, state.step, piece)) &&
      !state.hidden.has(kit.kit.parts[kit.kit.pieces[piece].part].name);
    const scenes = [{ mechanism: kit.kit, poses, isShown, points: this.reached(state, poses) }];
    if (this.isPlainShown(state)) {
      const ends = [0, kit.plain.turns].flatMap((turn) =>
        pieceCorners(kit.plain, turnedPoses(kit.plain, turn), () => true),
      );
      scenes.push({
        mechanism: kit.plain,
        poses: turnedPoses(kit.plain, plainTurn(kit, state)),
        isShown: () => true,
        points: ends,
      });
    }
    return scenes;
  }

  isPlainShown(state) {
    return (
      this.kit.plain !== null &&
      state.plain &&
      state.step === null &&
      state.apart === 0 &&
      !state.gap
    );
  }

  /* What the picture has to hold: where pieces are from one end of what is shown to the other, so that
     nothing else moves while it is played. */
  reached(state, poses) {
    const { kit } = this;
    const at = (other) => kitPoses(kit, { ...state, ...other });
    if (state.step !== null) {
      const isThereThen = (piece) => isThere(kit, state.step, piece);
      const ends = kit.steps[state.step].done.map((done) => at({ apart: kit.leavings.length - done }));
      return ends.flatMap((end) => pieceCorners(kit.kit, end, isThereThen));
    }
    const ends = [0, kit.kit.turns].map((turn) => at({ turn, apart: 0 }));
    const all = state.apart > 0 ? [...ends, poses] : ends;
    return all.flatMap((end) => pieceCorners(kit.kit, end, () => true));
  }

  paint(state) {
    const { canvas } = this;
    const ratio = this.isRough ? ROUGH_RATIO : Math.min(window.devicePixelRatio || 1, MOST_RATIO);
    const [width, height] = [canvas.clientWidth, canvas.clientHeight];
    const [across, down] = [Math.round(width * ratio), Math.round(height * ratio)];
    if (canvas.width !== across || canvas.height !== down) {
      canvas.width = across;
      canvas.height = down;
    }
    this.arrange(state, [width, height], ratio);
    this.painter.begin(across, down);
    for (const scene of this.drawn) {
      this.painter.draw(scene.window, scene.look, scene.cut, scene.pieces);
    }
    this.note(state, [width, height]);
    this.tell(state);
  }

  /* Windows, looks and pieces of a state. */
  arrange(state, [width, height], ratio) {
    const scenes = this.scenes(state);
    const axes = axesOf(state);
    const size = [width, height / scenes.length];
    /* Two windows have titles, below which they are drawn. */
    const title = scenes.length > 1 ? TITLE : 0;
    const room = [width, size[1] - title];
    const extents = scenes.map((scene) => extentOf(axes, scene.points));
    this.scale = Math.min(...extents.map((extent) => fitting(extent, room))) * state.zoom;
    this.axes = axes;
    this.drawn = scenes.map((scene, index) => {
      const [low, high] = boxAround(scene.points);
      const reach = Math.max(...low.map(Math.abs), ...high.map(Math.abs));
      const bottom = height - (index + 1) * size[1];
      const pan = [state.pan[0], state.pan[1] - title / 2 / this.scale];
      const focus = scene.mechanism === this.kit.kit ? state.focus : null;
      const look = lookOf(axes, extents[index], this.scale, size, ratio, { pan, focus });
      const place = [0, bottom, ...size].map((pixels) => Math.round(pixels * ratio));
      look.top = place[1] + place[3];
      const pieces = this.pieces(state, scene);
      for (const piece of pieces) {
        piece.room = roomOf(piece, look, place);
      }
      return { ...scene, look, pieces, window: place, cut: cutOf(state, reach) };
    });
  }

  pieces(state, { mechanism, poses, isShown }) {
    const scheme = this.scheme();
    const meant = this.meant(state, mechanism);
    return mechanism.pieces.flatMap((piece, index) => {
      if (!isShown(index)) {
        return [];
      }
      const part = mechanism.parts[piece.part];
      const isMeant = meant !== null && meant(index);
      const pale = meant === null || isMeant ? 0 : PALE;
      const paler = (colour) => mixed(colour, PAPERS[scheme], pale);
      return [
        {
          index,
          part,
          pose: poses[index],
          colour: paler(part.colour),
          filling: paler(mixed(part.colour, [1, 1, 1], FILLED)),
          hatching: paler(mixed(part.colour, [0, 0, 0], 0.6)),
          ink: paler(INKS[scheme]),
          hidden: mixed(part.colour, INKS.light, scheme === "light" ? HIDDEN : 0),
          isMeant,
          ...matricesOf(poses[index], part.mesh),
        },
      ];
    });
  }

  /* Which pieces stand out; null where none does more than others. */
  meant(state, mechanism) {
    if (mechanism !== this.kit.kit) {
      return null;
    }
    if (state.step !== null) {
      const taken = new Set(undoneBy(this.kit, state.step).flatMap((leaving) => leaving.taken));
      return taken.size > 0 ? (piece) => taken.has(piece) : null;
    }
    if (state.picked !== null) {
      return (piece) => mechanism.parts[mechanism.pieces[piece].part].name === state.picked;
    }
    return null;
  }

  /* The piece of the kit that is drawn at a pixel; null if none is. */
  pieceAt([x, y]) {
    const scene = this.drawn[0];
    const [, , across, down] = scene.window;
    const ratio = scene.look.ratio;
    const dots = [Math.floor(x * ratio), this.canvas.height - 1 - Math.floor(y * ratio)];
    const inside = dots[0] >= 0 && dots[0] < across && dots[1] >= scene.window[1];
    if (!inside || dots[1] >= scene.window[1] + down) {
      return null;
    }
    const found = this.painter.pick(scene.window, scene.look, scene.cut, scene.pieces, dots);
    return found === null ? null : scene.pieces[found].index;
  }

  /* Notes over the picture: numbers in balloons, and the place of the least gap. */
  note(state, [width, height]) {
    this.notes.setAttribute("viewBox", `0 0 ${width} ${height}`);
    this.notes.replaceChildren();
    if (this.drawn.length > 1) {
      this.add("text", { x: 10, y: 20, class: "viewer-title" }).textContent = "this kit";
      const below = this.add("text", { x: 10, y: height / 2 + 20, class: "viewer-title" });
      below.textContent = this.kit.beside;
    }
    if (state.numbers) {
      this.balloons(state, width);
    }
    if (state.gap && state.apart === 0) {
      const [x, y] = this.drawn[0].look.at(this.kit.gap.point);
      this.add("circle", { cx: x, cy: y, r: 22, class: "viewer-mark" });
    }
  }

  /* A balloon for every part that is shown, in a row above and one below, each with a line that ends in
     a dot on a piece (ISO 6433, Technical product documentation, Part references; from memory). */
  balloons(state, width) {
    const { look, pieces, window: place } = this.drawn[0];
    const bottom = place[3] / look.ratio;
    const seen = new Map();
    for (const piece of pieces) {
      for (const end of this.leaderEnds(state, piece)) {
        const place = look.at(end);
        const depth = dot(look.eye, end);
        const behind = pieces.filter((other) => other !== piece && covers(other, place, depth, look));
        const best = seen.get(piece.part);
        if (!best || behind.length < best.behind || (behind.length === best.behind && depth > best.depth)) {
          seen.set(piece.part, { place, depth, behind: behind.length });
        }
      }
    }
    const sorted = [...seen]
      .map(([part, { place }]) => [part, place])
      .sort(([, a], [, b]) => a[0] - b[0]);
    for (const row of [0, 1]) {
      const ends = sorted.filter((_, index) => index % 2 === row);
      let least = BALLOON / 2 + 1;
      ends.forEach(([part, [x, y]], index) => {
        const most = width - BALLOON / 2 - 1 - (ends.length - 1 - index) * BALLOON;
        const at = clamped(x, least, Math.max(least, most));
        least = at + BALLOON;
        const level = row === 0 ? BALLOON / 2 + 1 : bottom - BALLOON / 2 - 1;
        this.balloon(part.number, [at, level], [x, y]);
      });
    }
  }

  /* Where a leader may end on a piece: in its middle, and, of what has left, near the ends of its longest
     side, since one of them may stand out where the rest lies behind something. */
  leaderEnds(state, { index, part, pose }) {
    const middle = middleOf(part.mesh);
    const { size } = part.mesh;
    const long = size.indexOf(Math.max(...size));
    const hasLeft = this.kit.leavings.some(
      (leaving, at) => at < state.apart && leaving.taken.includes(index),
    );
    const shares = hasLeft ? [0, -0.4, 0.4] : [0];
    return shares.map((share) =>
      placed(pose, middle.map((value, axis) => value + (axis === long ? share * size[axis] : 0))),
    );
  }

  balloon(number, [x, y], [toX, toY]) {
    const away = Math.hypot(toX - x, toY - y) || 1;
    const radius = BALLOON / 2 - 2;
    const from = [x + ((toX - x) / away) * radius, y + ((toY - y) / away) * radius];
    this.add("line", { x1: from[0], y1: from[1], x2: toX, y2: toY, class: "viewer-leader" });
    this.add("circle", { cx: toX, cy: toY, r: 2.2, class: "viewer-dot" });
    this.add("circle", { cx: x, cy: y, r: radius, class: "viewer-balloon" });
    this.add("text", { x, y: y + 4.5, class: "viewer-number" }).textContent = String(number);
  }

  add(kind, attributes) {
    const element = document.createElementNS(SVG, kind);
    for (const [name, value] of Object.entries(attributes)) {
      element.setAttribute(name, typeof value === "number" ? value.toFixed(2) : value);
    }
    this.notes.append(element);
    return element;
  }

  /* What the section tells whoever reads the page by program. */
  tell(state) {
    const { kit } = this;
    const told = this.section.dataset;
    const turn = turnIn(kit, state);
    told.turn = turn.toFixed(6);
    told.carriageMm = travels(kit.kit, turn)
      .map((travel) => travel.toFixed(6))
      .join(" ");
    told.plainMm = kit.plain ? travels(kit.plain, plainTurn(kit, state))[0].toFixed(6) : "";
    told.cut = state.cut === null ? "" : state.cut.toFixed(3);
    told.rough = this.isRough ? "1" : "0";
    told.move = state.move.toFixed(3);
    told.hidden = [...state.hidden].join(" ");
    for (const flag of ["face", "plain", "numbers", "gap"]) {
      told[flag] = state[flag] ? "1" : "0";
    }
    told.apart = state.apart.toFixed(3);
    told.step = state.step === null ? "" : String(state.step + 1);
    told.picked = state.picked ?? "";
    told.yaw = state.yaw.toFixed(2);
    told.pitch = state.pitch.toFixed(2);
    told.words = fragmentOf(state);
    told.pxPerMm = this.scale.toFixed(6);
    /* Where the assembly's origin is drawn, in pixels from the canvas' left top corner. */
    told.origin = this.drawn[0].look
      .at([0, 0, 0])
      .map((pixel) => pixel.toFixed(3))
      .join(" ");
  }
}
