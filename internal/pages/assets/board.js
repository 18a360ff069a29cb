// The conflicts over a board get their fixes one after the other: a fix is looked for
// over everything they run, which takes longer than the page.
"use strict";
(async () => {
  const { ask, node, points, told } = callkit;
  for (const card of document.querySelectorAll("[data-cell]")) {
    const at = card.querySelector(".fix");
    try {
      const { items: [a] } = await ask(card.dataset.cell);
      at.replaceChildren(...(a ? [node("strong", { className: "tape ours" }, a.cures ? "Fixes it" : "Helps"), ` ${a.words} `, node("span", { className: "nowrap n" }, `${points(a.all_gives_up_before)} \u2192 ${points(a.all_gives_up_after)}`), node("small", {}, " points a snap over all")] : ["No adjustment helps by half a yard: call something else."]));
    } catch (p) { at.textContent = told(p); }
    at.classList.remove("loading");
  }
  document.body.dataset.fixed = "yes";
})();
