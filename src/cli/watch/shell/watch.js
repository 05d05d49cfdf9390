"use strict";
/* Follows the kit: asks the server for news, and shows what comes of each state of its file.

   The guide stands in a frame, as it is served. A new one is made ready in a second frame behind it, in the state in
   which the reader has the first, and takes its place when it is drawn; so nothing flashes and nothing rolls.
   Before that, while the new state is being judged, the frame is handed its moving drawing alone, and the
   rest of the page grows pale. All that comes from the kit is set as text. */

/* From one attempt to the next while nobody answers, and from question to question of a page that is not
   seen, in ms. Guess: soon enough for whoever starts the server again, or looks again. */
const RETRY = 500;
const UNSEEN = 1000;
/* How long a page may take to be drawn, and a hand to let go, before it is shown all the same, in ms. Guess. */
const PATIENCE = 8000;

/* What is pale in a frame belongs to a state before: all of it, or all but the moving drawing. */
const PALE = `
  html[data-pale] :is(nav, main), html[data-pale="all"] header,
  html[data-pale="rest"] header > :not(#viewer) { opacity: .33; filter: grayscale(1); }
  @media (prefers-reduced-motion: no-preference) { nav, main, header, header > * { transition: opacity .15s; } }
`;

const SAYS = {
  begun: "The kit is being worked out.",
  working: "Saved: it is being worked out. The page is of the state before.",
  drawn: "The moving drawing is of the file as saved. What is pale is of the state before, until this one is judged.",
  undrawn: "Saved: it is being judged. What is pale is of the state before.",
  refused: "The file as saved gives no page.",
  lost: "Nobody follows the kit: netlead watch has ended. Begun again, this page goes on.",
};
const BEHIND = "Pale behind this stands the page of the last state that passed, not of the file as saved.";
const NONE_BEHIND = "There is no page yet: no state has passed since netlead watch was started.";

const at = (id) => document.getElementById(id);
const [stage, problems] = [at("stage"), at("problems")];
const problemsText = problems.querySelector("pre");
const remarksText = at("remarks").querySelector("pre");

/* The guide that is shown: its frame, and the stamp of its state; whether its drawing is another's. */
let shown = null;
let seen = "";
let name = "";

function waits(ms) {
  return new Promise((done) => setTimeout(done, ms));
}

/* For a time, or until the page is looked at. */
function waitsUnseen(ms) {
  return new Promise((done) => {
    const timer = setTimeout(done, ms);
    document.addEventListener("visibilitychange", () => { clearTimeout(timer); done(); }, { once: true });
  });
}

async function told(path) {
  try {
    const answer = await fetch(path, { cache: "no-store" });
    return answer.ok ? await answer.json() : null;
  } catch {
    return null;
  }
}

async function follow() {
  for (;;) {
    /* A browser has few connections to one server, so a page that nobody sees keeps none. */
    const unseen = document.hidden;
    const news = await told(`/news?seen=${seen}${unseen ? "&hold=0" : ""}`);
    if (news === null) {
      lost();
      await waits(RETRY);
    } else if (news.stamp !== seen || document.body.dataset.state === "lost") {
      await take(news).catch(console.error);
      seen = news.stamp;
    } else if (unseen) {
      await waitsUnseen(UNSEEN);
    }
  }
}

async function take(news) {
  if (news.state === "drawn") {
    const isDrawn = await renewed(news);
    say("drawn", isDrawn ? SAYS.drawn : shown ? SAYS.undrawn : SAYS.begun);
    /* What was told of the state before is no word on this one. */
    remark("");
    complain("");
  } else if (news.state === "working") {
    say("working", shown ? SAYS.working : SAYS.begun);
  } else if (await hasGuide(news)) {
    const isReady = news.state === "ready";
    pale(isReady ? null : "all");
    say(news.state, isReady ? news.told : SAYS.refused);
    remark(news.remarks);
    complain(isReady ? "" : news.told);
    document.body.dataset.stamp = news.stamp;
  }
}

/* Says in a line how the state stands, and in the title of its tab. */
function say(state, line) {
  const marks = { refused: "to be mended: ", lost: "not followed: " };
  document.body.dataset.state = state;
  at("alone").hidden = state !== "ready";
  if (at("told").textContent !== line) {
    at("told").textContent = line;
  }
  document.title = `${marks[state] ?? ""}${name || "the guide, followed"}`;
}

function remark(remarks) {
  at("remarks").hidden = remarks === "";
  remarksText.textContent = remarks;
}

/* What is to be mended, over the page. */
function complain(told) {
  problems.hidden = told === "";
  if (problemsText.textContent !== told) {
    problemsText.textContent = told;
  }
  at("which").textContent = shown ? BEHIND : NONE_BEHIND;
  at("aside").hidden = !shown;
}

function lost() {
  say("lost", SAYS.lost);
}

function pale(which) {
  if (shown) {
    const { dataset } = shown.frame.contentDocument.documentElement;
    if (which) {
      dataset.pale = which;
    } else {
      delete dataset.pale;
    }
  }
}

function viewerOf(frame) {
  return frame.contentDocument.getElementById("viewer");
}

/* Hands the shown page the moving drawing of a new state; whether it could take it. */
async function renewed(news) {
  if (!shown) {
    return false;
  }
  const moving = await told(`/moving.json?of=${news.stamp}`);
  const viewer = viewerOf(shown.frame);
  if (moving === null || viewer?.dataset.state !== "ready") {
    pale("all");
    return false;
  }
  const isDrawn = await new Promise((done) => {
    const detail = { ...moving, told: done };
    viewer.dispatchEvent(new CustomEvent("viewer-renew", { detail }));
  });
  shown.isRenewed ||= isDrawn;
  pale(isDrawn ? "rest" : "all");
  if (isDrawn) {
    document.body.dataset.drawn = news.stamp;
  }
  return isDrawn;
}

/* Shows the page of the last state that passed, if there is one; false if there is a newer one by now. */
async function hasGuide(news) {
  if (news.guide === null || (shown && shown.stamp === news.guide && !shown.isRenewed)) {
    return true;
  }
  const words = shown ? (viewerOf(shown.frame)?.dataset.words ?? "") : location.hash.slice(1);
  const next = await loaded(news.guide, words);
  if (next === null) {
    return false;
  }
  await letGo();
  if (shown) {
    hand(shown.frame, next, words);
  }
  next.classList.remove("coming");
  const before = shown;
  if (!before && document.activeElement === document.body) {
    /* So that keys roll the guide at once. */
    next.focus({ preventScroll: true });
  }
  shown = { frame: next, stamp: news.guide, isRenewed: false };
  heed(next);
  before?.frame.remove();
  name = next.contentDocument.title;
  return true;
}

/* A frame with the page of a state, once it is drawn; null if the server has none of it any more. */
async function loaded(stamp, words) {
  const frame = document.createElement("iframe");
  frame.title = "The guide";
  frame.className = "coming";
  frame.src = `/guide.html?of=${stamp}#${words}`;
  const isLoaded = new Promise((done) => frame.addEventListener("load", done, { once: true }));
  stage.append(frame);
  await Promise.race([isLoaded, waits(PATIENCE)]);
  const viewer = frame.contentDocument && viewerOf(frame);
  if (!viewer) {
    frame.remove();
    return null;
  }
  const isDrawn = ({ state, firstFrameMs }) => state !== "unread" && (state !== "ready" || firstFrameMs);
  await Promise.race([
    waits(PATIENCE),
    new Promise((done) => {
      const look = () => isDrawn(viewer.dataset) && done();
      new MutationObserver(look).observe(viewer, { attributes: true });
      look();
    }),
  ]);
  const sheet = new frame.contentWindow.CSSStyleSheet();
  sheet.replaceSync(PALE);
  frame.contentDocument.adoptedStyleSheets = [sheet];
  return frame;
}

/* Whether a hand is on the page: what it drags is not taken out of it. */
let isHeld = false;

function heed(frame) {
  isHeld = false;
  const on = (event, held) => frame.contentWindow.addEventListener(event, () => (isHeld = held), true);
  on("pointerdown", true);
  on("pointerup", false);
  on("pointercancel", false);
}

async function letGo() {
  const until = performance.now() + PATIENCE;
  while (isHeld && performance.now() < until) {
    await waits(20);
  }
}

/* What was typed into the sheet for measured turns, by row. A reading belongs to its turns: where a state has no such
   row, it waits for one that has. */
const typed = new Map();

function nameOf(box) {
  return box.dataset.key ?? box.getAttribute("aria-label");
}

/* Brings the next page to where the reader has the one before: drawing, place, what was typed, where keys go. */
function hand(before, next, words) {
  const [from, to] = [before.contentDocument, next.contentDocument];
  const now = viewerOf(before)?.dataset.words ?? "";
  if (now !== words) {
    next.contentWindow.location.replace(`#${now}`);
  }
  const boxes = (page) => [...page.querySelectorAll(".sheet :is(input, select)")];
  for (const box of boxes(from)) {
    typed.set(nameOf(box), box.value);
  }
  for (const box of boxes(to)) {
    box.value = typed.get(nameOf(box)) || box.value;
  }
  roll(before.contentWindow, next.contentWindow);
  const focused = from.activeElement?.id;
  if (document.activeElement === before) {
    next.focus({ preventScroll: true });
    if (focused) {
      to.getElementById(focused)?.focus({ preventScroll: true });
    }
  }
}

/* The last element with a name that begins above the middle of the window stays where it is; of a page that is not
   rolled its begin does. */
function roll(before, next) {
  const top = (element) => element.getBoundingClientRect().top;
  const above = [...before.document.querySelectorAll("body [id]:not(svg [id])")].filter(
    (element) => element.offsetParent !== null && top(element) <= before.innerHeight / 2,
  );
  next.scrollTo({ top: before.scrollY, behavior: "instant" });
  if (before.scrollY === 0) {
    return;
  }
  for (const element of above.reverse()) {
    const same = next.document.getElementById(element.id);
    if (same) {
      next.scrollBy({ top: top(same) - top(element), behavior: "instant" });
      return;
    }
  }
}

/* An address with another look in it is meant for the guide. */
window.addEventListener("hashchange", () => shown?.frame.contentWindow.location.replace(location.hash || "#"));

at("aside").addEventListener("click", () => {
  const isAside = problems.classList.toggle("aside");
  at("aside").textContent = isAside ? "Put this over the page" : "Look at the page behind";
});

follow();
