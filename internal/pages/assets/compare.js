// Two calls, or two versions of one: drawn against one look, where each is better against
// this opponent, and what differs man by man. Both are played as they stand, on or off.
"use strict";
(() => {
  const { ask, draw, play, place, node, told, opponent, points } = callkit, $ = id => document.getElementById(id);
  const said = new URLSearchParams(location.search), a = $("a"), b = $("b");
  // A version is chosen by its address; the lists name the calls as they are now.
  const choose = (select, value, other) => {
    if (!value) { select.selectedIndex = other === undefined ? 0 : Math.min(select.options.length - 1, (other + 1) % Math.max(1, select.options.length)); return; }
    const [id, version] = value.split("@"), option = [...select.options].find(o => o.value === id);
    if (version && option) select.append(node("option", { value }, `${option.textContent}, version ${version}`));
    select.value = value;
  };
  choose(a, said.get("a")); choose(b, said.get("b"), a.selectedIndex);
  const read = async value => {
    const [id, version] = value.split("@");
    if (!version) return ask(`/calls/${id}`);
    const { items } = await ask(`/calls/${id}/versions?limit=1&cursor=${Number(version) + 1}`);
    return { ...items[0], name: `${items[0].name}, version ${version}` };
  };
  let axis = [-0.3, 0.5];
  const at = x => 6 + 148 * Math.max(0, Math.min(1, (x - axis[0]) / (axis[1] - axis[0])));
  // Both on one line: a square for the first, a dot for the second.
  const pair = (p, q, text) => {
    const svg = fieldkit.svgNode("svg", { class: "interval pair", viewBox: "0 0 160 18", width: 160, height: 18, role: "img", "aria-label": text });
    svg.append(fieldkit.svgNode("path", { class: "axis", d: `M${at(0)} 0V18` }), fieldkit.svgNode("path", { class: "whisker", d: `M${at(p)} 9H${at(q)}` }), fieldkit.svgNode("rect", { class: "first", x: at(p) - 4, y: 5, width: 8, height: 8 }), fieldkit.svgNode("circle", { class: "second", cx: at(q), cy: 9, r: 4.6 }));
    return svg;
  };
  const better = async (x, y) => {
    $("better").replaceChildren();
    if (!opponent) { $("better-note").textContent = "Choose an opponent above to see where each is better."; return; }
    const { items } = await ask(`/opponents/${encodeURIComponent(opponent)}/concepts`), k = items[0];
    if (!k) { $("better-note").textContent = "No concept of this opponent has routes tagged yet."; return; }
    const all = c => ask(`/opponents/${encodeURIComponent(opponent)}/try`, { method: "POST", body: { call: c.body, concept: k.concept, set_name: k.set_name, family: k.family, everything: true } });
    const [p, q] = await Promise.all([all(x), all(y)]), rows = p.everything.map((r, i) => ({ ...r, a: r.gives_up_points, b: q.everything[i].gives_up_points }));
    axis = [Math.min(-0.1, ...rows.map(r => Math.min(r.a, r.b))), Math.max(0.1, ...rows.map(r => Math.max(r.a, r.b)))];
    const small = 0.005, first = rows.filter(r => r.b - r.a > small), second = rows.filter(r => r.a - r.b > small), plays = l => l.reduce((n, r) => n + r.plays, 0), of = plays(rows);
    $("better-said").textContent = `${x.name} is better on ${first.length} of ${rows.length} (${plays(first)} of ${of} plays), ${y.name} on ${second.length} (${plays(second)} plays). Over everything: ${x.name} ${points(p.all.gives_up_points)}, ${y.name} ${points(q.all.gives_up_points)} points a snap.`;
    $("better").replaceChildren(...rows.sort((r, s) => Math.abs(s.a - s.b) * s.plays - Math.abs(r.a - r.b) * r.plays).map(r => {
      const d = r.b - r.a, who = Math.abs(d) <= small ? "alike" : d > 0 ? x.name : y.name;
      return node("tr", {}, node("th", {}, r.concept, node("small", {}, ` ${r.set_name}`)), node("td", { className: "n" }, r.plays), node("td", { className: "n" }, points(r.a)), node("td", { className: "n" }, points(r.b)), node("td", {}, pair(r.a, r.b, `${x.name} ${points(r.a)}, ${y.name} ${points(r.b)}`)), node("td", {}, who, ...(who === "alike" ? [] : [node("small", {}, ` by ${Math.abs(d).toFixed(2)}`)])));
    }));
  };
  const run = async () => {
    $("wrong").hidden = true;
    try {
      const [x, y] = await Promise.all([read(a.value), read(b.value)]);
      for (const [c, s] of [[x, "a"], [y, "b"]]) {
        for (const h of ["name-", "head-", "diff-"]) $(h + s).textContent = c.name;
        $("off-" + s).hidden = c.active;
        place($("field-" + s), await draw(c.body, $("look").value));
        const r = await play(c.body, $("look").value); $("found-" + s).textContent = r.findings[0] ? r.findings[0].sentence : "No conflict against this.";
      }
      calldiff.body($("diff"), x.body, y.body, "Nothing: the men line up and read alike.");
      history.replaceState(null, "", `?a=${a.value}&b=${b.value}`);
      await better(x, y);
    } catch (p) { $("wrong").textContent = told(p); $("wrong").hidden = false; }
  };
  for (const s of [a, b, $("look")]) s.addEventListener("change", run);
  if (a.options.length) run();
})();
