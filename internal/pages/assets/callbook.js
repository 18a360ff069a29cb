// The call book: every card drawn against the chosen look, turned on and off, and the
// built-in calls to take in.
"use strict";
(async () => {
  const { ask, draw, play, place, inTurn, node, told } = callkit;
  const look = document.getElementById("look"), wrong = document.getElementById("book-wrong"), cards = document.getElementById("calls");
  const say = text => { wrong.textContent = text; wrong.hidden = !text; };
  const home = document.body.dataset.program;
  let calls = [];
  const show = async (card, body) => {
    try {
      place(card.querySelector("figure"), await draw(body, look.value, { width: 90 }));
      const r = await play(body, look.value), f = r.findings[0];
      card.querySelector(".found").textContent = f ? f.sentence : "No conflict against this.";
    } catch (p) { card.querySelector("figure").classList.remove("loading"); card.querySelector(".found").textContent = told(p); }
  };
  const drawAll = () => cards && inTurn(calls, async c => { const card = cards.querySelector(`[data-id="${c.id}"]`); if (card) { card.querySelector(".title").textContent = c.body.title || ""; await show(card, c.body); } });
  const turn = async (card, button) => {
    say("");
    try {
      const c = await ask(`/calls/${card.dataset.id}`), next = await ask(`/calls/${c.id}`, { method: "PUT", version: c.version, body: { name: c.name, active: !c.active, body: c.body } });
      card.classList.toggle("off", !next.active); button.setAttribute("aria-pressed", String(next.active)); button.textContent = next.active ? "Turn off" : "Turn on";
    } catch (p) { say(told(p)); }
  };
  for (const b of document.querySelectorAll(".switch")) b.addEventListener("click", () => turn(b.closest(".card"), b));
  look.addEventListener("change", drawAll);
  try {
    const [mine, book] = await Promise.all([ask("/calls?limit=200"), document.getElementById("built-in") ? ask("/v1/book") : { items: [] }]);
    calls = mine.items;
    await drawAll();
    const have = new Set(calls.map(c => c.name.toLowerCase())), list = document.getElementById("built-in"), missing = book.items.filter(c => !have.has(c.name.toLowerCase()));
    if (!list) return;
    if (!missing.length) return list.replaceWith(node("p", {}, "They are all in your book."));
    await inTurn(missing, async body => {
      const take = node("button", { type: "button" }, "Add to our book"), card = node("li", { className: "card off" }, node("h3", {}, body.name), node("p", { className: "note" }, body.title || ""), node("figure", { className: "thumb loading" }), node("p", { className: "note found" }), node("p", { className: "row" }, take));
      take.setAttribute("aria-label", `Add ${body.name} to our book`);
      take.addEventListener("click", async () => { say(""); try { const c = await ask("/calls", { method: "POST", body: { name: body.name, active: true, body } }); location.href = `${home}/calls/${c.id}`; } catch (p) { say(told(p)); } });
      list.append(card); await show(card, body);
    });
  } catch (p) { say(told(p)); }
})();
