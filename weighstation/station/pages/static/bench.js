"use strict";
/* The bench page: draws what the weighing loop says, and says at once when it says nothing. */
const SILENT_MS = 1800; /* so long after a beat of the weighing loop the cue is not to be trusted */
const RENEW_MS = 4000; /* a stream that says nothing for so long is opened anew */
const AGAIN_MS = 250; /* so long after a try that failed comes the next: by itself a browser may wait 3 s */
const ASK_MS = 5000; /* a question waits so long for its answer */
const REFUSED_MS = 5000; /* so long it is said that something was not done */
const SLIP_MS = 400; /* a second touch sooner than this is the first one bouncing */
const REPEAT_MS = 1200; /* a pedal held down may wait this long before it repeats */
const QUIET_MS = 150; /* one that repeats is never quiet for so long */
const MOST_DIGITS = 4; /* of the number of a board */
const KEYS = {
  b: "turn", " ": "turn", v: "void", Backspace: "void", p: "pause", d: "dough left", e: "end",
  c: "close", s: "bench", i: "oven in", o: "oven out",
};

const at = (id) => document.getElementById(id);
const all = (selector) => [...document.querySelectorAll(selector)];
const meta = (name) => document.querySelector(`meta[name="${name}"]`).content;
const mark = (node, name, value) => { if (node.dataset[name] !== value) node.dataset[name] = value; };
function put(node, text) {
  if (node.textContent === text) return false;
  node.textContent = text;
  return true;
}

let stream = null;
let heardMs = performance.now();
let openedMs = heardMs;
let again = 0;
let state = null;
let asked = null; /* the question that stands */
let refusal = "";

/* ---- from the station */

function listen() {
  leave();
  openedMs = performance.now();
  stream = new EventSource("/bench/stream");
  stream.addEventListener("server", (event) => {
    if (event.data !== meta("station-server")) location.reload();
  });
  stream.addEventListener("error", ({target}) => {
    const isRefused = target.readyState === EventSource.CLOSED;
    if (isRefused) lookAtDoor();
    leave();
    again = setTimeout(listen, isRefused ? 4 * AGAIN_MS : AGAIN_MS);
  });
  stream.addEventListener("beat", heard);
  stream.addEventListener("bench", (event) => {
    state = JSON.parse(event.data);
    document.dispatchEvent(new CustomEvent("station-state", {detail: state}));
    draw();
    heard();
  });
}

function leave() {
  clearTimeout(again);
  if (stream) stream.close();
}

/* A device that is no longer let in is told so by the page that it then gets. */
async function lookAtDoor() {
  try {
    const answer = await fetch("/bench", {cache: "no-store"});
    if (answer.status === 403) location.reload();
  } catch { /* nobody is there: it goes on asking */ }
}

function heard() {
  heardMs = performance.now();
  watch();
}

function watch() {
  const silentMs = performance.now() - heardMs;
  const isCut = silentMs > SILENT_MS;
  mark(document.body, "state", isCut ? "cut-off" : state && state.batch ? "following" : "waiting");
  if (at("cut-off").hidden === isCut) at("cut-off").hidden = !isCut;
  if (isCut) {
    put(at("silent"), String(Math.round(silentMs / 1000)));
    standDown();
  }
  const sinceMs = Math.min(silentMs, performance.now() - openedMs);
  if (sinceMs > RENEW_MS) listen();
  if (asked && performance.now() - asked.sinceMs > ASK_MS) standDown();
}

/* ---- drawing */

function draw() {
  if (!state.batch) {
    if (state.preparing) drawQuiet(state.preparing.product, ["ONE", "MOMENT"], state.preparing.said);
    else drawQuiet("The bench", ["NO", "BATCH"], "nothing is being divided here");
    return;
  }
  drawHeader(state.product, state.aim, state.band);
  drawCue(state.cue);
  drawRuler(state.ruler);
  drawFacts(Object.fromEntries(state.facts), state.dough, state.rest);
  drawSays(state.says);
  drawKeys(state.controls);
  tell(state.cue, state.product);
}

function drawQuiet(product, words, caption) {
  drawHeader(product, "", "");
  drawCue({shape: "quiet", words, grams: "", firm: "no", caption});
  drawKeys({});
}

function drawHeader(product, aim, band) {
  const isNew = [put(at("product"), product), put(at("aim"), aim), put(at("band"), band)].some(Boolean);
  if (isNew) fit(at("product"));
}

function drawCue(cue) {
  const box = at("cue");
  mark(box, "shape", cue.shape);
  mark(box, "firm", cue.firm);
  if (put(at("caption"), cue.caption)) fit(at("caption"));
  mark(at("grams"), "unit", cue.grams ? "yes" : "no");
  const isNew = [put(at("word").firstElementChild, cue.words[0]), put(at("grams").firstElementChild, cue.grams || cue.words[1] || "")];
  if (isNew.some(Boolean)) squeeze();
}

/* Words keep their height and are made narrower where there is no room; only the widest shrink. */
const NARROWEST = 0.5;
function squeeze() {
  const spans = [at("word").firstElementChild, at("grams").firstElementChild];
  const shares = spans.map((span) => Math.min(1, span.parentElement.clientWidth / Math.max(span.offsetWidth, 1)));
  const isText = at("grams").dataset.unit === "no";
  spans.forEach((span, place) => {
    const share = isText ? Math.min(...shares) : shares[place];
    const wide = share < NARROWEST ? share : Math.max(share, NARROWEST);
    const high = Math.min(1, share / NARROWEST);
    span.style.transform = share === 1 ? "" : `scale(${wide}, ${high})`;
  });
}

/* A text that may be long is set smaller until it is whole. */
const SIZES = ["1", ".9", ".8", ".7", ".6", ".5", ".42", ".35"];
function fit(node) {
  for (const size of SIZES) {
    node.style.setProperty("--fit", size);
    if (node.scrollHeight <= node.clientHeight + 1 && node.scrollHeight <= node.parentElement.clientHeight) return;
  }
}

const percent = (share) => `${100 * Math.min(Math.max(share, 0), 1)}%`;

function drawRuler(ruler) {
  const box = at("ruler");
  const band = box.querySelector(".band");
  band.style.left = percent(ruler.low);
  band.style.right = percent(1 - ruler.high);
  const piece = box.querySelector(".piece");
  piece.hidden = ruler.piece === null;
  if (ruler.piece !== null) {
    piece.style.left = percent(ruler.piece);
    mark(piece, "beyond", ruler.piece < 0 ? "low" : ruler.piece > 1 ? "high" : "");
  }
  drawLabels([...box.querySelectorAll("b")], ruler);
}

function drawLabels(labels, ruler) {
  const isNew = labels.map((label, place) => {
    label.style.left = percent([ruler.low, 0.5, ruler.high][place]);
    return put(label, ruler.labels[place]);
  });
  if (isNew.some(Boolean)) clearLabels(labels);
}

/* The aim stands in the head of the page too: where its label would touch another, it goes. */
function clearLabels([low, aim, high]) {
  low.style.translate = high.style.translate = "";
  aim.hidden = false;
  const [first, middle, last] = [low, aim, high].map((label) => label.getBoundingClientRect());
  const gap = middle.height / 2;
  if (middle.left - first.right > gap && last.left - middle.right > gap) return;
  aim.hidden = true;
  if (last.left - first.right > gap) return;
  low.style.translate = "-100%";
  high.style.translate = "0";
}

function drawFacts(facts, dough, rest) {
  const {cut, mixed, fits, is_late: isLate} = dough;
  lines(at("counted"), facts.Counted, facts.Last === "\u2014" ? "" : facts.Last);
  lines(at("dough"), cut === "not cut yet" ? "dough not cut yet" : `dough ${cut}`, [fits, mixed].filter(Boolean).join(", "));
  mark(at("dough"), "late", isLate ? "yes" : "no");
  if (rest) lines(at("resting"), ...halves(rest.text));
  else if (facts.Board === undefined) lines(at("resting"), `pace ${facts.Pace}`, "");
  else lines(at("resting"), "no board rests", `board ${facts.Board}`);
  mark(at("resting"), "shape", rest ? rest.shape : "");
}

function lines(box, first, second) {
  put(box.firstElementChild, first);
  put(box.lastElementChild, second);
}

const halves = (text) => {
  const cut = text.indexOf(", ");
  return cut < 0 ? [text, ""] : [text.slice(0, cut), text.slice(cut + 2)];
};

function drawSays(says) {
  const shown = refusal ? [["alarm", refusal], ["", ""]] : says;
  const isNew = all("#says p").map((line, place) => {
    const [kind, text] = shown[place];
    mark(line, "kind", kind);
    return put(line, text);
  });
  if (isNew.some(Boolean)) all("#says p").forEach(fit);
}

function drawKeys(controls) {
  for (const button of all("#keys [data-control]")) {
    const control = controls[button.dataset.control];
    button.hidden = !control && state.batch > 0;
    button.disabled = !control || !control.can;
  }
  const shown = all("#keys button").filter((button) => !button.hidden);
  at("keys").style.setProperty("--columns", String(Math.ceil(shown.length / 2)));
  put(document.querySelector('[data-control="pause"] span'), state.batch && state.cue.words[0] === "PAUSED" ? "go on" : "pause");
  if (asked && !isMeantStill(controls[asked.control])) standDown();
}

addEventListener("resize", () => {
  [at("product"), at("caption"), ...all("#says p")].forEach(fit);
  squeeze();
  clearLabels(all("#ruler b"));
});

/* ---- what a person asks */

const isMeantStill = (control) => control && (asked.name === null || control.name === asked.name || String(asked.name) in control.others);
const isBouncing = () => performance.now() - asked.sinceMs < SLIP_MS;

function touch(name) {
  const control = state && state.batch && state.controls[name];
  if (!control || !control.can || document.body.dataset.state !== "following") return;
  if (asked && asked.control === name) {
    confirm();
  } else if (control.ask) {
    ask(name, control.name, control.ask);
  } else {
    standDown();
    send(name, control.name);
  }
}

function ask(name, meant, question, typed = "") {
  const {key, others} = state.controls[name];
  asked = {control: name, name: meant, batch: state.batch, typed, sinceMs: performance.now()};
  put(at("question"), question);
  put(at("yes").firstElementChild, key);
  at("yes").disabled = question === nowhere(typed);
  const shown = Object.entries(others).filter(([number]) => number !== String(meant)).slice(0, 4);
  at("others").replaceChildren(...shown.map(([number, said]) => otherButton(name, number, said)));
  mark(at("ask"), "side", sideAwayFrom(name));
  at("keys").hidden = true;
  at("ask").hidden = false;
}

function otherButton(name, number, said) {
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = number;
  button.setAttribute("aria-label", said);
  button.addEventListener("click", () => { if (asked && !isBouncing()) ask(name, Number(number), said); });
  return button;
}

/* Where the finger still is, there is nothing that does it. */
function sideAwayFrom(name) {
  const box = document.querySelector(`[data-control="${name}"]`).getBoundingClientRect();
  if (!box.width) return at("ask").dataset.side;
  return box.left + box.width / 2 > innerWidth / 2 ? "left" : "right";
}

const nowhere = (typed) => `Board ${typed} cannot be meant: type another number`;

/* The number of another board, typed after its key. */
function type(digit) {
  if (!asked || asked.typed.length >= MOST_DIGITS) return;
  const control = state.controls[asked.control];
  if (!Object.keys(control.others).length) return;
  const typed = asked.typed + digit;
  const number = Number(typed);
  if (number === control.name) ask(asked.control, number, control.ask, typed);
  else ask(asked.control, typed in control.others ? number : null, control.others[typed] || nowhere(typed), typed);
}

function confirm() {
  if (!asked || isBouncing() || at("yes").disabled) return;
  const {control, name, batch} = asked;
  standDown();
  send(control, name, batch);
}

function standDown() {
  if (!asked) return;
  const {control} = asked;
  const hadFocus = at("ask").contains(document.activeElement);
  asked = null;
  at("ask").hidden = true;
  at("keys").hidden = false;
  if (hadFocus) document.querySelector(`[data-control="${control}"]`).focus();
}

async function send(control, name, batch = state.batch) {
  try {
    const answer = await fetch("/bench/ask", {
      method: "POST",
      headers: {"content-type": "application/json", "x-weighstation-token": meta("station-token")},
      body: JSON.stringify({control, name, batch}),
    });
    if (!answer.ok) refused(await answer.text());
  } catch {
    refused("The station was not reached: that was not done.");
  }
}

function refused(text) {
  refusal = text.trim();
  draw();
  setTimeout(() => { refusal = ""; draw(); }, REFUSED_MS);
}

/* ---- keys: a pedal that is held down types its letter again and again, and acts once */

const pressed = {};
function press(name, isRepeat) {
  const nowMs = performance.now();
  const key = pressed[name] ||= {lastMs: -Infinity};
  const sinceMs = nowMs - key.lastMs;
  key.lastMs = nowMs;
  clearTimeout(key.timer);
  if (isRepeat || sinceMs < SLIP_MS) return;
  if (sinceMs > REPEAT_MS) touch(name);
  else key.timer = setTimeout(() => touch(name), QUIET_MS);
}

document.addEventListener("keydown", (event) => {
  if (event.target instanceof HTMLInputElement) return;
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  const onButton = document.activeElement instanceof HTMLButtonElement;
  if (onButton && (event.key === " " || event.key === "Enter")) {
    if (event.repeat) event.preventDefault();
    return;
  }
  const letter = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  if (event.key === "Escape") standDown();
  else if (letter === "t" && !event.repeat) switchTones();
  else if (letter >= "0" && letter <= "9" && !event.repeat) type(letter);
  else if (letter in KEYS) {
    event.preventDefault();
    press(KEYS[letter], event.repeat);
  }
});

/* After a touch no button keeps the focus: the space of a pedal still means what it always means. */
document.addEventListener("click", (event) => {
  if (event.detail > 0 && document.activeElement instanceof HTMLButtonElement) document.activeElement.blur();
});
for (const button of all("#keys [data-control]")) {
  button.addEventListener("click", (event) => {
    touch(button.dataset.control);
    if (asked && event.detail === 0) at("no").focus();
  });
}
at("yes").addEventListener("click", confirm);
at("no").addEventListener("click", () => { if (asked && !isBouncing()) standDown(); });

at("tones").addEventListener("click", switchTones);

/* ---- a tablet that was asleep shows nothing from before: its clock may have slept too */

document.addEventListener("visibilitychange", () => {
  if (document.hidden) return;
  heardMs = performance.now() - SILENT_MS - 1;
  watch();
});
addEventListener("pagehide", leave);
addEventListener("pageshow", (event) => { if (event.persisted) listen(); });
listen();
setInterval(watch, 100);
