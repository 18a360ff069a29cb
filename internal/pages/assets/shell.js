// The bar of every page: its menus close when they should, and a few letters find a
// call, a concept, an opponent, a game, a snap or a page. It asks the public API once,
// when the box is first used.
"use strict";
(() => {
  const menus = document.querySelectorAll(".bar details");
  document.addEventListener("click", e => menus.forEach(d => { if (!d.contains(e.target)) d.open = false; }));
  document.addEventListener("keydown", e => { if (e.key === "Escape") menus.forEach(d => { if (d.open) { d.open = false; d.querySelector("summary").focus(); } }); });

  const box = document.querySelector(".find input[type=search]"), list = document.getElementById("found");
  if (!box) return;
  const api = document.body.dataset.api, home = document.body.dataset.program, opponent = document.body.dataset.opponent;
  const at = p => opponent ? `${home}/opponents/${encodeURIComponent(opponent)}${p}` : home;
  let all, bands = [], zones = [];

  const items = async (path, query) => {
    const r = await fetch(`${api}/${path}?limit=500${query || ""}`, { headers: { Accept: "application/json" } });
    return r.ok ? (await r.json()).items : [];
  };
  const gather = async () => {
    const cuts = fetch(api, { headers: { Accept: "application/json" } }).then(r => r.json()).then(p => { bands = p.settings.distance_bands; zones = p.settings.field_zones; });
    const pages = [...document.querySelectorAll(".steps a, .me .drop a")].map(a => ({ name: a.textContent, kind: "page", link: a.getAttribute("href") }));
    const [, calls, words, opponents, games] = await Promise.all([cuts, items("calls"), items("words", "&field=concept"), items("opponents"), items("games")]);
    return pages.concat(
      opponents.map(o => ({ name: o.name, kind: "opponent", link: `${home}/opponents/${encodeURIComponent(o.code)}` })),
      calls.map(c => ({ name: c.name, kind: "call", link: `${home}/calls/${c.id}` })),
      words.filter(w => !w.alias_of).map(w => ({ name: w.word, kind: "concept", link: at(`/tendencies?by=down,distance_band&concept=${encodeURIComponent(w.word)}`) })),
      games.map(g => ({ name: g.label, kind: "game", link: `${home}/games/${g.id}`, id: g.id, of: g.opponent_id })));
  };
  // "3rd and 6 red zone" is a situation: the board of it, and its snaps.
  const situation = q => {
    const m = q.toLowerCase().match(/^([1-4])(?:st|nd|rd|th)?\s*(?:and|&)\s*(\d{1,2}|g(?:oal)?)\b\s*(?:,|in|on|at)?\s*(?:the\s+)?(.*)$/);
    if (!m || !opponent) return [];
    const yards = /^\d/.test(m[2]) ? Number(m[2]) : 0, band = bands.find(b => yards >= b.from_yd && (!b.to_yd || yards <= b.to_yd)), said = m[3].replace(/\s*(zone|line)$/, "");
    const zone = said ? zones.find(z => z.name.toLowerCase().startsWith(said)) : yards ? null : zones.find(z => z.from_yd <= 1);
    const ask = new URLSearchParams({ down: m[1], ...(band && { distance_band: band.name }), ...(zone && { field_zone: zone.name }) });
    const name = `${["1st", "2nd", "3rd", "4th"][m[1] - 1]} and ${yards ? band ? band.name : yards : "goal"}${zone ? ", " + zone.name.toLowerCase() : ""}`;
    return [{ name: `What to call, ${name}`, kind: "board", link: at(`/board?${ask}`) }, { name: `Every snap, ${name}`, kind: "snaps", link: at(`/snaps?${ask}`) }];
  };
  // "12" is a snap of every game, newest first; words match from their beginning first.
  const match = q => {
    const snap = q.match(/^#?(\d+)$/);
    const here = situation(q);
    if (here.length) return here;
    if (snap) return all.filter(x => x.kind === "game").reverse().slice(0, 6).map(g => ({ name: `Snap ${snap[1]}, ${g.name}`, kind: "snap", link: `${g.link}/tag#${snap[1]}` }));
    const low = q.toLowerCase(), rank = x => { const n = x.name.toLowerCase(); return n.startsWith(low) ? 0 : n.includes(" " + low) ? 1 : n.includes(low) ? 2 : 9; };
    return all.filter(x => rank(x) < 9).sort((a, b) => rank(a) - rank(b)).slice(0, 9);
  };
  const show = found => {
    list.replaceChildren(...found.map((x, i) => {
      const li = document.createElement("li"), a = document.createElement("a"), kind = document.createElement("small");
      li.role = "presentation"; a.href = x.link; a.id = `found-${i}`; a.role = "option"; a.tabIndex = -1; a.append(x.name); kind.append(x.kind); a.append(kind); li.append(a); return li;
    }));
    list.hidden = !found.length; box.setAttribute("aria-expanded", String(!list.hidden)); pick(0);
  };
  let at0 = 0;
  const pick = i => {
    const as = [...list.querySelectorAll("a")]; at0 = as.length ? (i + as.length) % as.length : 0;
    as.forEach((a, k) => a.setAttribute("aria-selected", String(k === at0)));
    if (as.length) box.setAttribute("aria-activedescendant", as[at0].id); else box.removeAttribute("aria-activedescendant");
  };
  const look = async () => {
    const q = box.value.trim();
    if (!q) return show([]);
    try { all = all || await gather(); } catch { return; }
    if (q === box.value.trim()) show(match(q));
  };
  box.addEventListener("input", look);
  box.addEventListener("keydown", e => {
    if (e.key === "ArrowDown" || e.key === "ArrowUp") { e.preventDefault(); pick(at0 + (e.key === "ArrowDown" ? 1 : -1)); }
    if (e.key === "Enter") { const a = list.querySelector("[aria-selected=true]"); if (a && !list.hidden) { e.preventDefault(); location.href = a.href; } }
    if (e.key === "Escape") show([]);
  });
  box.addEventListener("blur", () => setTimeout(() => { list.hidden = true; box.setAttribute("aria-expanded", "false"); }, 200));
  document.addEventListener("keydown", e => {
    if (e.key === "/" && !/^(INPUT|SELECT|TEXTAREA)$/.test(document.activeElement.tagName)) { e.preventDefault(); box.focus(); }
  });
})();
