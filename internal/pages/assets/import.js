// A spreadsheet in four looks: columns, words, problems, first plays; each answer asks the
// public API again with the same file, and is kept in this browser for the next sheet.
"use strict";
(() => {
  const { api, node } = callkit, $ = id => document.getElementById(id), form = $("import");
  if (!form) return;
  const kept = "overhang-import " + api, answers = JSON.parse(localStorage.getItem(kept) || '{"columns":{},"words":{}}');
  const keep = () => localStorage.setItem(kept, JSON.stringify(answers));
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
    if (!r.ok) throw new Error([answer.detail, ...(answer.errors || []).slice(0, 5).map(e => `${e.row ? `row ${e.row}, ` : ""}${e.field}: ${e.message}`)].filter(Boolean).join(". "));
    return answer;
  };
  const look = async () => {
    if (!file) return;
    say(""); $("done").hidden = true;
    try { show(await send("/imports/proposals")); } catch (e) { say(e.message); }
  };
  const show = p => {
    fields = [...new Set([...fields, ...p.columns.map(c => c.field).filter(Boolean), "quarter", "clock_s", "down", "distance_yd", "yards_to_goal", "hash", "personnel", "set_name", "backfield", "motion", "concept", "called", "family", "result", "gain_yd", "coverage"])];
    const refused = p.refused ? ` ${p.refused} rows cannot be saved as they are.` : "";
    $("sum").textContent = `${p.plays} plays can be saved.${refused}`; $("keep-line").hidden = !p.refused; $("store").disabled = !p.plays;
    $("problems").replaceChildren(...(p.problems.length ? [node("h2", {}, "To look at"), node("ul", {}, ...p.problems.map(x => node("li", {}, node("strong", {}, x.severity === "error" ? "Not saved: " : "Left empty: "), `${x.field ? x.field.replaceAll("_", " ") + ": " : ""}${x.message} (${x.count}; ${(x.cells.length ? x.cells : x.rows.map(r => "row " + r)).slice(0, 5).join(", ")})`)))] : []));
    $("columns").replaceChildren(...p.columns.filter(c => c.column).map(c => {
      const s = node("select", { "aria-label": `Column ${c.head || c.column} is` }, node("option", { value: "" }, "not read"), ...fields.map(f => node("option", { value: f, selected: f === c.field }, f.replaceAll("_", " ").replace(/[<>]/g, ""))));
      s.addEventListener("change", () => { answers.columns[c.head || c.column] = s.value; keep(); look(); });
      return node("tr", {}, node("th", {}, `${c.head || c.column} `, node("small", {}, c.column)), node("td", {}, s), node("td", {}, `${c.means ? c.means + ": " : ""}${c.why}`));
    }));
    $("words").replaceChildren(...(p.words.length ? [node("h2", {}, "Words"), node("div", { className: "wide", tabIndex: 0 }, node("table", { className: "stack" }, node("tbody", {}, ...p.words.map(w => {
      const list = [...new Set([w.as, w.word, ...w.nearest].filter(Boolean))], s = node("select", { "aria-label": `${w.word} is` }, node("option", { value: "" }, "leave empty"), ...list.map(x => node("option", { value: x, selected: x === w.as && w.becomes !== "left_empty" }, x)));
      s.addEventListener("change", () => { answers.words[`${w.field}:${w.word}`] = s.value; keep(); look(); });
      return node("tr", {}, node("th", {}, w.word, node("small", {}, ` ${w.field.replaceAll("_", " ")}, ${w.plays} plays`)), node("td", {}, s), node("td", {}, w.why));
    }))))] : []));
    $("sample").replaceChildren(...p.sample.map(x => node("tr", {}, node("th", {}, `row ${x.row}`), node("td", {}, `${x.opponent}, ${x.game}`), node("td", {}, x.tags.map(t => `${t.field.replaceAll("_", " ")} ${t.value}`).join(", ")))));
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
      $("done").replaceChildren(`${d.added} plays saved, ${d.changed} changed, ${d.unchanged} were here already, ${d.new_words} new words. `, ...(o ? [node("a", { href: `${form.dataset.base}/opponents/${encodeURIComponent(o.code)}/tendencies` }, `Tendencies of ${o.name}`)] : []));
      $("done").hidden = false;
    } catch (e) { say(e.message); } finally { $("store").disabled = false; }
  });
})();
