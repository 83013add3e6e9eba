"use strict";
/* The bench page: draws what the weighing loop says, and says at once when it says nothing. */
const SILENT_MS = 2000; /* without a beat of the weighing loop the cue is not to be trusted */
const RENEW_MS = 4000; /* a stream that says nothing for so long is opened anew */
const ASK_MS = 3000; /* a question waits so long for its answer */
const SLIP_MS = 300; /* a second touch sooner than this is the first one bouncing */
const KEYS = {
  b: "turn", " ": "turn", v: "void", Backspace: "void", p: "pause", d: "dough left", e: "end",
  c: "close", s: "bench", i: "oven in", o: "oven out",
};

const at = (id) => document.getElementById(id);
const meta = (name) => document.querySelector(`meta[name="${name}"]`).content;
const put = (node, text) => { if (node.textContent !== text) node.textContent = text; };
const mark = (node, name, value) => { if (node.dataset[name] !== value) node.dataset[name] = value; };

let stream = null;
let heardMs = performance.now();
let openedMs = heardMs;
let state = null;
let asked = null;
let sound = null;
let sounded = "";

/* ---- from the station */

function listen() {
  if (stream) stream.close();
  openedMs = performance.now();
  stream = new EventSource("/bench/stream");
  stream.addEventListener("server", (event) => {
    if (event.data !== meta("station-server")) location.reload();
  });
  stream.addEventListener("beat", heard);
  stream.addEventListener("bench", (event) => {
    state = JSON.parse(event.data);
    document.dispatchEvent(new CustomEvent("station-state", {detail: state}));
    draw();
    heard();
  });
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
    put(at("silent"), String(Math.floor(silentMs / 1000)));
    standDown();
  }
  const sinceMs = Math.min(silentMs, performance.now() - openedMs);
  if (sinceMs > RENEW_MS || (stream.readyState === EventSource.CLOSED && sinceMs > 500)) listen();
  if (asked && performance.now() - asked.sinceMs > ASK_MS) standDown();
}

/* ---- drawing */

function draw() {
  if (!state.batch) {
    drawNothing();
    return;
  }
  put(at("product"), state.product);
  put(at("aim"), `${state.aim}, ${state.band}`);
  drawCue(state.cue);
  drawRuler(state.ruler);
  drawFacts();
  drawSays(state.says);
  drawKeys(state.controls);
  tell(state.cue);
}

function drawNothing() {
  put(at("product"), "The bench");
  put(at("aim"), "");
  drawCue({shape: "quiet", words: ["NO", "BATCH"], grams: "", firm: false, caption: "nothing is being divided here"});
  drawKeys({});
}

const length = (text, long, longest) => text > longest ? "longest" : text > long ? "long" : "usual";

function drawCue(cue) {
  const box = at("cue");
  mark(box, "shape", cue.shape);
  mark(box, "firm", cue.firm ? "yes" : "no");
  mark(box, "grams", cue.grams ? "yes" : "no");
  mark(box, "word", length(Math.max(...cue.words.map((word) => word.length)), 4, 6));
  mark(box, "figures", length(cue.grams.length, 4, 6));
  const [first, second] = at("word").children;
  put(first, cue.words[0]);
  put(second, cue.words[1] || "");
  put(at("grams").firstElementChild, cue.grams);
  put(at("caption"), cue.caption.replace(/ {3,}/g, "\n"));
}

const percent = (share) => `${100 * Math.min(Math.max(share, 0), 1)}%`;

function drawRuler(ruler) {
  const box = at("ruler");
  const band = box.querySelector(".band");
  band.style.left = percent(ruler.low);
  band.style.right = percent(1 - ruler.high);
  const piece = box.querySelector(".piece");
  piece.hidden = ruler.piece === null;
  if (ruler.piece !== null) piece.style.left = percent(ruler.piece);
  [ruler.low, 0.5, ruler.high].forEach((share, place) => {
    const label = box.querySelectorAll("b")[place];
    label.style.left = percent(share);
    put(label, ruler.labels[place]);
  });
}

function drawFacts() {
  const facts = Object.fromEntries(state.facts);
  const {cut, mixed, fits, is_late: isLate} = state.dough;
  lines(at("counted"), ...halves(facts.Counted));
  lines(at("dough"), cut === "not cut yet" ? "dough not cut yet" : `dough ${cut}`, [fits, mixed].filter(Boolean).join(", "));
  mark(at("dough"), "late", isLate ? "yes" : "no");
  if (state.rest) lines(at("resting"), ...halves(state.rest.text));
  else lines(at("resting"), facts.Board === undefined ? `pace ${facts.Pace}` : "no board rests", facts.Board === undefined ? "" : `board ${facts.Board}`);
  mark(at("resting"), "shape", state.rest ? state.rest.shape : "");
  put(at("last"), facts.Last);
  put(at("mean"), facts["Mean kept"]);
  put(at("first"), facts["First cuts"]);
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
  const lifted = says.lifted && `${says.lifted} \u2014 ${says.turn}`;
  const first = [["alarm", says.alarm], ["lifted", lifted], ["notice", says.notice]];
  const second = [["signal", says.signal], ["caution", says.caution && `! ${says.caution}`], ["notice", lifted && says.notice], ["offer", says.offer]];
  [[at("says-first"), first], [at("says-second"), second]].forEach(([line, choices]) => {
    const [kind, text] = choices.find((choice) => choice[1]) || ["", ""];
    mark(line, "kind", kind);
    put(line, text);
  });
}

function drawKeys(controls) {
  for (const button of at("keys").querySelectorAll("[data-control]")) {
    const control = controls[button.dataset.control];
    button.hidden = !control && Object.keys(controls).length > 0;
    button.disabled = !control || !control.can;
  }
  put(at("keys").querySelector('[data-control="pause"] span'), state.cue && state.cue.words[0] === "PAUSED" ? "go on" : "pause");
  if (asked && !sameMeaning(controls[asked.control])) standDown();
}

/* ---- what a person asks */

const sameMeaning = (control) => control && (control.name === asked.name || String(asked.name) in control.others);

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

function ask(name, meant, question) {
  const control = state.controls[name];
  asked = {control: name, name: meant, batch: state.batch, sinceMs: performance.now()};
  put(at("question"), question);
  put(at("yes").firstElementChild, control.key);
  at("others").replaceChildren(...Object.entries(control.others).filter(([number]) => number !== String(meant)).slice(0, 4).map(([number, said]) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = number;
    button.setAttribute("aria-label", said);
    button.addEventListener("click", () => ask(name, Number(number), said));
    return button;
  }));
  at("keys").hidden = true;
  at("ask").hidden = false;
}

function confirm() {
  if (!asked || performance.now() - asked.sinceMs < SLIP_MS) return;
  const {control, name, batch} = asked;
  standDown();
  send(control, name, batch);
}

function standDown() {
  if (!asked) return;
  asked = null;
  at("ask").hidden = true;
  at("keys").hidden = false;
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
  mark(at("says-first"), "kind", "alarm");
  put(at("says-first"), text.trim());
}

document.addEventListener("keydown", (event) => {
  if (event.target instanceof HTMLInputElement) return;
  if (event.repeat || event.ctrlKey || event.altKey || event.metaKey) return;
  const onButton = document.activeElement instanceof HTMLButtonElement;
  if (onButton && (event.key === " " || event.key === "Enter")) return;
  if (event.key === "Escape") standDown();
  const name = KEYS[event.key.length === 1 ? event.key.toLowerCase() : event.key];
  if (!name) return;
  event.preventDefault();
  touch(name);
});
for (const button of at("keys").querySelectorAll("[data-control]")) button.addEventListener("click", () => { button.blur(); touch(button.dataset.control); });
at("yes").addEventListener("click", confirm);
at("no").addEventListener("click", standDown);

/* ---- sound: keep is one short high tone, add and trim two low ones */

at("sound").addEventListener("click", () => {
  const isOn = at("sound").getAttribute("aria-pressed") === "true";
  if (!sound) sound = new AudioContext();
  if (isOn) sound.suspend(); else { sound.resume(); tone(1200, 0, 0.12); }
  at("sound").setAttribute("aria-pressed", String(!isOn));
  put(at("sound"), isOn ? "Sound off" : "Sound on");
});

function tone(hertz, afterS, forS) {
  const source = new OscillatorNode(sound, {type: "triangle", frequency: hertz});
  const level = new GainNode(sound, {gain: 0});
  const fromS = sound.currentTime + afterS;
  level.gain.setTargetAtTime(0.8, fromS, 0.005);
  level.gain.setTargetAtTime(0, fromS + forS, 0.01);
  source.connect(level).connect(sound.destination);
  source.start(fromS);
  source.stop(fromS + forS + 0.1);
}

function tell(cue) {
  const said = cue.firm ? `${cue.words.join(" ")} ${cue.grams}` : "";
  if (said === sounded) return;
  sounded = said;
  if (!said) return;
  put(at("spoken"), `${said}${cue.grams ? " g" : ""}, ${state.product}`);
  if (!sound || sound.state !== "running") return;
  if (cue.shape === "keep") tone(1200, 0, 0.12);
  else [0, 0.22].forEach((afterS) => tone(330, afterS, 0.15));
}

addEventListener("pagehide", () => stream.close());
addEventListener("pageshow", (event) => { if (event.persisted) listen(); });
listen();
setInterval(watch, 100);
