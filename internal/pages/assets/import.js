// A spreadsheet in four looks: columns, words, problems, first plays; each answer asks the
// public API again with the same file, and is kept in this browser for the next sheet.
"use strict";
(() => {
  const { api, node } = callkit, $ = id => document.getElementById(id), form = $("import");
  if (!form) return;
  const kept = "overhang-import " + api, answers = JSON.parse(localStorage.getItem(kept) || '{"columns":{},"words":{}}');
  const keep = () => localStorage.setItem(kept, JSON.stringify(answers));
  const names = JSON.parse(form.dataset.names), many = (n, one) => `${n} ${one}${n === 1 ? "" : "s"}`;
  const named = f => (t => names[t] || t.charAt(0).toUpperCase() + t.slice(1).replaceAll("_", " "))(f.replace(/[<>]/g, ""));
  let file, fields = [];
  const query = more => {
    const q = new URLSearchParams({ name: file.name });
    for (const [k, v] of Object.entries(answers.columns)) q.append("column", `${k}=${v}`);
    for (const [k, v] of Object.entries(answers.words)) q.append("word", `${k}=${v}`);
    if ($("opponent").value) q.set("opponent", $("opponent").value);
    if ($("game").value.trim()) q.set("game", $("game").value.trim());
    if ($("ours").checked) q.set("ours", "true");
    for (const [k, v] of Object.entries(more || {})) q.set(k, v);
    return q;
  };
  const say = text => { $("wrong").textContent = text; $("wrong").hidden = !text; };
  const send = async (path, more) => {
    const r = await fetch(`${api}${path}?${query(more)}`, { method: "POST", headers: { "Content-Type": "application/octet-stream", Accept: "application/json" }, body: file }), answer = await r.json();
    const errors = answer.errors || [], rest = errors.length > 5 ? `and ${many(errors.length - 5, "more row")}` : "";
    if (!r.ok) throw Object.assign(new Error([answer.detail, ...errors.slice(0, 5).map(e => `${e.row ? `row ${e.row}, ` : ""}${named(e.field)}: ${e.message}`), rest].filter(Boolean).join(". ")), { rows: errors.some(e => e.row) });
    return answer;
  };
  const look = async () => {
    if (!file) return;
    say(""); $("done").hidden = true;
    try { show(await send("/imports/proposals")); } catch (e) { say(e.message); }
  };
  const where = x => {
    const at = x.cells.length ? x.cells : x.rows.map(r => "row " + r);
    return at.slice(0, 5).join(", ") + (x.count > Math.min(5, at.length) && at.length ? ` and ${x.count - Math.min(5, at.length)} more` : "");
  };
  const show = p => {
    fields = [...new Set([...fields, ...p.columns.map(c => c.field).filter(Boolean), "quarter", "clock_s", "down", "distance_yd", "yards_to_goal", "hash", "personnel", "set_name", "backfield", "motion", "concept", "called", "family", "result", "gain_yd", "coverage"])];
    const refused = p.refused ? ` ${many(p.refused, "row")} can't, as ${p.refused === 1 ? "it is" : "they are"}.` : "";
    $("sum").textContent = `${many(p.plays, "play")} can be saved.${refused}`; $("keep-line").hidden = !p.refused; $("store").disabled = !p.plays;
    $("problems").replaceChildren(...(p.problems.length ? [node("h2", {}, "To look at"), node("ul", {}, ...p.problems.map(x => node("li", {}, node("strong", {}, `${x.severity === "error" ? "Not saved" : "Left empty"}, ${where(x)}: `), `${x.field ? named(x.field) + ": " : ""}${x.message}`)))] : []));
    $("columns").replaceChildren(...p.columns.filter(c => c.column).map(c => {
      const s = node("select", { "aria-label": `Column ${c.head || c.column} is` }, node("option", { value: "" }, "not read"), ...fields.map(f => node("option", { value: f, selected: f === c.field }, named(f))));
      s.addEventListener("change", () => { answers.columns[c.head || c.column] = s.value; keep(); look(); });
      return node("tr", {}, node("th", {}, `${c.head || c.column} `, node("small", {}, c.column)), node("td", {}, s), node("td", {}, c.why));
    }));
    $("words").replaceChildren(...(p.words.length ? [node("h2", {}, "Words"), node("div", { className: "wide", tabIndex: 0 }, node("table", { className: "stack" }, node("tbody", {}, ...p.words.map(w => {
      const list = [...new Set([w.as, w.word, ...w.nearest].filter(Boolean))], s = node("select", { "aria-label": `${w.word} is` }, node("option", { value: "" }, "leave empty"), ...list.map(x => node("option", { value: x, selected: x === w.as && w.becomes !== "left_empty" }, x)));
      s.addEventListener("change", () => { answers.words[`${w.field}:${w.word}`] = s.value; keep(); look(); });
      return node("tr", {}, node("th", {}, w.word, node("small", {}, ` ${named(w.field)}, ${many(w.plays, "play")}`)), node("td", {}, s), node("td", {}, w.why));
    }))))] : []));
    $("sample").replaceChildren(...p.sample.map(x => node("tr", {}, node("th", {}, `row ${x.row}`), node("td", {}, `${x.opponent}, ${x.game}`), node("td", {}, x.tags.map(t => `${named(t.field)} ${t.value}`).join(", ")))));
    $("proposal").hidden = false;
  };
  const take = f => { if (f) { file = f; look(); } };
  $("file").addEventListener("change", () => take($("file").files[0]));
  form.addEventListener("dragover", e => e.preventDefault());
  form.addEventListener("drop", e => { e.preventDefault(); take(e.dataTransfer.files[0]); });
  form.addEventListener("submit", e => e.preventDefault());
  for (const f of ["opponent", "game", "ours"]) $(f).addEventListener("change", look);
  $("store").addEventListener("click", async () => {
    say(""); $("store").disabled = true;
    try {
      const d = await send("/imports", $("keep").checked ? { keep_good: "true" } : {}), o = d.proposal.opponents[0];
      const left = d.proposal.refused ? ` ${many(d.proposal.refused, "row")} left out.` : "", more = [[d.changed, " changed"], [d.unchanged, " here already"], [d.new_words, d.new_words === 1 ? " new word" : " new words"]].filter(([n]) => n).map(([n, t]) => `, ${n}${t}`).join("");
      $("done").replaceChildren(`${many(d.added, "play")} saved${more}.${left} `, ...(o ? [node("a", { href: `${form.dataset.base}/opponents/${encodeURIComponent(o.code)}/tendencies` }, `Tendencies of ${o.name}`)] : []));
      $("done").hidden = false; $("proposal").hidden = true;
    } catch (e) { say(e.message + (e.rows ? ". Fix the sheet and choose it again, or check “Save the good rows, leave out the others”." : "")); } finally { $("store").disabled = false; }
  });
})();
