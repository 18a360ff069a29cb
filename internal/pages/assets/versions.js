// The versions of a call: what each changed, drawn, and brought back.
"use strict";
(async () => {
  const { ask, draw, place, inTurn, node, told } = callkit, $ = id => document.getElementById(id);
  const page = $("versions"), { id, may } = page.dataset, home = document.body.dataset.program, wrong = p => { $("wrong").textContent = told(p); $("wrong").hidden = false; };
  const back = v => {
    const b = node("button", { type: "button" }, "Bring this one back");
    b.setAttribute("aria-label", `Bring version ${v.version} back`);
    b.addEventListener("click", async () => { try { const now = await ask(`/calls/${id}`); await ask(`/calls/${id}`, { method: "PUT", version: now.version, body: { name: v.name, active: v.active, body: v.body } }); location.reload(); } catch (p) { wrong(p); } });
    return b;
  };
  const said = (v, before) => {
    if (!before) return node("p", { className: "quiet" }, v.version === 1 ? "The first." : "The oldest one kept.");
    const parts = v.active !== before.active ? [node("p", {}, v.active ? "Turned on." : "Turned off.")] : [], table = node("tbody");
    if (!calldiff.body(table, before.body, v.body, "")) return parts.length ? parts[0] : node("p", { className: "quiet" }, "Saved without a change.");
    const head = node("thead", {}, node("tr", {}, node("th", {}, "Who"), node("th", {}, "Before"), node("th", {}, "Since"))), wide = node("div", { className: "wide", tabIndex: 0 }, node("table", { className: "stack" }, head, table));
    return node("div", {}, ...parts, wide);
  };
  try {
    const { items } = await ask(`/calls/${id}/versions?limit=100`), drawn = [];
    page.replaceChildren(...items.map((v, i) => {
      const fig = node("figure", { className: "thumb loading" }), when = new Date(v.at).toLocaleString("en-US", { dateStyle: "medium", timeStyle: "short", ...(document.body.dataset.zone ? { timeZone: document.body.dataset.zone } : {}) });
      drawn.push([fig, v]);
      return node("li", {}, node("div", {}, node("h2", {}, `Version ${v.version}${i ? "" : ", now"}`), node("p", { className: "quiet" }, `${when}${v.who ? `, ${v.who}` : ""}`), fig, node("p", { className: "row" }, ...(i ? [node("a", { className: "button plain", href: `${home}/calls/compare?a=${id}@${v.version}&b=${id}` }, "Beside now"), ...(may === "true" ? [back(v)] : [])] : []))), node("div", {}, said(v, items[i + 1])));
    }));
    await inTurn(drawn, async ([fig, v]) => { try { place(fig, await draw(v.body, $("look").value, { width: 90 })); } catch { fig.remove(); } });
    $("look").addEventListener("change", () => inTurn(drawn, async ([fig, v]) => place(fig, await draw(v.body, $("look").value, { width: 90 }))));
  } catch (p) { wrong(p); }
})();
