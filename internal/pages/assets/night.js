// Game night: tap the call, tap what they ran. A snap is put on the browser's shelf before
// anything else and goes to the server as it can: under one key, so that a repeat is
// the same snap, and under another number only when the number was taken by somebody else.
"use strict";
(async () => {
  const page = document.getElementById("night");
  if (!page) return;
  const { ask, node, told } = callkit, $ = id => document.getElementById(id), game = page.dataset.game, plan = JSON.parse(page.dataset.night), shelf = window.shelf(`overhang night ${game} `);
  const key = () => [...crypto.getRandomValues(new Uint8Array(16))].map(b => b.toString(16).padStart(2, "0")).join("");
  const kept = await shelf.all();
  const keep = (name, v) => { kept.set(name, v); try { shelf.put(name, v); } catch { say("This browser has no room left: snaps are kept only while this page stays open."); } };
  let plays = kept.get("plays") || [], queue = kept.get("queue") || [], now = kept.get("now") || { quarter: 1, down: 1, distance: 10, call: "", concept: "", gain: "" }, busy = false;
  const say = text => { $("wrong").textContent = text; $("wrong").hidden = !text; };
  const all = () => [...plays, ...queue.map(q => q.body)], next = () => all().reduce((n, p) => Math.max(n, p.number), 0) + 1;
  const bandOf = d => plan.bands.find(b => d >= b.from_yd && (!b.to_yd || d <= b.to_yd))?.name;
  const within = (p, s) => Object.entries(s.where).every(([k, v]) => k === "down" ? String(p.down) === v : k === "distance_band" ? bandOf(p.distance_yd) === v : false);
  const here = () => plan.situations.find(s => within({ down: now.down, distance_yd: now.distance }, s));

  const choose = (id, list, get, set, text = x => x) => { $(id).replaceChildren(...list.map(x => { const b = node("button", { type: "button" }, text(x)); b.setAttribute("aria-pressed", String(get() === x)); b.addEventListener("click", () => { set(get() === x && id !== "down" && id !== "quarter" ? "" : x); keep("now", now); show(); }); return b; })); };
  const show = () => {
    const s = here(), meant = s ? s.meant : [], first = meant.map(m => m.call), order = [...first, ...plan.calls.filter(c => !first.includes(c))];
    choose("quarter", [1, 2, 3, 4], () => now.quarter, v => now.quarter = v, q => `Q${q}`);
    choose("down", [1, 2, 3, 4], () => now.down, v => now.down = v, d => ["1st", "2nd", "3rd", "4th"][d - 1]);
    if (document.activeElement !== $("distance")) $("distance").value = now.distance;
    if (document.activeElement !== $("gain")) $("gain").value = now.gain;
    $("here").textContent = s ? s.name : "";
    choose("calls", order, () => now.call, v => now.call = v, c => { const m = meant.find(m => m.call === c); return m ? `${c} ${Math.round(100 * m.share)}%` : c; });
    choose("concepts", ["run", ...plan.concepts, "other pass"], () => now.concept, v => now.concept = v);
    $("number").textContent = next();
    const called = p => [...first, ...plan.calls].find(c => c.toLowerCase() === p.coverage.toLowerCase()) || p.coverage; // a word for our call, as the book writes it
    const mine = all().filter(p => s && within(p, s) && p.coverage), n = mine.length, names = [...new Set([...first, ...mine.map(called)])];
    $("sofar").textContent = s ? `${s.name}: ${n} called tonight` : "";
    $("count").replaceChildren(...names.map(c => { const x = mine.filter(p => called(p) === c).length, m = meant.find(m => m.call === c); return node("tr", {}, node("th", {}, c), node("td", {}, bar(n ? x / n : 0, m ? m.share : -1)), node("td", { className: "n" }, `${x} of ${n}`)); }));
    $("queue").textContent = queue.some(q => q.wrong) ? "A snap was not saved" : queue.length ? `${queue.length} waiting to send` : "Everything is saved";
    $("queue").className = queue.length ? "tape warn" : "tape ours"; $("undo").hidden = !queue.length && !kept.get("last"); page.dataset.waiting = String(queue.length);
  };
  const svg = (name, of) => { const e = document.createElementNS("http://www.w3.org/2000/svg", name); for (const k in of) e.setAttribute(k, of[k]); return e; };
  const bar = (share, meant) => { const g = svg("svg", { class: "interval beside", viewBox: "0 0 160 18", width: 160, height: 18, role: "img", "aria-label": `called ${Math.round(100 * share)}%${meant < 0 ? "" : `, meant ${Math.round(100 * meant)}%`}` }); g.append(svg("path", { class: "axis", d: "M0 17.5H160" }), svg("rect", { class: "fill", y: 4, height: 10, width: 160 * share })); if (meant >= 0) g.append(svg("path", { class: "meant", d: `M${160 * meant} 0V17` })); return g; };

  const send = async () => {
    if (busy) return;
    busy = true;
    try {
      while (queue.some(q => !q.wrong)) {
        const q = queue.find(q => !q.wrong);
        try {
          const p = await fetch(`${callkit.api}/plays`, { method: "POST", headers: { "Content-Type": "application/json", Accept: "application/json", "Idempotency-Key": `"${q.key}"` }, body: JSON.stringify(q.body), signal: AbortSignal.timeout(8000) });
          const answer = await p.json().catch(() => ({}));
          if (p.status === 201 || p.status === 200) { queue = queue.filter(x => x.key !== q.key); plays.push(answer); keep("plays", plays); keep("queue", queue); keep("last", answer.id); show(); continue; }
          const errors = answer.errors || [];
          if (p.status === 409 && errors.some(e => e.field === "number")) { await load(); q.body.number = Math.max(next(), q.body.number + 1); q.key = key(); keep("queue", queue); continue; }
          if (p.status >= 500 || p.status === 429 || p.status === 408) throw new Error(p.status);
          q.wrong = errors.map(e => e.message).join("; ") || answer.detail || String(p.status); keep("queue", queue); say(`Snap ${q.body.number} was not saved: ${q.wrong}. Add the word under Words, then tap Save again.`); show();
        } catch { setTimeout(send, 3000); return; }
      }
    } finally { busy = false; show(); }
  };
  const load = async () => { const out = []; for (let cursor = ""; cursor !== undefined;) { const a = await ask(`/plays?game_id=${game}&limit=500${cursor && `&cursor=${cursor}`}`); out.push(...a.items); cursor = a.next_cursor; } plays = out; keep("plays", plays); show(); };

  const step = (id, by, least, most) => () => { const v = Math.max(least, Math.min(most, Number(now[id] || 0) + by)); now[id] = v; keep("now", now); show(); };
  $("less").addEventListener("click", step("distance", -1, 1, 99)); $("more").addEventListener("click", step("distance", 1, 1, 99));
  $("lose").addEventListener("click", step("gain", -1, -99, 99)); $("win").addEventListener("click", step("gain", 1, -99, 99));
  for (const id of ["distance", "gain"]) $(id).addEventListener("input", () => { const v = $(id).value.trim(); now[id] = v === "" || v === "-" ? v : Number(v); if (Number.isNaN(now[id])) now[id] = ""; keep("now", now); show(); });
  $("store").addEventListener("click", () => {
    if (!now.call && !now.concept) { say("Tap the call, or what they ran, or both."); return; }
    say("");
    const distance = Number(now.distance) || 10, body = { game_id: game, number: next(), status: "counted", quarter: now.quarter, down: now.down, distance_yd: distance, ...(now.call && { coverage: now.call }), ...(now.concept && { called: now.concept === "run" ? "run" : "pass" }), ...(now.concept && !["run", "other pass"].includes(now.concept) && { concept: now.concept }), ...(typeof now.gain === "number" && { gain_yd: now.gain }) };
    for (const q of queue) { delete q.wrong; }
    queue.push({ key: key(), body }); keep("queue", queue);
    const left = typeof now.gain === "number" ? distance - now.gain : distance;
    Object.assign(now, { call: "", concept: "", gain: "", down: left <= 0 || now.down === 4 ? 1 : now.down + 1, distance: left <= 0 || now.down === 4 ? 10 : Math.min(99, left) }); keep("now", now);
    show(); send();
  });
  $("undo").addEventListener("click", async () => {
    try {
      if (queue.length) queue.pop();
      else { const p = await ask(`/plays/${kept.get("last")}`); await ask(`/plays/${p.id}`, { method: "DELETE", version: p.version }); plays = plays.filter(x => x.id !== p.id); keep("plays", plays); keep("last", null); }
      keep("queue", queue); show();
    } catch (p) { say(told(p)); }
  });
  addEventListener("online", send);
  show(); load().catch(() => {}).finally(() => { page.dataset.ready = "yes"; send(); });
})();
