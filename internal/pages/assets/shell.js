// The bar of every page: its menus close when they should, and a few letters find a
// call, a concept, an opponent, a game, a snap, a page or a situation: what the page of the
// box finds, shown below it.
"use strict";
(() => {
  const menus = document.querySelectorAll(".bar details");
  document.addEventListener("click", e => menus.forEach(d => { if (!d.contains(e.target)) d.open = false; }));
  document.addEventListener("keydown", e => { if (e.key === "Escape") menus.forEach(d => { if (d.open) { d.open = false; d.querySelector("summary").focus(); } }); });

  const box = document.querySelector(".find input[type=search]"), list = document.getElementById("found");
  if (!box) return;
  let of = ""; // what the list answers
  const show = (q, found) => {
    of = q;
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
  // One letter after the other asks once, when the hand rests.
  let rests;
  const look = () => { clearTimeout(rests); rests = setTimeout(ask, 120); };
  const ask = async () => {
    const q = box.value.trim();
    if (!q) return show(q, []);
    try {
      const r = await fetch(`${box.form.action}?q=${encodeURIComponent(q)}`);
      if (!r.ok) return;
      const page = new DOMParser().parseFromString(await r.text(), "text/html");
      if (q === box.value.trim()) show(q, [...page.querySelectorAll(".hits tr")].map(tr => ({ name: tr.querySelector("a").textContent, link: tr.querySelector("a").getAttribute("href"), kind: tr.cells[1].textContent })).slice(0, 9));
    } catch { /* no connection: Enter asks for the page */ }
  };
  box.addEventListener("input", look);
  box.addEventListener("keydown", e => {
    if (e.key === "ArrowDown" || e.key === "ArrowUp") { e.preventDefault(); pick(at0 + (e.key === "ArrowDown" ? 1 : -1)); }
    if (e.key === "Enter") { const a = list.querySelector("[aria-selected=true]"); if (a && !list.hidden && of === box.value.trim()) { e.preventDefault(); location.href = a.href; } }
    if (e.key === "Escape") show("", []);
  });
  box.addEventListener("blur", () => setTimeout(() => { list.hidden = true; box.setAttribute("aria-expanded", "false"); }, 200));
  document.addEventListener("keydown", e => {
    if (e.key === "/" && !/^(INPUT|SELECT|TEXTAREA)$/.test(document.activeElement.tagName)) { e.preventDefault(); box.focus(); }
  });
})();
