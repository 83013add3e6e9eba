"use strict";
/* Tones at the bench: keep is one short high one, all that is still to be done two low ones. */
const KEEP_TONES = [{hertz: 1760, afterS: 0, forS: 0.14}];
const ADJUST_TONES = [{hertz: 523, afterS: 0, forS: 0.18}, {hertz: 523, afterS: 0.3, forS: 0.18}];
let sound = null;
let told = "";

function switchTones() {
  const isOn = sound && sound.state === "running";
  if (!sound) sound = new AudioContext();
  if (isOn) sound.suspend();
  else sound.resume().then(() => play(KEEP_TONES));
  document.querySelector("#tones span").textContent = isOn ? "start tones" : "stop tones";
}

function play(tones) {
  for (const {hertz, afterS, forS} of tones) {
    const source = new OscillatorNode(sound, {type: "triangle", frequency: hertz});
    const level = new GainNode(sound, {gain: 0});
    const fromS = sound.currentTime + afterS;
    level.gain.setTargetAtTime(0.9, fromS, 0.005);
    level.gain.setTargetAtTime(0, fromS + forS, 0.01);
    source.connect(level).connect(sound.destination);
    source.start(fromS);
    source.stop(fromS + forS + 0.1);
  }
}

/* Tells a firm cue to the ear: to a screen reader always, as tones where they are on. */
function tell(cue, product) {
  const said = cue.firm === "yes" ? `${cue.words.join(" ")} ${cue.grams}${cue.grams && " g"}` : "";
  if (said === told) return;
  told = said;
  if (!said) return;
  document.getElementById("spoken").textContent = `${said}, ${product}`;
  if (sound && sound.state === "running") play(cue.shape === "keep" ? KEEP_TONES : ADJUST_TONES);
}
