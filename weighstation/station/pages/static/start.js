"use strict";
/* What is divided next: shown where nothing is, and by the key N while something is. */
{
  const box = document.getElementById("start");
  const form = document.getElementById("start-form");
  const products = document.getElementById("start-products");
  const cancel = document.getElementById("start-cancel");
  const next = document.getElementById("next");
  const said = document.getElementById("start-said");
  let state = null;
  let chosen = "";
  let isOpen = false;
  let listed = "";
  let refusal = "";

  const say = (node, text) => { if (node.textContent !== text) node.textContent = text; };
  const canBegin = () => state && state.idle && state.idle.products && state.idle.products.length > 0;

  document.addEventListener("station-state", (event) => {
    if (state && state.batch !== event.detail.batch) isOpen = false;
    state = event.detail;
    draw();
  });

  function draw() {
    const isIdle = !state.batch && !state.preparing && state.idle && state.idle.products;
    box.hidden = !(isIdle || (isOpen && canBegin()));
    next.hidden = !state.batch || !canBegin();
    if (box.hidden) return;
    const {fault, last, interrupted} = state.idle;
    cancel.hidden = !state.batch;
    said.dataset.kind = refusal || (!state.batch && fault) ? "fault" : "";
    say(said, refusal || (state.batch ? `${state.product} ends when another is begun. ${state.lost}` : fault || (last && `Done: ${last}.`)));
    const resume = document.getElementById("start-resume");
    resume.hidden = Boolean(state.batch) || !interrupted;
    if (interrupted) say(resume, `Go on with ${interrupted.product}, ${interrupted.pieces} cut`);
    list();
  }

  function list() {
    const names = JSON.stringify(state.idle.products);
    if (names === listed) return;
    listed = names;
    chosen = "";
    products.replaceChildren(...state.idle.products.map((product) => {
      const button = document.createElement("button");
      const name = document.createElement("b");
      button.type = "button";
      button.setAttribute("role", "radio");
      name.textContent = product.name;
      button.append(name, product.aim);
      button.addEventListener("click", () => choose(product.name));
      return button;
    }));
    choose("");
  }

  function choose(name) {
    chosen = name;
    refusal = "";
    [...products.children].forEach((button, place) => {
      button.setAttribute("aria-checked", String(state.idle.products[place].name === name));
    });
    document.getElementById("start-begin").disabled = !name;
    draw();
  }

  async function begin(product, resume) {
    const pieces = form.elements.pieces.value.trim();
    refusal = pieces && !/^[1-9][0-9]{0,4}$/.test(pieces) ? "Give a whole number of pieces, or none." : "";
    if (!refusal) refusal = await post({
      product, resume, batch: state.batch,
      pieces: pieces && !resume ? Number(pieces) : null,
      dough: resume ? "" : form.elements.dough.value,
      person: form.elements.person.value,
    });
    if (!refusal) { isOpen = false; form.elements.pieces.value = form.elements.dough.value = ""; choose(""); }
    draw();
  }

  async function post(asked) {
    try {
      const answer = await fetch("/bench/start", {
        method: "POST",
        headers: {"content-type": "application/json", "x-weighstation-token": document.querySelector('meta[name="station-token"]').content},
        body: JSON.stringify(asked),
      });
      return answer.ok ? "" : (await answer.text()).trim();
    } catch {
      return "The station was not reached: nothing was begun.";
    }
  }

  function open() {
    if (!state || !state.batch || !canBegin()) return;
    isOpen = !isOpen;
    draw();
    if (isOpen) products.firstElementChild.focus();
  }

  form.addEventListener("submit", (event) => { event.preventDefault(); if (chosen) begin(chosen, false); });
  document.getElementById("start-resume").addEventListener("click", () => begin(state.idle.interrupted.product, true));
  cancel.addEventListener("click", () => { isOpen = false; draw(); });
  next.addEventListener("click", () => { next.blur(); open(); });
  document.addEventListener("keydown", (event) => {
    if (event.repeat || event.target instanceof HTMLInputElement) return;
    if (event.key.toLowerCase() === "n") open();
    if (event.key === "Escape" && isOpen) { isOpen = false; draw(); }
  });
}
