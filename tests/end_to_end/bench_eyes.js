/* What a page shows, as it stands on the screen: where its parts are, and what is wrong with them. */
window.eyes = (() => {
  const all = (selector) => [...document.querySelectorAll(selector)];
  const isSeen = (node) => node.checkVisibility({visibilityProperty: true}) && node.textContent.trim() !== "";
  const box = (node) => { const {left, top, right, bottom} = node.getBoundingClientRect(); return {left, top, right, bottom}; };
  const inked = (node) => { const range = document.createRange(); range.selectNodeContents(node); return box(range); };
  const FIXED = ["header", "main", "#cue", "#sign", "#ruler", "#facts", "#counted", "#dough", "#resting", "#says", "nav"];
  const TEXTS = "#product, #promised, #caption, #facts b, #facts span, #says p, #keys button, #keys span, #question, #ask button, #cut-off p";

  function places() {
    const whole = (place) => Object.values(box(place)).map(Math.round);
    const found = Object.fromEntries(FIXED.map((name) => [name, whole(document.querySelector(name))]));
    const [word, grams] = ["word", "grams"].map((id) => whole(document.getElementById(id)));
    const keys = all("#keys button").filter((key) => key.checkVisibility()).map(whole);
    return {...found, word, grams, keys};
  }

  function cut() {
    const faults = all(TEXTS).filter(isSeen).filter((node) => node.scrollWidth > node.clientWidth + 1 || node.scrollHeight > node.clientHeight + 1)
      .filter((node) => getComputedStyle(node).display !== "inline").map((node) => `cut: ${node.id || node.parentElement.id} ${node.textContent}`);
    const outside = all(`${TEXTS}, #word span, #grams span, #ruler b`).filter(isSeen).filter((node) => {
      const {left, top, right, bottom} = box(node);
      return left < -0.5 || top < -0.5 || right > innerWidth + 0.5 || bottom > innerHeight + 0.5;
    }).map((node) => `outside: ${node.id || node.parentElement.id} ${node.textContent}`);
    return [...faults, ...outside];
  }

  function overlapping() {
    const sign = all("#sign path").find((path) => path.checkVisibility());
    const parts = [["sign", sign && box(sign)], ...["word", "grams"].map((id) => [id, box(document.querySelector(`#${id} span`))]),
      ["caption", inked(document.getElementById("caption"))], ["ruler", box(document.getElementById("ruler"))],
      ["header", box(document.querySelector("header"))]].filter(([, part]) => part && part.right > part.left);
    const labels = all("#ruler b").filter(isSeen).map((label) => [`label ${label.textContent}`, box(label)]);
    const marks = all("#ruler i").map((mark) => [`mark ${mark.className}`, box(mark)]);
    return [...pairs(parts, parts), ...pairs(labels, labels), ...pairs(labels, marks), ...pairs(heads(), heads())];
  }

  const heads = () => [["product", inked(document.getElementById("product"))], ["promised", inked(document.getElementById("promised"))]];

  function pairs(ones, others) {
    return ones.flatMap(([name, one]) => others.filter(([other]) => other !== name).filter(([, two]) =>
      Math.min(one.right, two.right) - Math.max(one.left, two.left) > 1 && Math.min(one.bottom, two.bottom) - Math.max(one.top, two.top) > 1
    ).map(([other]) => `${name} over ${other}`));
  }

  function ground(node) {
    for (let at = node; at; at = at.parentElement) {
      const colour = getComputedStyle(at).backgroundColor;
      if (colour !== "rgba(0, 0, 0, 0)") return colour;
    }
    return "rgb(255, 255, 255)";
  }

  const colours = () => all(`${TEXTS}, #word, #grams, #ruler b, kbd`).filter(isSeen).filter((node) => !node.closest("button:disabled"))
    .map((node) => [node.id || node.parentElement.id || node.textContent, getComputedStyle(node).color, ground(node)]);

  /* Resolves once the page has drawn what the station last said. */
  async function drawn(text) {
    const said = JSON.stringify(JSON.parse(text));
    const lastMs = performance.now() + 30000;
    while (JSON.stringify(state) !== said && performance.now() < lastMs) await new Promise((go) => setTimeout(go, 2));
    if (JSON.stringify(state) !== said) throw new Error(`not drawn: ${text}`);
  }

  async function look(text) {
    await drawn(text);
    return {places: places(), faults: [...cut(), ...overlapping()], colours: colours()};
  }

  return {drawn, look};
})();
