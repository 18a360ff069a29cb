// The editor of a call: one man at a time, where he lines up by dragging him on the field or
// by steppers, what he is taught as when/then rows. Every keystroke plays the call again
// through the public API; what is wrong stands beside the line that is wrong.
"use strict";
(async () => {
  const { ask, play, node, told } = callkit, { Body, copy } = callbody, $ = id => document.getElementById(id);
  const page = document.querySelector(".editor"), home = document.body.dataset.program, half = x => Math.round(x * 2) / 2;
  const field = new fieldkit.Field($("field"));
  let body = new Body({ name: "", defenders: [] }), { id, version } = page.dataset, active = page.dataset.active !== "false", dirty = false, answer, at, held = null;
  page.dataset.redrawMs = "[]"; page.dataset.drawn = "0";

  // Playing again: one question at a time, always the newest.
  let busy = false, wanted = null;
  const redraw = (since = performance.now()) => { wanted ??= since; if (!busy) turn(); };
  const turn = async () => {
    busy = true;
    while (wanted !== null) {
      const since = wanted, more = { timeline: true, ...($("flip").getAttribute("aria-pressed") === "true" ? { strong_side: "back" } : {}) }; wanted = null;
      if (!body.doc.defenders.length) continue;
      try {
        answer = await play(body.doc, $("look").value, { more });
        clear(); show(); mark(answer.faults || []); note(performance.now() - since);
      } catch (p) {
        if (p.status === 429) { await new Promise(r => setTimeout(r, 300)); wanted ??= since; continue; }
        clear(); fault(p); note(performance.now() - since);
      }
      page.dataset.drawn = String(Number(page.dataset.drawn) + 1);
    }
    busy = false;
  };
  const note = ms => { const list = JSON.parse(page.dataset.redrawMs); list.push(Math.round(ms * 10) / 10); page.dataset.redrawMs = JSON.stringify(list); };

  // What was played: the field, who is uncovered, the conflicts.
  const show = () => {
    $("field").classList.remove("stale");
    const lone = answer.findings.map((f, i) => [f, i]).filter(([f]) => f.kind === "uncovered"), lit = lone.map(([, i]) => answer.timeline.threats[i].open).filter(i => i >= 0);
    at = field.draw(answer, 0, { found: answer.findings.length ? 0 : -1, held, lit, still: true });
    const others = answer.findings.filter(f => f.kind !== "uncovered").slice(0, 3);
    $("says").replaceChildren(
      ...lone.map(([f]) => node("p", { className: "conflict" }, f.sentence)),
      others.length ? node("ul", {}, ...others.map(f => node("li", {}, f.sentence))) : answer.run ? node("p", {}, answer.run.sentence) : lone.length ? "" : node("p", {}, "No conflict against this set: everybody has one job."),
      ...(answer.check ? [node("p", { className: "note" }, `Our check: ${answer.check}.`)] : []), ...answer.warnings.map(w => node("p", { className: "note" }, `Note: ${w}.`)));
    const off = body.check && answer.check !== body.check.name;
    $("check-off").hidden = !off; if (off) $("check-off").textContent = `This set doesn't bring the check on: it comes when ${body.check.when || "…"}. Choose another set above to see it.`;
    body.said = x => saidOf(x);
  };
  // saidOf is the staff's own word for a man of the call, where it has one.
  const saidOf = x => {
    if (!answer) return "";
    const pair = x.side === "both" ? [`strong ${x.name}`, `weak ${x.name}`] : [x.name];
    const said = answer.timeline.defense.filter((_, j) => { const m = body.at(answer.timeline.men[j].place); return m?.who && (m.who.name === x.name && m.who.side === x.side || x.side !== "both" && `${x.side} ${m.who.name}` === x.name && sideOf(j) === x.side); });
    return said.length && said.some(s => !pair.includes(s)) ? `${said.join(" / ")} (${x.name})` : "";
  };
  const sideOf = j => { const m = answer.timeline.men[j], other = answer.timeline.men.findIndex((n, k) => k !== j && n.place === m.place); return other < 0 ? "" : j < other ? "strong" : "weak"; };

  // Faults: beside the line they are in; in another man's lines, over the page with the way there.
  const clear = () => { for (const e of document.querySelectorAll(".line-wrong")) e.remove(); for (const e of document.querySelectorAll("[aria-invalid]")) e.removeAttribute("aria-invalid"); $("wrong").hidden = true; $("wrong").replaceChildren(); };
  const fault = p => {
    $("field").classList.add("stale");
    const faults = p.problem?.faults || [];
    if (!faults.some(f => f.severity !== "warning")) return over([node("span", {}, p.status === 412 ? "Someone else changed this call since you opened it. Save as a new call, or reload to see theirs." : told(p))]);
    mark(faults);
  };
  const mark = faults => over(faults.filter(f => f.severity !== "warning" && !beside(f)).map(elsewhere));
  const capital = s => s.replace(/^./, c => c.toUpperCase()), over = parts => { if (!parts.length) return; $("wrong").replaceChildren(...parts.map(x => node("p", {}, x))); $("wrong").hidden = false; };
  const elsewhere = f => {
    const there = body.at(f.path), text = capital(f.defender === "call" ? f.message : `${f.defender}: ${f.message}`);
    if (!there) return node("span", {}, text);
    const b = node("button", { type: "button", className: "plain" }, text);
    b.addEventListener("click", () => { goTo(there); fault({ problem: { faults: [f] } }); }); return b;
  };
  const inputOf = f => {
    const there = body.at(f.path);
    if (/^\/(name|under_yd|vertical_yd)$/.test(f.path)) return $({ "/name": "name", "/under_yd": "under", "/vertical_yd": "vertical" }[f.path]);
    if (!there || there.layer !== body.layer) return null;
    if (!there.who) return $(f.path.endsWith("/when") ? "check-when" : "check-name");
    if (!callbody.same(there.who, body.own() || {})) return null;
    const below = f.path.replace(/^(\/checks\/\d+)?\/defenders\/\d+/, ""), inputs = [...$("form").querySelectorAll("input[data-place]")];
    if (below.startsWith("/keys")) return $("keys").querySelector("input");
    return inputs.find(x => x.dataset.place === below) || inputs.find(x => below && x.dataset.place.startsWith(below.replace(/\/(offset_yd|depth_yd|if_missing_yd|technique)$/, ""))) && (inputs.filter(x => x.dataset.place.startsWith(below.replace(/\/(offset_yd|depth_yd|if_missing_yd|technique)$/, ""))).pop()) || (below.startsWith("/name") ? $("man-name") : null);
  };
  const beside = f => {
    const e = inputOf(f); if (!e) return false;
    e.setAttribute("aria-invalid", "true");
    (e.closest("#rules li, .line") || e.closest("label") || e).append(node("p", { className: "wrong line-wrong" }, capital(f.message)));
    return true;
  };

  // The page.
  const showLayers = () => {
    $("layer").replaceChildren(node("option", { value: -1 }, "the call itself"), ...(body.doc.checks || []).map((c, i) => node("option", { value: i, selected: i === body.layer }, `check: ${c.name}`)));
    $("check").hidden = !body.check; $("check-off").hidden = true;
    if (body.check) { $("check-name").value = body.check.name; $("check-when").value = body.check.when; }
  };
  const changed = () => { dirty = true; $("saved").hidden = true; manform.state(body); redraw(); };
  const form = () => manform.show(body, { changed, again: () => { form(); changed(); } });
  const all = () => { $("name").value = body.doc.name; $("title").value = body.doc.title || ""; $("under").value = body.doc.under_yd || 5; $("vertical").value = body.doc.vertical_yd || 7; showLayers(); form(); redraw(); };
  const goTo = there => { body.layer = there.layer; if (there.who) body.who = there.who; showLayers(); form(); };
  const on = (what, ev, f) => $(what)?.addEventListener(ev, f);
  on("man", "change", () => { body.who = body.men[Number($("man").value)]; held = null; form(); redraw(); });
  on("look", "change", () => redraw());
  on("flip", "click", () => { $("flip").setAttribute("aria-pressed", String($("flip").getAttribute("aria-pressed") !== "true")); redraw(); });
  on("name", "input", () => { body.doc.name = $("name").value.trim(); changed(); });
  on("title", "input", () => { manform.put(body.doc, "title", $("title").value.trim()); changed(); });
  for (const [e, name] of [["under", "under_yd"], ["vertical", "vertical_yd"]]) on(e, "input", () => { const x = Number($(e).value.replace(",", ".")); if ($(e).value && Number.isFinite(x)) { body.doc[name] = x; changed(); } });
  on("man-name", "input", () => { body.rename($("man-name").value.trim(), body.who.side); changed(); });
  on("man-side", "change", () => { body.rename(body.who.name, $("man-side").value); form(); changed(); });
  for (const e of ["fit", "body"]) on(e, "change", () => { manform.put(body.mine(), e, $(e).value); changed(); });
  on("add-align", "click", () => { const d = body.mine(); d.align.unshift({ ...copy(d.align[0] || { on: "ball", offset_yd: 0, depth_yd: 5 }), when: "trips" }); form(); changed(); });
  on("add-rule", "click", () => { const l = body.mine().rules; l.splice(Math.max(0, l.length - 1), 0, { when: "#1 vertical", then: "man #1" }); form(); changed(); });
  on("add-man", "click", () => { body.addMan(); form(); changed(); $("man-name").focus(); });
  on("drop-man", "click", () => { body.drop(); form(); changed(); });
  on("layer", "change", () => { body.layer = Number($("layer").value); if (!body.seen()) body.who = body.men[0]; showLayers(); form(); redraw(); });
  on("add-check", "click", () => { body.addCheck("new check", "trips"); showLayers(); form(); changed(); $("check-name").focus(); $("check-name").select(); });
  on("drop-check", "click", () => { body.dropCheck(); showLayers(); form(); changed(); });
  on("check-name", "input", () => { body.check.name = $("check-name").value.trim(); changed(); });
  const checkWhen = $("check-when").parentElement;
  checkWhen.append(suggest.to($("check-when"), () => suggest.wordsOf("whens"), /\s(?:and|or)\s+(?:not\s+)?|^not\s+/g, () => { body.check.when = $("check-when").value.trim(); changed(); }));
  on("check-when", "input", () => { body.check.when = $("check-when").value.trim(); changed(); });
  on("from", "change", async () => { if (!$("from").value) return; try { const c = await ask(`/calls/${$("from").value}`); body = new Body(c.body); body.doc.name = `${c.name} 2`; all(); } catch (p) { fault(p); } });

  // A man by the hand: his line that counts against this set moves with him.
  let grip = null;
  const take = key => {
    const j = answer.timeline.defense.indexOf(key.slice(4)), m = answer.timeline.men[j], there = body.at(m.place);
    const on = (body.doc.checks || []).findIndex(c => c.name === answer.check);
    goTo({ layer: there.layer >= 0 ? there.layer : body.check && body.layer === on ? body.layer : -1, who: there.who });
    return { j, m, from: copy(body.seen().align[m.line]), start: at.defense[j].slice() };
  };
  const moveTo = (g, dx, dy) => {
    const a = body.mine().align[g.m.line], side = g.m.landmark ? "offset_yd" : "if_missing_yd";
    const x = half(Math.max(-20, Math.min(26, (g.from[side] || 0) + g.m.out * dx))), y = Math.max(1, Math.min(25, half(g.from.depth_yd + dy)));
    if (a[side] === x && a.depth_yd === y) return false;
    a[side] = x; a.depth_yd = y;
    field.parts.get(held)?.setAttribute("transform", field.parts.get(held).getAttribute("transform").replace(/translate\([^)]*\)/, `translate(${g.start[0] + g.m.out * (x - (g.from[side] || 0))} ${-(g.start[1] + y - g.from.depth_yd)})`));
    return true;
  };
  field.svg.addEventListener("pointerdown", ev => {
    const key = answer && page.dataset.may === "true" && field.near(ev, answer.timeline, at, true); if (!key) return;
    ev.preventDefault(); field.svg.setPointerCapture(ev.pointerId); held = key; field.parts.get(key)?.focus({ preventScroll: true });
    const [x, y] = field.yards(ev); grip = { x, y, ...take(key) }; field.draw(answer, 0, { held, still: true });
  });
  field.svg.addEventListener("pointermove", ev => { if (!grip) return; const since = performance.now(), [x, y] = field.yards(ev); if (moveTo(grip, x - grip.x, y - grip.y)) { dirty = true; redraw(since); } });
  for (const ev of ["pointerup", "pointercancel"]) field.svg.addEventListener(ev, () => { if (grip) { grip = null; form(); changed(); } });
  field.svg.addEventListener("keydown", ev => {
    const key = ev.target.dataset?.key, by = { ArrowLeft: [-0.5, 0], ArrowRight: [0.5, 0], ArrowUp: [0, 0.5], ArrowDown: [0, -0.5] }[ev.key];
    if (!key || !by || !answer) return;
    ev.preventDefault(); held = key; if (moveTo(take(key), ...by)) { form(); changed(); }
  });

  const store = async fresh => {
    clear();
    try {
      const v = { name: body.doc.name, active, body: body.doc }, c = fresh || !id ? await ask("/calls", { method: "POST", body: v }) : await ask(`/calls/${id}`, { method: "PUT", version, body: v });
      dirty = false; id = c.id; version = String(c.version);
      if (location.pathname !== `${home}/calls/${id}`) { location.href = `${home}/calls/${id}`; return; }
      $("saved").textContent = `Saved: version ${c.version}.`; $("saved").hidden = false;
    } catch (p) {
      const first = (p.problem?.faults || []).filter(f => f.severity !== "warning").map(f => body.at(f.path)).find(x => x?.who || x);
      if (first) goTo(first);
      fault(p);
      const at = document.querySelector("main [aria-invalid]");
      if (at) { over([node("span", {}, "Not saved. Fix the marked line.")]); at.focus({ preventScroll: true }); at.scrollIntoView({ block: "center" }); }
    }
  };
  on("save", "click", () => store(false));
  on("save-new", "click", () => { if (body.doc.name === document.querySelector("h1").textContent) body.doc.name = `${body.doc.name} 2`; $("name").value = body.doc.name; store(true); });
  addEventListener("beforeunload", e => { if (dirty) e.preventDefault(); });
  addEventListener("resize", () => answer && show());
  try {
    if (id) { const c = await ask(`/calls/${id}`); body = new Body(c.body); version = String(c.version); active = c.active; all(); } else if ($("from").options.length > 1) { $("from").selectedIndex = 1; $("from").dispatchEvent(new Event("change")); }
  } catch (p) { over([node("span", {}, told(p))]); }
})();
