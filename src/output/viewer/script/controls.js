/* Controls: from what a hand does to a new state, and from a state to what the controls show. */

/* Degrees for each pixel of a drag and each press of an arrow. */
const DRAG = 0.4;
const ARROW = 5;
const LARGER = 1.25;
const ROLLED = 0.0015;
/* Pixels within which a press is a click and no drag. */
const CLICK = 4;
/* Played turns a second, and ms of a removal that is played. Guess: a hand's pace. */
const TURNS_A_SECOND = 1;
const REMOVAL_MS = 900;
const LONG_REMOVAL_MS = 3000;
/* How long a step that was played stands before the next. */
const READ_MS = 1800;
/* Of pictures that follow each other slower than this, in ms, the next are rough until none follows for
   so long. */
const SLOW_MS = 90;
const REST_MS = 250;
/* Of a removal with more turns than these the eye sees none singly. */
const MANY_TURNS = 2;

function lengthTold(kit, mm, decimals) {
  const number = (value, places) => String(Number(value.toFixed(places)));
  const metric = `${number(mm, decimals)} mm`;
  return kit.inches ? `${number(mm / 25.4, decimals + 1)} in (${metric})` : metric;
}

class Controls {
  constructor(section, kit, drawing, state) {
    this.section = section;
    this.kit = kit;
    this.drawing = drawing;
    this.state = state;
    this.still = matchMedia("(prefers-reduced-motion: reduce)");
    this.playing = null;
    this.wanted = false;
    this.find();
    this.leaveOut();
    this.listParts();
    this.linkBill();
    this.listen();
    this.listenToCanvas();
  }

  find() {
    const at = (name) => this.section.querySelector(`#viewer-${name}`);
    this.at = new Proxy({}, { get: (_, name) => at(name) });
  }

  /* What this kit has not is not offered. */
  leaveOut() {
    const { kit, at } = this;
    at["plain-label"].hidden = kit.plain === null;
    at.gap.hidden = kit.gap === null;
    at["apart-set"].hidden = kit.leavings.length === 0;
    at["steps-set"].hidden = kit.steps.length === 0;
    at.apart.max = String(kit.leavings.length);
    const [low, high] = boxAround(
      pieceCorners(kit.kit, turnedPoses(kit.kit, 0), () => true),
    );
    const wide = Math.max(-low[0], high[0], -low[1], high[1]);
    at.move.min = String(-wide);
    at.move.max = String(wide);
  }

  /* Takes a new state over and draws it; what is not said stays. */
  set(change) {
    Object.assign(this.state, change);
    this.draw();
  }

  draw() {
    if (!this.wanted) {
      this.wanted = true;
      requestAnimationFrame(() => {
        this.wanted = false;
        this.show();
      });
    }
  }

  show() {
    this.watchPace();
    this.drawing.paint(this.state);
    this.showControls();
  }

  /* Where drawing is slow, what moves is drawn with fewer dots, and anew with all of them at rest. */
  watchPace() {
    const now = performance.now();
    const since = now - (this.shownAt ?? -Infinity);
    this.shownAt = now;
    this.slow = since < REST_MS && since > SLOW_MS ? (this.slow ?? 0) + 1 : 0;
    this.drawing.isRough ||= this.slow > 1;
    clearTimeout(this.rest);
    if (this.drawing.isRough) {
      this.rest = setTimeout(() => {
        this.drawing.isRough = false;
        this.drawing.paint(this.state);
      }, REST_MS);
    }
  }

  /* The mechanism is turned by hand: it is together then. */
  turnTo(turn) {
    this.set({ turn: clamped(turn, 0, this.kit.kit.turns), apart: 0, step: null, ...this.leftGap() });
  }

  /* Whoever goes on from the least gap sees the whole again. */
  leftGap() {
    return this.state.gap ? { gap: false, zoom: 1, focus: null, pan: [0, 0] } : {};
  }

  listen() {
    const { at, kit, state } = this;
    const on = (name, event, act) => at[name].addEventListener(event, act);
    on("turn", "input", () => {
      this.stop();
      this.turnTo(Number(at.turn.value));
    });
    on("play", "click", () => this.toggle("turn", () => this.playTurns()));
    on("back", "click", () => {
      this.stop();
      this.turnTo(0);
    });
    on("cut", "change", () => this.set({ cut: at.cut.checked ? Number(at.angle.value) : null }));
    on("face", "change", () => {
      const cut = at.face.checked && state.cut === null ? Number(at.angle.value) : state.cut;
      this.set({ face: at.face.checked, cut });
    });
    on("angle", "input", () => this.set({ cut: Number(at.angle.value) }));
    on("move", "input", () =>
      this.set({ move: Number(at.move.value), cut: state.cut ?? Number(at.angle.value) }),
    );
    const look = (angles) => this.set({ ...angles, ...this.leftGap(), pan: [0, 0], zoom: 1 });
    on("slanted", "click", () => look(SLANTED));
    on("side", "click", () => look({ ...SQUARE, pitch: -(state.cut ?? 0) }));
    on("head", "click", () => look(FROM_THE_HEAD));
    on("larger", "click", () => this.zoomBy(LARGER));
    on("smaller", "click", () => this.zoomBy(1 / LARGER));
    on("numbers", "change", () => this.set({ numbers: at.numbers.checked }));
    on("plain", "change", () => this.set({ plain: at.plain.checked }));
    on("gap", "click", () => {
      this.stop();
      setAtGap(state, kit);
      this.draw();
    });
    on("apart", "input", () => {
      this.stop();
      this.set({ apart: Number(at.apart.value), step: null, ...this.leftGap() });
    });
    on("previous", "click", () => this.goTo((state.step ?? 1) - 1));
    on("next", "click", () => this.goTo((state.step ?? -1) + 1));
    on("play-steps", "click", () => this.toggle("steps", () => this.playSteps()));
    on("leave-steps", "click", () => {
      this.stop();
      this.set({ step: null, apart: 0 });
    });
    on("all", "click", () => this.set({ hidden: new Set(), picked: null }));
    new ResizeObserver(() => this.draw()).observe(this.drawing.canvas);
    this.drawing.dark.addEventListener("change", () => this.draw());
    window.addEventListener("hashchange", () => {
      if (location.hash.includes("=")) {
        this.stop();
        setByFragment(state, location.hash, kit);
        this.draw();
      }
    });
  }

  /* One kind of play at a time; a second press ends it. */
  toggle(kind, begin) {
    const was = this.playing?.kind;
    this.stop();
    if (was !== kind) {
      begin();
    }
    this.draw();
  }

  stop() {
    this.playing?.end();
    this.playing = null;
  }

  /* Calls with the share of a time that has passed, until it has; then something else. Who wants no
     motion sees the end at once. */
  play(kind, ms, passed, done) {
    const began = performance.now();
    let request = 0;
    const tick = () => {
      const share = this.still.matches ? 1 : Math.min((performance.now() - began) / ms, 1);
      passed(share);
      if (share < 1) {
        request = requestAnimationFrame(tick);
      } else {
        this.playing = null;
        done?.();
      }
      this.show();
    };
    this.playing = { kind, end: () => cancelAnimationFrame(request) };
    request = requestAnimationFrame(tick);
  }

  /* Waits, as part of a play. */
  wait(kind, ms, then) {
    const timer = setTimeout(then, ms);
    this.playing = { kind, end: () => clearTimeout(timer) };
    this.draw();
  }

  /* Turns on to the end of the stroke, from its begin if it stands there; without motion in whole
     turns, a second each. */
  playTurns() {
    const { kit, state } = this;
    const end = kit.kit.turns;
    const from = state.turn < end && state.apart === 0 && state.step === null ? state.turn : 0;
    this.turnTo(from);
    if (this.still.matches) {
      const on = () => {
        this.playing = null;
        this.turnTo(Math.min(Math.floor(state.turn) + 1, end));
        if (state.turn < end) {
          this.wait("turn", 1000, on);
        }
      };
      this.wait("turn", 1000, on);
      return;
    }
    const ms = ((end - from) / TURNS_A_SECOND) * 1000;
    this.play("turn", Math.max(ms, 1), (share) => (state.turn = from + (end - from) * share));
  }

  /* Goes to a step and plays its motion. */
  goTo(step, kind = "step", done = undefined) {
    const { kit, state } = this;
    this.stop();
    const next = clamped(step, 0, kit.steps.length - 1);
    const [before, after] = kit.steps[next].done.map((done) => kit.leavings.length - done);
    Object.assign(state, { step: next, apart: before, ...this.leftGap() });
    const ms = undoneBy(kit, next)
      .map((leaving) => {
        const turns = leaving.turns + leaving.turn_after - leaving.turn;
        return Math.abs(turns) > MANY_TURNS ? LONG_REMOVAL_MS : REMOVAL_MS;
      })
      .reduce((sum, ms) => sum + ms, 0);
    this.play(kind, Math.max(ms, 1), (share) => (state.apart = before + (after - before) * share), done);
  }

  playSteps() {
    const { kit, state } = this;
    const last = kit.steps.length - 1;
    const on = (step) => {
      this.goTo(step, "steps", () => {
        if (step < last) {
          this.wait("steps", READ_MS, () => on(step + 1));
        }
      });
    };
    on(state.step === null || state.step >= last ? 0 : state.step + 1);
  }

  zoomBy(factor) {
    this.set({ zoom: clamped(this.state.zoom * factor, LEAST_ZOOM, MOST_ZOOM) });
  }

  pick(name) {
    this.set({ picked: this.state.picked === name ? null : name });
  }

  hide(name, isHidden) {
    const hidden = new Set(this.state.hidden);
    if (isHidden) {
      hidden.add(name);
    } else {
      hidden.delete(name);
    }
    this.set({ hidden });
  }

  /* A row for each part: a tick that shows it, its number and hatching, and its name, which picks it. */
  listParts() {
    const { kit, at } = this;
    this.rows = kit.kit.parts.flatMap((part, index) => {
      const count = kit.kit.pieces.filter((piece) => piece.part === index).length;
      if (count === 0) {
        return [];
      }
      const row = document.createElement("li");
      const tick = document.createElement("input");
      tick.type = "checkbox";
      tick.setAttribute("aria-label", `show ${part.called}`);
      tick.addEventListener("change", () => this.hide(part.name, !tick.checked));
      const number = document.createElement("span");
      number.className = "viewer-item";
      number.textContent = String(part.number);
      const name = document.createElement("button");
      name.type = "button";
      name.textContent = count > 1 ? `${part.called}, ${count}` : part.called;
      name.addEventListener("click", () => this.pick(part.name));
      row.append(tick, number, swatch(part), name);
      at.parts.append(row);
      return [{ part, tick, name }];
    });
  }

  /* Rows of the page's bill pick their part, and are marked while it is picked. */
  linkBill() {
    const names = new Set(this.kit.kit.parts.map((part) => part.name));
    const rows = [...document.querySelectorAll("[data-part]")];
    this.bill = rows.filter((row) => names.has(row.dataset.part) && !this.section.contains(row));
    for (const row of this.bill) {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "viewer-pick";
      button.textContent = "show";
      const part = this.kit.kit.parts.find((part) => part.name === row.dataset.part);
      button.setAttribute("aria-label", `show ${part.called} in the moving drawing`);
      button.addEventListener("click", () => {
        this.set({ picked: part.name, step: null });
        const calm = this.still.matches ? "auto" : "smooth";
        this.section.scrollIntoView({ behavior: calm, block: "start" });
        this.drawing.canvas.focus({ preventScroll: true });
      });
      (row.querySelector(".viewer-place") ?? row.querySelector("td:last-of-type") ?? row).append(button);
    }
  }

  listenToCanvas() {
    const { canvas } = this.drawing;
    const down = new Map();
    let moved = 0;
    const apart = () => {
      const [a, b] = [...down.values()];
      return Math.hypot(a[0] - b[0], a[1] - b[1]);
    };
    canvas.addEventListener("pointerdown", (event) => {
      moved = down.size === 0 ? 0 : moved;
      down.set(event.pointerId, [event.offsetX, event.offsetY]);
      canvas.setPointerCapture(event.pointerId);
    });
    canvas.addEventListener("pointermove", (event) => {
      const before = down.get(event.pointerId);
      if (!before) {
        return;
      }
      const step = [event.offsetX - before[0], event.offsetY - before[1]];
      const span = down.size === 2 ? apart() : 0;
      down.set(event.pointerId, [event.offsetX, event.offsetY]);
      moved += Math.abs(step[0]) + Math.abs(step[1]);
      if (down.size === 2) {
        this.shift(step.map((pixels) => pixels / 2));
        this.zoomBy(apart() / (span || 1));
      } else if (event.shiftKey) {
        this.shift(step);
      } else {
        this.orbit(step.map((pixels) => pixels * DRAG));
      }
    });
    const up = (event) => {
      const was = down.delete(event.pointerId);
      if (was && event.type === "pointerup" && moved < CLICK && down.size === 0) {
        const piece = this.drawing.pieceAt([event.offsetX, event.offsetY]);
        const part = piece === null ? null : this.kit.kit.pieces[piece].part;
        const name = part === null ? null : this.kit.kit.parts[part].name;
        this.set({ picked: name === this.state.picked ? null : name });
      }
    };
    canvas.addEventListener("pointerup", up);
    canvas.addEventListener("pointercancel", up);
    canvas.addEventListener(
      "wheel",
      (event) => {
        event.preventDefault();
        this.zoomBy(Math.exp(-event.deltaY * ROLLED));
      },
      { passive: false },
    );
    canvas.addEventListener("keydown", (event) => this.key(event));
  }

  key(event) {
    const arrows = {
      ArrowLeft: [-1, 0],
      ArrowRight: [1, 0],
      ArrowUp: [0, -1],
      ArrowDown: [0, 1],
    };
    const arrow = arrows[event.key];
    if (event.ctrlKey || event.altKey || event.metaKey) {
      return;
    }
    if (arrow) {
      const by = arrow.map((way) => way * ARROW);
      event.shiftKey ? this.shift(by.map((way) => way * 4)) : this.orbit(by);
    } else if (event.key === "+" || event.key === "=") {
      this.zoomBy(LARGER);
    } else if (event.key === "-") {
      this.zoomBy(1 / LARGER);
    } else {
      return;
    }
    event.preventDefault();
  }

  /* The picture follows the hand: to the right turns its near side to the right. */
  orbit([right, down]) {
    const { state } = this;
    const round = (degrees) => ((((degrees + 180) % 360) + 360) % 360) - 180;
    this.set({ yaw: round(state.yaw + right), pitch: round(state.pitch + down) });
  }

  shift([right, down]) {
    const { pan } = this.state;
    const { scale } = this.drawing;
    this.set({ pan: [pan[0] + right / scale, pan[1] - down / scale] });
  }

  /* What the controls show of the state. */
  showControls() {
    const { at, state, kit } = this;
    const turn = turnIn(kit, state);
    at.turn.value = String(turn);
    at.turn.setAttribute("aria-valuetext", `turn ${turn.toFixed(2)}`);
    at.cut.checked = state.cut !== null;
    at.face.checked = state.face && state.cut !== null;
    at.angle.value = String(state.cut ?? at.angle.value);
    at.angle.setAttribute("aria-valuetext", `${Number(at.angle.value).toFixed(0)} degrees`);
    at.move.value = String(state.move);
    at.move.setAttribute("aria-valuetext", lengthTold(kit, state.move, 1));
    at.numbers.checked = state.numbers;
    at.plain.checked = state.plain;
    at.apart.value = String(state.apart);
    at.apart.setAttribute("aria-valuetext", this.apartWords());
    at["apart-words"].textContent = this.apartWords();
    at.play.textContent = this.playing?.kind === "turn" ? "Pause" : "Play";
    at["play-steps"].textContent = this.playing?.kind === "steps" ? "Pause" : "Play the steps";
    at.previous.disabled = state.step === null || state.step === 0;
    at.next.disabled = state.step === kit.steps.length - 1;
    at["leave-steps"].disabled = state.step === null;
    this.section.dataset.playing = this.playing?.kind ?? "";
    this.showStep();
    this.showReadings(turn);
    for (const { part, tick, name } of this.rows) {
      tick.checked = !state.hidden.has(part.name);
      name.setAttribute("aria-pressed", String(state.picked === part.name));
    }
    for (const row of this.bill) {
      row.classList.toggle("viewer-picked", row.dataset.part === state.picked);
    }
  }

  apartWords() {
    const { kit, state } = this;
    const all = kit.leavings.length;
    if (state.apart <= 0) {
      return "Together.";
    }
    const index = Math.min(Math.ceil(state.apart), all);
    return `${index} of ${all}: ${kit.leavings[index - 1].words}.`;
  }

  showStep() {
    const { at, state, kit } = this;
    const step = state.step === null ? null : kit.steps[state.step];
    const words = step
      ? `Step ${state.step + 1} of ${kit.steps.length}: ${step.title}. ${step.text}`
      : "";
    /* Only what changed is read aloud. */
    if (at["step-words"].textContent !== words) {
      at["step-words"].textContent = words;
    }
  }

  showReadings(turn) {
    const { at, kit, state } = this;
    const told = (mm) => lengthTold(kit, mm, 3);
    const all = travels(kit.kit, turn);
    const called = (mechanism, index) => mechanism.pieces[mechanism.carriages[index]].called;
    const words = [
      `Turn ${turn.toFixed(2)} of ${Number(kit.kit.turns.toFixed(2))}, ${kit.turning}.`,
      ...all.map((travel, index) => `The ${called(kit.kit, index)} has gone ${told(Math.abs(travel))}.`),
    ];
    const bars = all.map((travel, index) => [called(kit.kit, index), Math.abs(travel)]);
    if (kit.plain) {
      const plain = { ...state, turn };
      const gone = Math.abs(travels(kit.plain, plainTurn(kit, plain))[0]);
      const stopped = turn > kit.plain.turns;
      const since = Number(kit.plain.turns.toFixed(2));
      words.push(
        `The plain screw's has gone ${told(gone)}${stopped ? `, and is at its stop since turn ${since}` : ""}.`,
      );
      bars.push(["the plain screw's", gone]);
    }
    if (kit.dial) {
      const ticks = ((turn % 1) + 1) % 1;
      const reading = Number((ticks * kit.dial.ticks).toFixed(1)) % kit.dial.ticks;
      words.push(`The dial stands at ${reading}, ${kit.dial.read}.`);
    }
    if (state.gap) {
      words.push(`In the ring: ${kit.gap.words}.`);
    }
    at.readout.textContent = words.join(" ");
    this.showBars(bars);
  }

  /* Travels against one scale: that of the whole stroke. */
  showBars(bars) {
    const { at, kit } = this;
    const whole = Math.max(
      ...travels(kit.kit, kit.kit.turns).map(Math.abs),
      ...(kit.plain ? travels(kit.plain, kit.plain.turns).map(Math.abs) : []),
    );
    while (at.travels.children.length < bars.length) {
      const row = document.createElement("div");
      const [name, track, run, value] = ["span", "span", "span", "span"].map((kind) =>
        document.createElement(kind),
      );
      track.className = "viewer-track";
      run.className = "viewer-run";
      track.append(run);
      row.append(name, track, value);
      at.travels.append(row);
    }
    bars.forEach(([called, gone], index) => {
      const [name, track, value] = at.travels.children[index].children;
      name.textContent = called;
      track.firstChild.style.width = `${(100 * gone) / whole}%`;
      value.textContent = lengthTold(kit, gone, 2);
    });
  }
}

/* A part's colour and hatching, as a cut has them. */
function swatch(part) {
  const [wide, high] = [30, 16];
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", `0 0 ${wide} ${high}`);
  svg.setAttribute("class", "viewer-swatch");
  svg.setAttribute("aria-hidden", "true");
  const filling = mixed(part.colour, [1, 1, 1], FILLED).map((value) => Math.round(255 * value));
  svg.style.background = `rgb(${filling.join(" ")})`;
  const angle = (part.hatch.angle * Math.PI) / 180;
  const [x, y] = [Math.cos(angle), -Math.sin(angle)];
  for (let off = -wide; off <= wide; off += part.hatch.step) {
    const [cx, cy] = [wide / 2 - y * off, high / 2 + x * off];
    const line = document.createElementNS(SVG, "line");
    const ends = { x1: cx - wide * x, y1: cy - wide * y, x2: cx + wide * x, y2: cy + wide * y };
    for (const [name, value] of Object.entries(ends)) {
      line.setAttribute(name, value.toFixed(1));
    }
    svg.append(line);
  }
  return svg;
}
