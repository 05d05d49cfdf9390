/* Controls: from what a hand does to a new state, and from a state to what the controls show. */

/* Played turns a second, and ms of a removal that is played. Guess: a hand's pace. */
const TURNS_A_SECOND = 1;
const REMOVAL_MS = 900;
const LONG_REMOVAL_MS = 3000;
/* Of a removal with more turns than these the eye sees none singly. */
const MANY_TURNS = 2;
/* How long a step that was played stands before the next. */
const READ_MS = 1800;
/* A whole turn for whoever wants no motion, in ms. */
const TURN_MS = 1000;
/* Of pictures that follow each other slower than this, in ms, the next are rough until none follows for
   so long. */
const SLOW_MS = 90;
const REST_MS = 250;

class Controls {
  constructor(section, kit, drawing, state) {
    this.section = section;
    this.kit = kit;
    this.drawing = drawing;
    this.state = state;
    this.still = matchMedia("(prefers-reduced-motion: reduce)");
    this.playing = null;
    this.isAskedFor = false;
    /* The section's elements by their names. */
    this.at = new Proxy({}, { get: (_, name) => section.querySelector(`#viewer-${name}`) });
    this.leaveOut();
    this.fit();
    this.hand = new Hand(this);
    this.listenToTurn();
    this.listenToCut();
    this.listenToLook();
    this.listenToOrder();
    this.listenAround();
  }

  /* What this kit has not is not offered. */
  leaveOut() {
    const { kit, at } = this;
    at.gap.hidden = kit.gap === null;
    at["apart-set"].hidden = kit.leavings.length === 0;
    at["steps-set"].hidden = kit.steps.length === 0;
  }

  /* Sliders go as far as the kit does, and the lists are of its parts. */
  fit() {
    const { kit, at } = this;
    this.parts = new PartList(this);
    this.bars = new Bars(kit, at.travels);
    at["plain-label"].hidden = kit.plain === null;
    at.turn.max = String(kit.kit.turns);
    at.apart.max = String(kit.leavings.length);
    const [low, high] = boxAround(pieceCorners(kit.kit, turnedPoses(kit.kit, 0), () => true));
    const wide = Math.max(-low[0], high[0], -low[1], high[1]);
    at.move.min = String(-wide);
    at.move.max = String(wide);
  }

  /* Draws another kit in the same look. What is not known of it yet waits for its page. */
  renew(kit) {
    this.stop();
    this.kit = kit;
    fitState(this.state, kit);
    this.drawing.renew(kit);
    this.fit();
    for (const name of ["gap", "apart-set", "steps-set"]) {
      this.at[name].disabled = true;
    }
    this.show();
  }

  /* Takes a new state over and draws it; what is not said stays. */
  set(change) {
    Object.assign(this.state, change);
    this.draw();
  }

  /* Draws once before the next picture of the screen, however often it is asked for. */
  draw() {
    if (!this.isAskedFor) {
      this.isAskedFor = true;
      requestAnimationFrame(() => {
        this.isAskedFor = false;
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

  on(name, event, act) {
    this.at[name].addEventListener(event, act);
  }

  /* The mechanism is turned by hand: it is together then. */
  turnTo(turn) {
    const together = { apart: 0, step: null, ...this.leftGap() };
    this.set({ turn: clamped(turn, 0, this.kit.kit.turns), ...together });
  }

  /* Whoever goes on from the least gap sees the whole again. */
  leftGap() {
    return this.state.gap ? { gap: false, zoom: 1, focus: null, pan: [0, 0] } : {};
  }

  listenToTurn() {
    this.on("turn", "input", () => {
      this.stop();
      this.turnTo(Number(this.at.turn.value));
    });
    this.on("play", "click", () => this.toggle("turn", () => this.playTurns()));
    this.on("back", "click", () => {
      this.stop();
      this.turnTo(0);
    });
  }

  listenToCut() {
    const { at, state } = this;
    const asTurned = () => state.cut ?? Number(at.angle.value);
    this.on("cut", "change", () => this.set({ cut: at.cut.checked ? asTurned() : null }));
    this.on("face", "change", () => this.set({ face: at.face.checked, cut: asTurned() }));
    this.on("angle", "input", () => this.set({ cut: Number(at.angle.value) }));
    this.on("move", "input", () => this.set({ move: Number(at.move.value), cut: asTurned() }));
  }

  listenToLook() {
    const { at, state, kit } = this;
    const look = (angles) => this.set({ ...angles, ...this.leftGap(), pan: [0, 0], zoom: 1, focus: null });
    this.on("slanted", "click", () => look(SLANTED));
    this.on("side", "click", () => look(squareTo(state.cut)));
    this.on("head", "click", () => look(FROM_THE_HEAD));
    this.on("larger", "click", () => this.hand.zoomBy(LARGER));
    this.on("smaller", "click", () => this.hand.zoomBy(1 / LARGER));
    this.on("numbers", "change", () => this.set({ numbers: at.numbers.checked }));
    this.on("plain", "change", () => this.set({ plain: at.plain.checked }));
    this.on("gap", "click", () => {
      this.stop();
      setAtGap(state, kit);
      this.draw();
    });
    this.on("all", "click", () => this.set({ hidden: new Set(), picked: null }));
  }

  listenToOrder() {
    const { at, state } = this;
    this.on("apart", "input", () => {
      this.stop();
      this.set({ apart: Number(at.apart.value), step: null, ...this.leftGap() });
    });
    this.on("previous", "click", () => this.goTo((state.step ?? 1) - 1));
    this.on("next", "click", () => this.goTo((state.step ?? -1) + 1));
    this.on("play-steps", "click", () => this.toggle("steps", () => this.playSteps()));
    this.on("leave-steps", "click", () => {
      this.stop();
      this.set({ step: null, apart: 0 });
    });
  }

  /* What changes around the section. */
  listenAround() {
    new ResizeObserver(() => this.draw()).observe(this.drawing.canvas);
    this.drawing.dark.addEventListener("change", () => this.draw());
    window.addEventListener("hashchange", () => {
      if (location.hash.includes("=")) {
        this.stop();
        setByFragment(this.state, location.hash, this.kit);
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

  /* Turns on to the end of the stroke, from its begin if it stands there. */
  playTurns() {
    const { kit, state } = this;
    const end = kit.kit.turns;
    const isOnTheWay = state.turn < end && isTogether(state);
    const from = isOnTheWay ? state.turn : 0;
    this.turnTo(from);
    if (this.still.matches) {
      this.playWholeTurns(end);
      return;
    }
    const ms = Math.max(((end - from) / TURNS_A_SECOND) * 1000, 1);
    this.play("turn", ms, (share) => (state.turn = from + (end - from) * share));
  }

  /* The same without motion: turn by turn. */
  playWholeTurns(end) {
    this.wait("turn", TURN_MS, () => {
      this.playing = null;
      this.turnTo(Math.min(Math.floor(this.state.turn) + 1, end));
      if (this.state.turn < end) {
        this.playWholeTurns(end);
      }
    });
  }

  /* Goes to a step and plays its motion. */
  goTo(step, kind = "step", done = undefined) {
    const { kit, state } = this;
    this.stop();
    const next = clamped(step, 0, kit.steps.length - 1);
    const [before, after] = kit.steps[next].done.map((done) => kit.leavings.length - done);
    Object.assign(state, { step: next, apart: before, ...this.leftGap() });
    state.yaw = kit.steps[next].yaw ?? state.yaw;
    const times = undoneBy(kit, next).map((leaving) => {
      const turns = leaving.turns + leaving.turn_after - leaving.turn;
      return Math.abs(turns) > MANY_TURNS ? LONG_REMOVAL_MS : REMOVAL_MS;
    });
    const ms = times.reduce((sum, ms) => sum + ms, 1);
    this.play(kind, ms, (share) => (state.apart = before + (after - before) * share), done);
  }

  /* Plays one step after the other, from the next on. */
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

  /* What the controls show of the state. */
  showControls() {
    const { at, state, kit } = this;
    const turn = turnIn(kit, state);
    this.section.dataset.playing = this.playing?.kind ?? "";
    this.showSliders(turn);
    at.cut.checked = state.cut !== null;
    at.face.checked = state.face && state.cut !== null;
    at.numbers.checked = state.numbers;
    at.plain.checked = state.plain;
    at.play.textContent = this.playing?.kind === "turn" ? "Pause" : "Play";
    at["play-steps"].textContent = this.playing?.kind === "steps" ? "Pause" : "Play the steps";
    at.previous.disabled = state.step === null || state.step === 0;
    at.next.disabled = state.step === kit.steps.length - 1;
    at["leave-steps"].disabled = state.step === null;
    at["apart-words"].textContent = apartWords(kit, state);
    at.readout.textContent = readingsTold(kit, state, turn);
    const words = stepWords(kit, state);
    /* It is read aloud when it changes, so it changes only when it is another. */
    if (at["step-words"].textContent !== words) {
      at["step-words"].textContent = words;
    }
    this.bars.show(state, turn);
    this.parts.show(state);
  }

  /* Each slider at its value, and the value in words for whoever does not see it. */
  showSliders(turn) {
    const { at, state, kit } = this;
    const angle = state.cut ?? Number(at.angle.value);
    const sliders = {
      turn: [turn, `turn ${turn.toFixed(2)}`],
      angle: [angle, `${angle.toFixed(0)} degrees`],
      move: [state.move, lengthTold(kit, state.move, 1)],
      apart: [state.apart, apartWords(kit, state)],
    };
    for (const [name, [value, words]] of Object.entries(sliders)) {
      at[name].value = String(value);
      at[name].setAttribute("aria-valuetext", words);
    }
  }
}
