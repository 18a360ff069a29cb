// What differs between two calls, man by man and line by line, as a coach reads it.
"use strict";
const calldiff = (() => {
  const { node } = callkit;
  const yards = (x, way, back) => x === 0 || !x ? "on" : `${Math.abs(x)} ${x > 0 ? way : back}`;
  const place = a => `${a.when ? `when ${a.when}: ` : ""}${a.on === "ball" && !a.offset_yd ? "over the ball" : `${yards(a.offset_yd, "outside", "inside")} ${a.on}`}, ${a.depth_yd} deep${a.technique ? `, ${a.technique}` : ""}`;
  const lines = d => d ? [...d.align.map(place), ...d.rules.map(r => r.when === "else" ? `else ${r.then}` : `when ${r.when}: ${r.then}`), ...(d.keys ? [`reads ${d.keys.join(", ")}`] : []), ...(d.fit ? [`run: ${d.fit}`] : [])] : [];
  const key = d => d.side === "both" ? `${d.name}, both sides` : d.name;
  const men = (x, y, head) => {
    const names = [...new Set([...x, ...y].map(key))], of = (l, n) => l.find(d => key(d) === n);
    return names.map(n => ({ who: head + n, was: lines(of(x, n)), is: lines(of(y, n)), gone: !of(y, n), made: !of(x, n) })).filter(r => r.was.join("\n") !== r.is.join("\n"));
  };
  const checks = (x, y) => {
    const names = [...new Set([...(x.checks || []), ...(y.checks || [])].map(c => c.name))], of = (v, n) => (v.checks || []).find(c => c.name === n);
    return names.flatMap(n => {
      const p = of(x, n), q = of(y, n), when = c => c ? [`when ${c.when}`] : [], head = `check ${n}`;
      return [...(when(p).join() === when(q).join() ? [] : [{ who: head, was: when(p), is: when(q), gone: !q, made: !p }]), ...men(p?.defenders || [], q?.defenders || [], `${head}: `)];
    });
  };
  const whole = (x, y) => [["name", "name"], ["title", "in a few words"], ["under_yd", "under, yards"], ["vertical_yd", "vertical from, yards"]].filter(([k]) => (x[k] ?? "") !== (y[k] ?? "")).map(([k, who]) => ({ who, was: x[k] === undefined ? [] : [String(x[k])], is: y[k] === undefined ? [] : [String(y[k])] }));
  const rows = (x, y) => [...whole(x, y), ...men(x.defenders, y.defenders, ""), ...checks(x, y)];
  const list = (mine, theirs, none) => { const only = mine.filter(l => !theirs.includes(l)); return only.length ? node("ul", { className: "lines" }, ...only.map(l => node("li", {}, l))) : node("span", { className: "quiet" }, none); };
  // body fills a table's body with what differs.
  const body = (into, x, y, alike) => {
    const found = rows(x, y);
    into.replaceChildren(...(found.length ? found.map(r => node("tr", {}, node("th", {}, r.who), node("td", {}, list(r.was, r.is, r.made ? "not in it" : "no such line")), node("td", {}, list(r.is, r.was, r.gone ? "not in it" : "no such line")))) : [node("tr", {}, node("td", { colSpan: 3 }, alike))]));
    return found.length;
  };
  return { rows, body };
})();
