/* What is read off in a state: travels, the dial, the stop, and what stands at a removal or a step. */

const INCH = 25.4;

/* A length as the kit's maker reads it: mm, or inches with the mm behind. */
function lengthTold(kit, mm, decimals) {
  const number = (value, places) => String(Number(value.toFixed(places)));
  const metric = `${number(mm, decimals)} mm`;
  return kit.inches ? `${number(mm / INCH, decimals + 1)} in (${metric})` : metric;
}

function shortNumber(value) {
  return String(Number(value.toFixed(2)));
}

function isTogether(state) {
  return state.apart === 0 && state.step === null;
}

function apartWords(kit, state) {
  const all = kit.leavings.length;
  if (state.apart <= 0) {
    return "Together.";
  }
  const index = Math.min(Math.ceil(state.apart), all);
  return `${index} of ${all}: ${kit.leavings[index - 1].words}.`;
}

function stepWords(kit, state) {
  if (state.step === null) {
    return "";
  }
  const { title, text } = kit.steps[state.step];
  return `Step ${state.step + 1} of ${kit.steps.length}: ${title}. ${text}`;
}

/* Names of carriages with their travels at a turn, in mm, the plain screw's last. */
function travelsTold(kit, turn) {
  const told = travels(kit.kit, turn).map((travel, index) => [
    kit.kit.pieces[kit.kit.carriages[index]].called,
    Math.abs(travel),
  ]);
  if (kit.plain) {
    const gone = travels(kit.plain, plainTurn(kit, { turn }))[0];
    told.push(["the plain screw's", Math.abs(gone)]);
  }
  return told;
}

/* All readings in sentences; of what is not together there is only the turn at which its threads meet. */
function readingsTold(kit, state, turn) {
  if (!isTogether(state)) {
    return `Turn ${shortNumber(turn)}.`;
  }
  const words = [`Turn ${turn.toFixed(2)} of ${shortNumber(kit.kit.turns)}, ${kit.turning}.`];
  for (const [called, gone] of travelsTold(kit, turn)) {
    const name = called.startsWith("the ") ? called.replace("the ", "The ") : `The ${called}`;
    words.push(`${name} has gone ${lengthTold(kit, gone, 3)}.`);
  }
  if (kit.plain && turn > kit.plain.turns) {
    words.push(`That stands at its stop since turn ${shortNumber(kit.plain.turns)}.`);
  }
  if (kit.dial) {
    const share = ((turn % 1) + 1) % 1;
    const reading = Number((share * kit.dial.ticks).toFixed(1)) % kit.dial.ticks;
    words.push(`The dial stands at ${reading}, ${kit.dial.read}.`);
  }
  if (state.gap) {
    words.push(`In the ring: ${kit.gap.words}.`);
  }
  return words.join(" ");
}

/* Travels against one scale, that of the whole stroke. */
class Bars {
  constructor(kit, place) {
    this.kit = kit;
    this.place = place;
    this.whole = Math.max(
      ...travels(kit.kit, kit.kit.turns).map(Math.abs),
      ...(kit.plain ? travels(kit.plain, kit.plain.turns).map(Math.abs) : []),
    );
    place.replaceChildren();
    this.rows = travelsTold(kit, 0).map(([called]) => {
      const row = document.createElement("div");
      const [name, track, run, value] = ["span", "span", "span", "span"].map((kind) =>
        document.createElement(kind),
      );
      name.textContent = called;
      track.className = "viewer-track";
      run.className = "viewer-run";
      track.append(run);
      row.append(name, track, value);
      place.append(row);
      return { run, value };
    });
  }

  show(state, turn) {
    this.place.style.visibility = isTogether(state) ? "visible" : "hidden";
    travelsTold(this.kit, turn).forEach(([, gone], index) => {
      const { run, value } = this.rows[index];
      run.style.width = `${(100 * gone) / this.whole}%`;
      value.textContent = lengthTold(this.kit, gone, 2);
    });
  }
}
