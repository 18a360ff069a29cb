// The meeting view: the field over the whole screen. Arrow keys step from the alignment to
// the reads, the breaks and the throw; space plays it at half speed; a pen draws over it.
"use strict";
(() => {
  const page = document.getElementById("onfield"), button = document.getElementById("meet");
  if (!button) return;
  const { node } = callkit, { svgNode } = fieldkit, names = ["Alignment", "Reads", "Breaks", "Throw"];
  let step = 0, pen = null, line = null, strokes;
  const field = () => page.field, on = () => page.classList.contains("meeting");
  const bar = node("div", { className: "meet row middle", hidden: true }), label = node("strong", { id: "stepped" }, "");
  const tool = (text, act) => { const b = node("button", { type: "button" }, text); b.addEventListener("click", act); return b; };
  const draw = tool("Draw", () => { const yes = draw.getAttribute("aria-pressed") !== "true"; draw.setAttribute("aria-pressed", String(yes)); field().svg.classList.toggle("drawing", yes); });
  draw.setAttribute("aria-pressed", "false");
  bar.append(tool("←", () => go(step - 1)), label, tool("→", () => go(step + 1)), tool("Half speed", () => field().play()), draw, tool("Wipe", () => strokes?.replaceChildren()), tool("Close", () => leave()));
  bar.firstChild.setAttribute("aria-label", "Step back"); bar.children[2].setAttribute("aria-label", "Step on");
  page.querySelector(".stage").append(bar);
  // go shows a step: where they stand, whom they read, where it breaks, when it is thrown.
  const go = to => {
    step = Math.max(0, Math.min(names.length - 1, to)); label.textContent = names[step];
    const { breaks, thrown } = field().moments();
    field().look({ routes: step >= 2, ties: step >= 1, marks: step >= 3 }, [0, 0, breaks, thrown][step]);
  };
  const enter = async () => {
    page.classList.add("meeting"); document.body.classList.add("met"); bar.hidden = false;
    if (!strokes) field().svg.append(strokes = svgNode("g", { class: "strokes" }));
    try { await page.requestFullscreen(); } catch { /* the page itself fills the window */ }
    go(0); bar.querySelector("button").focus();
  };
  const leave = () => {
    page.classList.remove("meeting"); document.body.classList.remove("met"); bar.hidden = true; strokes?.replaceChildren();
    draw.setAttribute("aria-pressed", "false"); field().svg.classList.remove("drawing");
    if (document.fullscreenElement) document.exitFullscreen();
    field().look(null, 0); button.focus();
  };
  button.hidden = false;
  button.addEventListener("click", enter);
  document.addEventListener("fullscreenchange", () => { if (!document.fullscreenElement && on()) leave(); });
  document.addEventListener("keydown", ev => {
    if (!on() || ev.target.closest?.("[data-key]") && step === 0 && ev.shiftKey) return;
    const act = { ArrowRight: () => go(step + 1), ArrowLeft: () => go(step - 1), PageDown: () => go(step + 1), PageUp: () => go(step - 1), " ": () => field().play(), d: () => draw.click(), c: () => strokes.replaceChildren(), Escape: leave }[ev.key];
    if (!act || ev.key === " " && ev.target.tagName === "BUTTON") return;
    ev.preventDefault(); ev.stopPropagation(); act();
  }, true);
  // The pen.
  page.addEventListener("pointerdown", ev => {
    if (draw.getAttribute("aria-pressed") !== "true" || !ev.target.closest("svg.playing")) return;
    ev.preventDefault(); ev.stopPropagation(); pen = ev.pointerId;
    strokes.append(line = svgNode("polyline", { points: "" })); add(ev);
  }, true);
  const add = ev => { const [x, y] = field().yards(ev); line.setAttribute("points", `${line.getAttribute("points")} ${x.toFixed(2)},${(-y).toFixed(2)}`); };
  page.addEventListener("pointermove", ev => { if (pen === ev.pointerId) { ev.stopPropagation(); add(ev); } }, true);
  for (const name of ["pointerup", "pointercancel"]) page.addEventListener(name, ev => { if (pen === ev.pointerId) pen = null; }, true);
})();
