// What the pages of calls share: asking the public API, and a call drawn against a look.
"use strict";
const callkit = (() => {
  const { api, opponent, names } = document.body.dataset, said = names ? { position_names: JSON.parse(names) } : {};
  class Problem extends Error { constructor(p, status) { super(p.detail || p.title || "no answer"); this.problem = p; this.status = status; } }
  const ask = async (path, { method = "GET", body, version, signal, accept = "application/json" } = {}) => {
    const headers = { Accept: accept };
    if (body) headers["Content-Type"] = "application/json";
    if (version) headers["If-Match"] = `"${version}"`;
    const r = await fetch(path.startsWith("/v1") ? path : api + path, { method, headers, signal, body: body && JSON.stringify(body) });
    if (!r.ok) throw new Problem(await r.json().catch(() => ({})), r.status);
    return accept.startsWith("image") ? r.text() : r.status === 204 ? {} : r.json();
  };
  // A look is "set|family|routes|run", as the page's choices have it.
  const lookOf = value => { const [set_name, family, picture, concept] = value.split("|"); return { set_name, family, picture, ...(concept ? { concept } : {}) }; };
  const question = (call, look, more) => ({ call, ...lookOf(look), ...said, ...more });
  const draw = (call, look, { show = "call", width = 120, signal, more } = {}) =>
    ask(`/v1/drawing?show=${show}&caption=false&width_mm=${width}`, { method: "POST", body: question(call, look, more), signal, accept: "image/svg+xml" });
  const play = (call, look, { signal, more } = {}) => ask("/v1/stress", { method: "POST", body: question(call, look, more), signal });
  // The server's own drawing, put in as markup: it holds no script, and the page's policy runs none.
  const place = (figure, svg) => {
    const doc = new DOMParser().parseFromString(svg, "image/svg+xml");
    figure.classList.remove("loading"); figure.replaceChildren(document.importNode(doc.documentElement, true));
  };
  // One after the other: the server's lanes are for everybody.
  const inTurn = async (things, work, at = 3) => { const rest = [...things]; await Promise.all(Array.from({ length: at }, async () => { while (rest.length) await work(rest.shift()); })); };
  // points are points a snap with their sign, nothing without one.
  const points = x => Math.abs(x) < 0.005 ? "0.00" : (x < 0 ? "\u2212" : "+") + Math.abs(x).toFixed(2);
  const percent = f => `${Math.round(100 * f)}%`;
  const node = (tag, props = {}, ...kids) => { const e = document.createElement(tag); for (const [k, v] of Object.entries(props)) if (k in e) e[k] = v; else e.setAttribute(k, v); e.append(...kids); return e; };
  const told = p => [p.problem?.errors?.map(e => e.message).join("; ") || p.message].join("").replace(/^./, c => c.toUpperCase());
  return { api, opponent, ask, draw, play, place, inTurn, percent, points, node, told, lookOf };
})();
