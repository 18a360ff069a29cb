// Two calls: drawn against one look, where each is better against this opponent, and
// what differs man by man.
"use strict";
(() => {
  const { ask, draw, play, place, node, told, percent, opponent } = callkit, $ = id => document.getElementById(id);
  const said = new URLSearchParams(location.search), a = $("a"), b = $("b");
  if (said.get("a")) a.value = said.get("a");
  if (said.get("b")) b.value = said.get("b"); else if (b.options.length > 1) b.selectedIndex = (a.selectedIndex + 1) % b.options.length;
  const lines = d => d ? [...d.align.map(x => `${x.when ? `if ${x.when}: ` : ""}${x.depth_yd} deep, ${x.offset_yd} off ${x.on}${x.technique ? ", " + x.technique : ""}`), ...d.rules.map(r => `when ${r.when}: ${r.then}`), ...(d.fit ? [`run: ${d.fit}`] : [])] : ["not in this call"];
  const key = d => `${d.name}, ${d.side}`;
  const differ = (x, y) => {
    const names = [...new Set([...x.defenders.map(key), ...y.defenders.map(key)])];
    const rows = names.map(n => [n, lines(x.defenders.find(d => key(d) === n)), lines(y.defenders.find(d => key(d) === n))]).filter(([, p, q]) => p.join() !== q.join());
    const list = (mine, theirs) => node("ul", {}, ...mine.filter(l => !theirs.includes(l)).map(l => node("li", {}, l)));
    $("diff").replaceChildren(...(rows.length ? rows.map(([n, p, q]) => node("tr", {}, node("th", {}, n), node("td", {}, list(p, q)), node("td", {}, list(q, p)))) : [node("tr", {}, node("td", { colSpan: 3 }, "Nothing: the men line up and read alike."))]));
  };
  const better = async (x, y) => {
    if (!opponent) { $("better-note").textContent = "Choose an opponent to see where each is better."; return; }
    const board = await ask(`/opponents/${encodeURIComponent(opponent)}/stress`), row = c => board.calls.find(r => r.call === c.name), p = row(x), q = row(y);
    if (!p || !q) { $("better-note").textContent = "Turn both calls on to see where each is better against this opponent."; $("better").replaceChildren(); return; }
    $("better").replaceChildren(...board.concepts.map((k, i) => {
      const u = p.cells[i].stress, v = q.cells[i].stress, d = Math.round(100 * (v - u));
      return node("tr", {}, node("th", {}, `${k.concept}, ${k.set_name}`), node("td", { className: "n" }, k.plays), node("td", { className: "n" }, percent(u)), node("td", { className: "n" }, percent(v)), node("td", {}, d === 0 ? "alike" : `${d > 0 ? x.name : y.name} by ${Math.abs(d)}`));
    }));
  };
  const run = async () => {
    $("wrong").hidden = true;
    try {
      const [x, y] = await Promise.all([ask(`/calls/${a.value}`), ask(`/calls/${b.value}`)]);
      for (const [c, s] of [[x, "a"], [y, "b"]]) {
        for (const h of ["name-", "head-", "diff-"]) $(h + s).textContent = c.name;
        place($("field-" + s), await draw(c.body, $("look").value));
        const r = await play(c.body, $("look").value); $("found-" + s).textContent = r.findings[0] ? r.findings[0].sentence : "No conflict against this.";
      }
      differ(x.body, y.body);
      history.replaceState(null, "", `?a=${a.value}&b=${b.value}`);
      await better(x, y);
    } catch (p) { $("wrong").textContent = told(p); $("wrong").hidden = false; }
  };
  for (const s of [a, b, $("look")]) s.addEventListener("change", run);
  if (a.options.length) run();
})();
