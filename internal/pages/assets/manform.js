// One man of a call as a form: where he lines up, what he is taught, how he fits. Every
// change goes through the call, which says whose line it becomes.
"use strict";
const manform = (() => {
  const { node } = callkit, $ = id => document.getElementById(id);
  const and = /\s(?:and|or)\s+(?:not\s+)?|^not\s+/g, then = /;\s*/g;
  const whens = suggest.wordsOf("whens"), thens = suggest.wordsOf("thens"), ons = suggest.wordsOf("ons");
  const small = (text, label, act) => { const b = node("button", { type: "button", className: "plain" }, text); b.setAttribute("aria-label", label); b.addEventListener("click", act); return b; };
  const stepper = (value, step, label, set) => {
    const e = node("input", { value: value ?? 0, inputMode: "decimal" }); e.setAttribute("aria-label", label);
    const put = x => { e.value = x; set(x); }, by = d => put(Math.round((Number(String(e.value).replace(",", ".")) || 0) * 10 + d * 10) / 10);
    e.addEventListener("input", () => { const x = Number(e.value.replace(",", ".")); if (e.value !== "" && Number.isFinite(x)) set(x); });
    e.addEventListener("keydown", k => { if (k.key === "ArrowUp" || k.key === "ArrowDown") { k.preventDefault(); by(k.key === "ArrowUp" ? step : -step); } });
    const button = (t, l, d) => { const b = node("button", { type: "button" }, t); b.setAttribute("aria-label", l); b.addEventListener("click", () => by(d)); return b; };
    return node("span", { className: "stepper" }, button("−", `${label}, less`, -step), e, button("+", `${label}, more`, step));
  };
  const line = (value, label, place, words, cut, set) => {
    const e = node("input", { value: value ?? "", maxLength: 200 }); e.setAttribute("aria-label", label); e.dataset.place = place;
    const put = () => set(e.value.trim());
    e.addEventListener("input", put);
    return suggest.to(e, () => words, cut, put);
  };
  const select = (value, of, label, set) => {
    const e = node("select", {}, ...of.map(([v, t]) => node("option", { value: v, selected: v === (value ?? "") }, t))); e.setAttribute("aria-label", label);
    e.addEventListener("change", () => set(e.value)); return e;
  };
  const put = (into, name, v) => { if (v || v === 0) into[name] = v; else delete into[name]; };

  // state says whose lines these are: this layer's own, or as in the call.
  const state = body => {
    const own = !!body.own();
    $("as-in-call").hidden = own || !body.seen();
    $("as-in-call").textContent = body.check ? "He plays as in the call. Change a line and it counts for this check only." : "He plays as his partner on the other side. Change a line and it counts for him only.";
    $("drop-man").hidden = !own; $("drop-man").textContent = body.check ? "As in the call again" : "Remove this man";
    $("man-name").disabled = $("man-side").disabled = !own;
  };
  // show lays the man out; changed is called after each change, again after one that moves lines.
  const show = (body, { changed, again }) => {
    const d = body.seen(), mine = () => body.mine();
    $("man").replaceChildren(...body.men.map((x, i) => node("option", { value: i, selected: callbody.same(x, body.who) }, `${body.said?.(x) || x.name}${x.side === "both" ? ", both sides" : ""}${body.check && body.own(x) ? " – in this check" : ""}`)));
    state(body);
    if (!d) return;
    $("man-name").value = d.name; $("man-side").value = d.side; $("fit").value = d.fit || ""; $("body").value = d.body || "";
    $("keys").replaceChildren(line((d.keys || []).join(", "), "Reads", "/keys", ["#1", "#2", "#3", "#4", "back", "far #1", "far #2", "far #3", "far back"].map(w => ({ word: w, said: "" })), /,\s*/g, v => { const keys = v.split(",").map(s => s.trim()).filter(Boolean); const m = mine(); if (keys.length) m.keys = keys; else delete m.keys; changed(); }));
    $("aligns").replaceChildren(...d.align.map((a, i) => alignment(a, i, d, mine, changed, again)));
    $("rules").replaceChildren(...d.rules.map((r, i) => rule(r, i, d, mine, changed, again)));
  };
  const alignment = (a, i, d, mine, changed, again) => {
    const set = (name, v) => { put(mine().align[i], name, v); changed(); }, n = `Line ${i + 1}`;
    const number = name => v => { mine().align[i][name] = v; changed(); };
    return node("div", { className: "line" }, node("div", { className: "row" },
      node("label", {}, "When", line(a.when, `${n}, when`, `/align/${i}/when`, whens, and, v => set("when", v))),
      node("label", {}, "On", line(a.on, `${n}, on`, `/align/${i}/on`, ons, null, v => { mine().align[i].on = v; changed(); })),
      node("label", {}, "Outside, yards", stepper(a.offset_yd, 0.5, `${n}, yards outside`, number("offset_yd"))), node("label", {}, "Deep, yards", stepper(a.depth_yd, 0.5, `${n}, yards deep`, number("depth_yd"))),
      node("label", {}, "How", select(a.technique || "", [["", "off"], ["press", "press"], ["trail", "trail"]], `${n}, technique`, v => set("technique", v))),
      ...(d.align.length > 1 ? [small("Remove", `Remove line ${i + 1}`, () => { mine().align.splice(i, 1); again(); })] : [])));
  };
  const rule = (r, i, d, mine, changed, again) => {
    const move = by => { const l = mine().rules, j = i + by; if (j < 0 || j >= l.length) return; [l[i], l[j]] = [l[j], l[i]]; again(); };
    return node("li", {}, node("div", { className: "rule-line" },
      node("label", {}, "When", line(r.when, `Rule ${i + 1}, when`, `/rules/${i}/when`, whens, and, v => { mine().rules[i].when = v; changed(); })),
      node("label", {}, "Then", line(r.then, `Rule ${i + 1}, then`, `/rules/${i}/then`, thens, then, v => { mine().rules[i].then = v; changed(); })),
      node("span", {}, small("↑", `Rule ${i + 1} up`, () => move(-1)), small("↓", `Rule ${i + 1} down`, () => move(1)), small("Remove", `Remove rule ${i + 1}`, () => { mine().rules.splice(i, 1); again(); }))));
  };
  return { show, state, put };
})();
