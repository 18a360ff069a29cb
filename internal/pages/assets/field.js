// The field of a cell: take hold of a defender or of a break, and the sentence and the
// number follow. What is moved is the call itself, in the engine's form; the server plays
// it again through the public API and stores nothing until somebody saves.
"use strict";
(async () => {
  const { ask, node, told, percent, points, opponent } = callkit, { Field, ruleAt } = fieldkit, $ = id => document.getElementById(id), page = $("onfield");
  if (!page) return;
  const half = x => Math.round(x * 2) / 2, copy = v => JSON.parse(JSON.stringify(v)), yd = x => String(Math.round(x * 10) / 10);
  const field = new Field($("field")), query = new URLSearchParams(location.search);
  for (const k of ["call", "concept", "set_name", "family", "finding", "from", "against"]) query.delete(k);
  const where = `/opponents/${opponent}/try?${query}`;
  let view, stored, body, picture = page.dataset.picture, base, baseAll, now, nowAll, t = 0, at, held = null, found = Math.max(0, Number(page.dataset.found)), ghost = null, playing = 0;
  const dirty = () => JSON.stringify(body) !== JSON.stringify(stored.body), shifted = () => picture !== page.dataset.picture;

  // Asking: one question at a time, always the newest; what was overtaken is never sent.
  const asks = (more, signal) => ask(where, { method: "POST", signal, body: { call: body || page.dataset.call, concept: page.dataset.concept, set_name: page.dataset.set, family: page.dataset.family, picture, ...more } });
  const pace = 30; // a drag is asked for some thirty times a second; the server lets a burst through
  let busy = false, wanted = null, last = 0, stripTimer, stripping = null;
  page.dataset.dragMs = "[]"; page.dataset.stripMs = "[]";
  const note = (name, ms) => { const list = JSON.parse(page.dataset[name]); list.push(Math.round(ms * 10) / 10); page.dataset[name] = JSON.stringify(list); };
  const ask1 = async since => {
    wanted = wanted ?? since;
    if (busy) return;
    busy = true;
    while (wanted !== null) {
      await new Promise(r => setTimeout(r, Math.max(0, pace - (performance.now() - last))));
      const from = wanted; wanted = null; last = performance.now();
      try {
        const a = await asks({ timeline: true });
        now = a.play; $("wrong").hidden = true; show();
        if (from) note("dragMs", performance.now() - from);
      } catch (p) { if (p.status === 429) { await new Promise(r => setTimeout(r, 300)); wanted = wanted ?? from; } else wrong(p); }
    }
    busy = false;
  };
  // What it does to everything else is asked once the hand rests or lets go and the number stands: the next move calls it off, so that no number waits behind it.
  let unasked = null;
  const askAll = (since = performance.now(), wait = 120) => { clearTimeout(stripTimer); stripping?.abort(); unasked = since; stripTimer = setTimeout(async () => {
    if (busy) { askAll(since, 10); return; }
    unasked = null; const mine = stripping = new AbortController();
    try { nowAll = await asks({ everything: true }, mine.signal); strip(); note("stripMs", performance.now() - since); } catch (p) { if (p.status === 429 && stripping === mine) askAll(since, 500); }
  }, wait); };
  const wrong = p => { $("wrong").textContent = told(p); $("wrong").hidden = false; };
  const changed = since => { ask1(since); askAll(since); tell(); };

  // Showing.
  const shown = () => now.findings.length ? Math.min(found, now.findings.length - 1) : -1;
  const draw = () => { at = field.draw(now, t, { found: shown(), held, view, ghost: ghost || (dirty() || shifted() ? base : null) }); $("time").textContent = `${t.toFixed(1)} s`; $("at").setAttribute("aria-valuetext", `${t.toFixed(1)} seconds after the snap`); jobs(); };
  const show = () => {
    const k = shown(), f = now.findings[k], tl = now.timeline, end = tl.frames[tl.frames.length - 1].t_s, th = tl.threats[k]?.throw;
    const until = Math.min(end, th ? Math.ceil((th.release_s + th.flight_s) * 10) / 10 + 0.2 : 4);
    $("at").max = until;
    $("window").hidden = !f;
    if (f) { $("window").style.left = `${100 * Math.max(0, f.from_s - 0.05) / until}%`; $("window").style.width = `${100 * (f.to_s - f.from_s + 0.1) / until}%`; $("window").title = `Open from ${f.from_s.toFixed(1)} to ${f.to_s.toFixed(1)} s`; }
    $("gives").textContent = points(now.gives_up_points); $("succeed").textContent = percent(now.success); $("explode").textContent = percent(now.explosive);
    $("was").textContent = dirty() || shifted() ? `, as saved ${points(base.gives_up_points)}` : "";
    $("say").textContent = f ? f.sentence + (f.instead ? " " + f.instead : "") : now.run ? now.run.sentence : "No conflict, and nothing is open.";
    $("rule").textContent = f ? `Rule: ${f.rule}` : "";
    $("also").replaceChildren(...now.findings.flatMap((x, i) => i === k ? [] : [node("li", {}, Object.assign(node("button", { type: "button", className: "plain" }, x.sentence), { onclick: () => { found = i; show(); } }))]));
    draw();
  };
  const strip = () => {
    $("others").hidden = false;
    $("strip").replaceChildren(...nowAll.everything.map((x, i) => {
      const was = baseAll.everything[i], d = x.gives_up_points - was.gives_up_points, q = new URLSearchParams(query);
      for (const [k, v] of [["call", stored.name], ["concept", x.concept], ["set_name", x.set_name], ["family", x.family === "dropback" ? "dropback,(unknown)" : x.family]]) q.set(k, v);
      const way = Math.abs(d) < 0.005 ? "" : d > 0 ? " ▲ " : " ▼ ";
      return node("li", { className: way ? d > 0 ? "worse" : "better" : "" }, node("a", { href: `${location.pathname}?${q}`, title: x.sentence || "nothing open" }, node("span", {}, x.concept), node("strong", { className: "n" }, points(x.gives_up_points)), node("small", {}, way ? `${way}${Math.abs(d).toFixed(2)}` : "as saved"), node("small", {}, `${x.set_name}, n ${x.plays}`)));
    }));
    $("all").textContent = `Over everything: ${points(nowAll.all.gives_up_points)}${Math.abs(nowAll.all.gives_up_points - baseAll.all.gives_up_points) < 0.005 ? "" : `, as saved ${points(baseAll.all.gives_up_points)}`}.`;
  };
  // jobs lists who has what at the moment.
  let listed = "";
  const jobs = () => {
    const tl = now.timeline, k = shown(), hot = k >= 0 ? tl.threats[k].man : -1;
    const rows = tl.men.flatMap((m, j) => { if (m.rushes) return []; const a = lineOf(m), r = ruleAt(m, t); return [[j === hot, tl.defense[j], a ? place(m, a) : "", r.when === "else" ? "" : r.when, r.then]]; });
    const rush = tl.defense.filter((_, j) => tl.men[j].rushes); if (rush.length) rows.push([false, rush.join(", "), "", "", "rush"]);
    const key = JSON.stringify(rows); if (key === listed) return; listed = key;
    $("jobs").hidden = false;
    $("men").replaceChildren(...rows.map(([is, who, on, when, then]) => node("tr", {}, node("th", { className: is ? "conflict" : "" }, who, ...(on ? [node("small", {}, on)] : [])), node("td", {}, ...(when ? [node("span", { className: "quiet" }, `${when}: `)] : []), then))));
  };

  // What is held, in the call.
  const defenderOf = m => m.place.split("/").slice(1).reduce((x, k) => x?.[k], body);
  const lineOf = m => body && defenderOf(m)?.align[m.line];
  const place = (m, a) => !m.landmark ? `${yd(a.if_missing_yd || 0)} yd outside the ball, ${yd(a.depth_yd)} deep` : `${a.offset_yd ? `${yd(Math.abs(a.offset_yd))} yd ${a.offset_yd > 0 ? "outside" : "inside"}` : "over"} ${a.on === "ball" || a.on === "end man" ? "the " : ""}${a.on}, ${yd(a.depth_yd)} deep`;
  const manOf = key => { const j = now.timeline.defense.indexOf(key.slice(4)); return j < 0 ? null : { j, m: now.timeline.men[j] }; };
  const moveMan = (m, from, dx, dy) => {
    const a = lineOf(m); if (!a) return false;
    const side = m.landmark ? "offset_yd" : "if_missing_yd", x = half(Math.max(-20, Math.min(26, (from[side] || 0) + m.out * dx))), y = Math.max(1, Math.min(25, half(from.depth_yd + dy)));
    if (a[side] === x && a.depth_yd === y) return false;
    a[side] = x; a.depth_yd = y; return true;
  };
  const depthIn = who => { const r = now.timeline.routes.find(r => r.receiver === who); return r ? r.depth_yd : 0; };
  const moveBreak = (who, y) => {
    const d = Math.max(1, Math.min(25, half(y)));
    const next = picture.split(",").map(s => s.trim()).map(s => s.startsWith(who + " ") ? s.replace(/@[\d.]+/, "").replace(/^(\S+ )(.*?)( to the B side| play side)?$/, `$1$2@${d}$3`) : s).join(", ");
    if (next === picture) return false;
    picture = next; return true;
  };
  const tell = () => {
    const parts = [];
    if (held?.startsWith("man-")) { const x = manOf(held), both = x && now.timeline.men.filter(m => m.place === x.m.place && m.line === x.m.line).length > 1; if (x && lineOf(x.m)) parts.push(`${held.slice(4)}: ${place(x.m, lineOf(x.m))}.${both ? " The call says it once for both sides, so his partner moves too." : ""}`); }
    if (shifted()) parts.push("You moved where they break it: that is a what-if, and not saved with the call.");
    $("moved").textContent = parts.join(" "); $("moved").hidden = !parts.length;
    const d = dirty(); $("reset").hidden = !d && !shifted(); if ($("keep")) $("keep").hidden = !d;
  };

  // Pointer and keys.
  let grip = null;
  field.svg.addEventListener("pointerdown", ev => {
    if (!now) return;
    const key = field.near(ev, now.timeline, at); if (!key) return;
    ev.preventDefault(); stop(); field.svg.setPointerCapture(ev.pointerId); held = key; field.parts.get(key)?.focus({ preventScroll: true });
    const [x, y] = field.yards(ev);
    if (key.startsWith("man-")) { if (t > 0) seek(0); const { m, j } = manOf(key); grip = { x, y, m, from: copy(lineOf(m)), start: at.defense[j].slice() }; } else grip = { x, y, who: key.slice(6), depth: depthIn(key.slice(6)) };
    draw();
  });
  field.svg.addEventListener("pointermove", ev => {
    if (!grip) return;
    const since = performance.now(), [x, y] = field.yards(ev), moved = grip.m ? moveMan(grip.m, grip.from, x - grip.x, y - grip.y) : moveBreak(grip.who, grip.depth + y - grip.y);
    if (!moved) return;
    if (grip.m) follow();
    changed(since);
  });
  // follow puts the man under the hand before the answer is there.
  const follow = () => {
    const a = lineOf(grip.m), side = grip.m.landmark ? "offset_yd" : "if_missing_yd", e = field.parts.get(held);
    const x = grip.start[0] + grip.m.out * ((a[side] || 0) - (grip.from[side] || 0)), y = grip.start[1] + a.depth_yd - grip.from.depth_yd;
    e?.setAttribute("transform", e.getAttribute("transform").replace(/translate\([^)]*\)/, `translate(${x} ${-y})`));
  };
  for (const ev of ["pointerup", "pointercancel"]) field.svg.addEventListener(ev, () => { if (grip) { grip = null; draw(); if (unasked !== null) askAll(unasked, 0); } });
  field.svg.addEventListener("keydown", ev => {
    const key = ev.target.dataset?.key, by = { ArrowLeft: [-0.5, 0], ArrowRight: [0.5, 0], ArrowUp: [0, 0.5], ArrowDown: [0, -0.5] }[ev.key];
    if (!key || !by || !now) return;
    ev.preventDefault(); stop(); held = key;
    const since = performance.now();
    if (key.startsWith("man-")) { if (t > 0) seek(0); const { m } = manOf(key); if (moveMan(m, copy(lineOf(m)), ...by)) changed(since); } else if (by[1]) { const who = key.slice(6), asked = Number((picture.match(new RegExp(`${who} [^,@]*@([\\d.]+)`)) || [])[1] ?? depthIn(who)); if (moveBreak(who, asked + by[1])) changed(since); }
  });

  // The clock.
  const seek = x => { t = x; $("at").value = x; draw(); };
  const stop = () => { cancelAnimationFrame(playing); playing = 0; $("play").textContent = "Play"; };
  const go = () => { let before = performance.now(); if (t >= Number($("at").max) - 0.01) t = 0; $("play").textContent = "Pause"; const step = n => { t = Math.min(Number($("at").max), t + (n - before) / 1000 * ($("slow").getAttribute("aria-pressed") === "true" ? 0.5 : 1)); before = n; seek(t); if (t < Number($("at").max)) playing = requestAnimationFrame(step); else stop(); }; playing = requestAnimationFrame(step); };
  $("play").addEventListener("click", () => playing ? stop() : go());
  $("slow").addEventListener("click", () => $("slow").setAttribute("aria-pressed", String($("slow").getAttribute("aria-pressed") !== "true")));
  $("at").addEventListener("input", () => { stop(); t = Number($("at").value); draw(); });
  $("reset").addEventListener("click", () => { body = copy(stored.body); picture = page.dataset.picture; held = null; $("saved") && ($("saved").hidden = true); changed(performance.now()); });
  addEventListener("resize", () => now && draw());

  // Fixes: seen as ghosts, tried on the field.
  const fixOf = a => {
    const said = a.taught.length ? a.taught.map(r => `Tell the ${r.defender}: when ${r.when}: ${r.do}.`).join(" ") : a.words, to = (x, y) => `${points(x)} → ${points(y)}`;
    const button = node("button", { type: "button", className: "try" }, "Try it"), li = node("li", {},
      node("p", {}, ...(a.cures ? [node("strong", { className: "tape ours" }, "Fixes it"), " "] : []), said),
      node("p", { className: "figures" }, node("span", { className: "n" }, to(a.gives_up_before, a.gives_up_after)), " here, ", node("span", { className: "n" }, to(a.all_gives_up_before, a.all_gives_up_after)), " over all ", node("small", {}, "points a snap"), `; ${yd(a.worst_before_yd)} → ${yd(a.worst_after_yd)} `, node("small", {}, "yards worse than good man coverage")),
      node("p", { className: "note" }, a.hurts ? `Costs: ${a.hurts.concept}, ${a.hurts.set_name} (n = ${a.hurts.plays}): ${yd(a.hurts.from_yd)} → ${yd(a.hurts.to_yd)} yards` : "Nothing else gets worse by half a yard."), button);
    let seen;
    const peek = async () => { try { seen ||= (await asks({ call: a.call, timeline: true })).play; ghost = seen; draw(); } catch (p) { wrong(p); } };
    const away = () => { ghost = null; if (now) draw(); };
    li.addEventListener("pointerenter", e => e.pointerType === "mouse" && peek()); li.addEventListener("pointerleave", away); button.addEventListener("focus", peek); button.addEventListener("blur", away);
    button.addEventListener("click", () => { const name = body.name; body = copy(a.call); body.name = name; ghost = null; held = null; if ($("name")) $("name").value = `${stored.name} ${a.kind}`; changed(performance.now()); page.scrollIntoView({ block: "start", behavior: matchMedia("(prefers-reduced-motion: reduce)").matches ? "auto" : "smooth" }); });
    return li;
  };
  const fixes = async () => {
    if (!$("fixes")) return;
    try {
      const q = new URLSearchParams(location.search); q.delete("from"); q.delete("against"); q.set("per_kind", "2");
      const { items } = await ask(`/opponents/${opponent}/answers?${q}`);
      $("fixes").replaceChildren(...(items.length ? items.map(fixOf) : [node("li", {}, "No adjustment helps by half a yard. Call something else.")]));
    } catch (p) { $("fixes").replaceChildren(node("li", {}, told(p))); }
  };

  // What the meeting view turns.
  page.field = {
    svg: field.svg, yards: ev => field.yards(ev),
    look: (v, x) => { stop(); view = v || undefined; held = null; seek(x); },
    play: () => { view = undefined; $("slow").setAttribute("aria-pressed", "true"); if (playing) stop(); else go(); },
    moments: () => { const k = shown(), tl = now.timeline, th = tl.threats[k], r = tl.routes[th ? th.open : -1], first = tl.routes.filter(x => x.breaks).map(x => x.break_s); return { breaks: r?.breaks ? r.break_s : Math.max(0, ...first), thrown: th?.throw ? th.throw.release_s : 2.5 }; },
  };

  // Saving.
  const save = async fresh => {
    $("wrong").hidden = true;
    const v = copy(body); if (fresh) v.name = $("name").value.trim();
    try {
      const c = fresh ? await ask("/calls", { method: "POST", body: { name: v.name, active: true, body: v } }) : await ask(`/calls/${stored.id}`, { method: "PUT", version: stored.version, body: { name: stored.name, active: stored.active, body: v } });
      if (fresh) { const q = new URLSearchParams(location.search); q.set("from", stored.name); q.set("call", c.name); q.delete("finding"); location.search = q; return; }
      stored = c; body = copy(c.body); base = picture === page.dataset.picture ? now : base; baseAll = nowAll; show(); strip(); tell();
      $("saved").textContent = `Saved: version ${c.version} of ${c.name}.`; $("saved").hidden = false;
    } catch (p) { if (p.status === 412) { $("wrong").textContent = "Someone else changed this call since you opened it. Save it as a new call, or reload to see theirs."; $("wrong").hidden = false; } else wrong(p); }
  };
  $("version")?.addEventListener("click", () => save(false)); $("fresh")?.addEventListener("click", () => save(true));

  try {
    const [c, a] = await Promise.all([ask(`/calls?name=${encodeURIComponent(page.dataset.call)}`), asks({ timeline: true })]);
    stored = c.items[0]; body = copy(stored.body); base = now = a.play; $("clock").hidden = false; show();
    if (shown() >= 0 && now.timeline.threats[shown()].throw) { $("at").value = 0; }
    baseAll = nowAll = await asks({ everything: true }); strip(); page.dataset.ready = "yes"; await fixes();
  } catch (p) { wrong(p); }
})();
