// The editor of a call: one man at a time, where he lines up by steppers, what he is
// taught as when/then rows. Every keystroke draws the call again through the public API;
// what is wrong stands beside the line that is wrong.
"use strict";
(async () => {
  const { ask, draw, play, place, node, told } = callkit, $ = id => document.getElementById(id);
  const page = document.querySelector(".editor"), home = document.body.dataset.program;
  let body = { name: "", defenders: [] }, id = page.dataset.id, version = page.dataset.version, active = page.dataset.active !== "false", man = 0, layer = "", dirty = false;
  const copy = v => JSON.parse(JSON.stringify(v));
  const check = () => layer === "" ? null : body.checks[Number(layer)];
  const men = () => check() ? check().defenders : body.defenders;
  const now = () => men()[man];

  // Drawing again: only the newest question counts.
  let going, timer;
  const redraw = (wait = 60) => { clearTimeout(timer); timer = setTimeout(run, wait); };
  const clear = () => { for (const e of document.querySelectorAll(".line-wrong")) e.remove(); for (const e of document.querySelectorAll("[aria-invalid]")) e.removeAttribute("aria-invalid"); $("wrong").hidden = true; };
  const run = async () => {
    if (!body.defenders.length) return;
    going?.abort(); going = new AbortController();
    const signal = going.signal, more = $("flip").getAttribute("aria-pressed") === "true" ? { strong_side: "back" } : {}, start = performance.now();
    try {
      const [svg, r] = await Promise.all([draw(body, $("look").value, { signal, more, width: 140 }), play(body, $("look").value, { signal, more })]);
      clear(); place($("field"), svg); tell(r); page.dataset.redrawMs = String(Math.round(performance.now() - start)); page.dataset.drawn = String(Number(page.dataset.drawn || 0) + 1);
    } catch (p) { if (p.name !== "AbortError") { clear(); fault(p); page.dataset.drawn = String(Number(page.dataset.drawn || 0) + 1); } }
  };
  const tell = r => {
    const lone = r.findings.filter(f => f.kind === "uncovered");
    $("found").replaceChildren(
      ...lone.map(f => node("p", { className: "conflict" }, f.sentence)),
      r.findings.filter(f => f.kind !== "uncovered").length ? node("ul", {}, ...r.findings.filter(f => f.kind !== "uncovered").slice(0, 3).map(f => node("li", {}, f.sentence))) : lone.length ? "" : node("p", {}, "No conflict against this set: everybody has one job."),
      ...(r.check ? [node("p", { className: "note" }, `Our check: ${r.check}.`)] : []), ...r.warnings.map(w => node("p", { className: "note" }, `Note: ${w}.`)));
  };
  // A fault names the man and, in quotes, the words: it goes to his line; else over the page.
  const fault = p => {
    const list = (p.problem?.errors || []).map(e => ({ text: e.message, where: `${e.field} ${e.message}` }));
    if (!list.length) list.push({ text: p.message, where: p.message });
    const left = [];
    for (const f of list) {
      const i = men().findIndex(d => new RegExp(`(^|[^a-z])${d.name.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")}([^a-z]|$)`, "i").test(f.where));
      if (i >= 0 && i !== man && !beside(f, true)) { man = i; showMan(); }
      if (!beside(f)) left.push(f.text);
    }
    if (left.length) { $("wrong").textContent = [...new Set(left)].join("; ").replace(/^./, c => c.toUpperCase()); $("wrong").hidden = false; }
  };
  const beside = (f, try_) => {
    const quoted = [...f.where.matchAll(/"([^"]+)"/g)].map(m => m[1]), inputs = [...$("form").querySelectorAll("#rules input, #aligns input, #check input")];
    const at = inputs.find(x => x.value && quoted.includes(x.value)) || inputs.find(x => x.value && quoted.some(q => x.value.includes(q))) || inputs.find(x => x.dataset.part === "when" && x.value && f.where.includes("when " + x.value))
      || (/last rule|else/.test(f.text) && now() && f.where.includes(now().name) ? [...$("rules").querySelectorAll("input[data-part=when]")].pop() : undefined);
    if (!at || try_) return !!at;
    at.setAttribute("aria-invalid", "true");
    const w = node("p", { className: "wrong line-wrong" }, f.text.replace(/^.*?, [^:]*: /, "").replace(/^./, c => c.toUpperCase()));
    (at.closest("li, .line") || at).append(w);
    return true;
  };

  // One man on the page.
  const input = (v, list, label, set, part) => { const e = node("input", { value: v ?? "", "aria-label": label, maxLength: 200 }); if (list) e.setAttribute("list", list); e.dataset.part = part; e.addEventListener("input", () => { set(e.value.trim()); changed(); complete(e); }); return e; };
  const stepper = (v, step, label, set) => {
    const e = node("input", { value: v ?? 0, inputMode: "decimal", "aria-label": label });
    const put = x => { e.value = x; set(x); changed(); }, by = d => put(Math.round((Number(e.value || 0) + d) * 10) / 10);
    e.addEventListener("input", () => { const x = Number(e.value.replace(",", ".")); if (Number.isFinite(x) && e.value !== "" && e.value !== "-") { set(x); changed(); } });
    e.addEventListener("keydown", k => { if (k.key === "ArrowUp" || k.key === "ArrowDown") { k.preventDefault(); by(k.key === "ArrowUp" ? step : -step); } });
    const button = (t, l, d) => { const b = node("button", { type: "button", "aria-label": l }, t); b.addEventListener("click", () => by(d)); return b; };
    return node("span", { className: "stepper" }, button("−", `${label}, less`, -step), e, button("+", `${label}, more`, step));
  };
  // After "and" or ";" the list goes on with what can follow.
  const all = { whens: [...$("whens").options].map(o => o.value), thens: [...$("thens").options].map(o => o.value) };
  const complete = e => {
    const list = e.getAttribute("list"), cut = list === "whens" ? " and " : list === "thens" ? "; " : "";
    if (!cut) return;
    const at = e.value.lastIndexOf(cut), head = at < 0 ? "" : e.value.slice(0, at + cut.length);
    $(list).replaceChildren(...all[list].map(w => node("option", { value: head + w })));
  };
  const small = (text, label, act) => { const b = node("button", { type: "button", className: "plain", "aria-label": label }, text); b.addEventListener("click", act); return b; };
  const move = (list, i, d) => { const j = i + d; if (j < 0 || j >= list.length) return; [list[i], list[j]] = [list[j], list[i]]; changed(); showMan(); };
  const showMan = () => {
    const d = now();
    $("man").replaceChildren(...men().map((x, i) => node("option", { value: i, selected: i === man }, `${x.name}${x.side === "both" ? ", both sides" : ", " + x.side}`)));
    if (!d) return;
    $("aligns").replaceChildren(...d.align.map((a, i) => {
      const on = input(a.on, "ons", `Line ${i + 1}, on`, v => { a.on = v; }, "on"), when = input(a.when, "whens", `Line ${i + 1}, when`, v => { if (v) a.when = v; else delete a.when; }, "when");
      return node("div", { className: "line row" }, node("label", {}, "When", when), node("label", {}, "On", on), node("label", {}, "Outside, yards", stepper(a.offset_yd, 0.5, `Line ${i + 1}, yards outside`, v => { a.offset_yd = v; })), node("label", {}, "Deep, yards", stepper(a.depth_yd, 0.5, `Line ${i + 1}, yards deep`, v => { a.depth_yd = v; })), small("Remove", `Remove line ${i + 1}`, () => { d.align.splice(i, 1); changed(); showMan(); }));
    }));
    $("rules").replaceChildren(...d.rules.map((r, i) => node("li", {}, node("div", { className: "rule-line" },
      node("label", {}, "When", input(r.when, "whens", `Rule ${i + 1}, when`, v => { r.when = v; }, "when")), node("label", {}, "Then", input(r.then, "thens", `Rule ${i + 1}, then`, v => { r.then = v; }, "then")),
      node("span", {}, small("↑", `Rule ${i + 1} up`, () => move(d.rules, i, -1)), small("↓", `Rule ${i + 1} down`, () => move(d.rules, i, 1)), small("Remove", `Remove rule ${i + 1}`, () => { d.rules.splice(i, 1); changed(); showMan(); }))))));
    $("fit").value = d.fit || "";
  };
  const showLayers = () => {
    $("layer").replaceChildren(node("option", { value: "" }, "the call itself"), ...(body.checks || []).map((c, i) => node("option", { value: i, selected: String(i) === layer }, c.name)));
    $("check").hidden = !check();
    if (check()) { $("check-name").value = check().name; $("check-when").value = check().when; }
  };
  const show = () => { $("name").value = body.name; $("title").value = body.title || ""; man = Math.min(man, Math.max(0, men().length - 1)); showLayers(); showMan(); redraw(0); };
  const changed = () => { dirty = true; $("saved").hidden = true; redraw(); };

  const on = (what, ev, f) => $(what)?.addEventListener(ev, f);
  on("man", "change", () => { man = Number($("man").value); showMan(); });
  on("look", "change", () => redraw(0));
  on("flip", "click", () => { $("flip").setAttribute("aria-pressed", String($("flip").getAttribute("aria-pressed") !== "true")); redraw(0); });
  on("name", "input", () => { body.name = $("name").value.trim(); changed(); });
  on("title", "input", () => { const v = $("title").value.trim(); if (v) body.title = v; else delete body.title; changed(); });
  on("fit", "change", () => { if ($("fit").value) now().fit = $("fit").value; else delete now().fit; changed(); });
  on("add-align", "click", () => { const first = now().align[0] || { on: "ball", offset_yd: 0, depth_yd: 5 }; now().align.unshift({ ...copy(first), when: "trips" }); changed(); showMan(); });
  on("add-rule", "click", () => { now().rules.splice(Math.max(0, now().rules.length - 1), 0, { when: "#1 vertical", then: "man #1" }); changed(); showMan(); });
  on("add-man", "click", () => { const d = copy(now()); d.name += " 2"; men().push(d); man = men().length - 1; changed(); showMan(); });
  on("drop-man", "click", () => { men().splice(man, 1); man = 0; changed(); showMan(); });
  on("layer", "change", () => { layer = $("layer").value; man = 0; showLayers(); showMan(); });
  on("add-check", "click", () => { body.checks = body.checks || []; body.checks.push({ name: "new check", when: "trips", defenders: copy(body.defenders) }); layer = String(body.checks.length - 1); man = 0; changed(); showLayers(); showMan(); });
  on("drop-check", "click", () => { body.checks.splice(Number(layer), 1); if (!body.checks.length) delete body.checks; layer = ""; man = 0; changed(); showLayers(); showMan(); });
  on("check-name", "input", () => { check().name = $("check-name").value.trim(); changed(); });
  on("check-when", "input", () => { check().when = $("check-when").value.trim(); changed(); });
  on("from", "change", async () => { if (!$("from").value) return; try { const c = await ask(`/calls/${$("from").value}`); body = c.body; body.name = `${c.name} 2`; man = 0; layer = ""; show(); } catch (p) { fault(p); } });

  const store = async fresh => {
    clear();
    try {
      const v = { name: body.name, active, body }, c = fresh || !id ? await ask("/calls", { method: "POST", body: v }) : await ask(`/calls/${id}`, { method: "PUT", version, body: v });
      dirty = false; id = c.id; version = String(c.version);
      if (location.pathname !== `${home}/calls/${id}`) { location.href = `${home}/calls/${id}`; return; }
      $("saved").textContent = "Saved."; $("saved").hidden = false;
    } catch (p) {
      if (p.status === 412) { $("wrong").textContent = "Someone else changed this call since you opened it. Save as a new call, or reload to see theirs."; $("wrong").hidden = false; } else fault(p);
    }
  };
  on("save", "click", () => store(false));
  on("save-new", "click", () => { if (body.name === document.querySelector("h1").textContent) body.name = `${body.name} 2`; $("name").value = body.name; store(true); });
  addEventListener("beforeunload", e => { if (dirty) e.preventDefault(); });
  try { if (id) { const c = await ask(`/calls/${id}`); body = c.body; version = String(c.version); active = c.active; show(); } else if ($("from").options.length > 1) { $("from").selectedIndex = 1; $("from").dispatchEvent(new Event("change")); } } catch (p) { $("wrong").textContent = told(p); $("wrong").hidden = false; }
})();
