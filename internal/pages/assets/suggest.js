// Words of the rules under the line they are typed in, each with what it tells a player.
// What is typed after "and", "or", "not" or ";" is completed by itself.
"use strict";
const suggest = (() => {
  const { node } = callkit;
  const wordsOf = id => [...document.getElementById(id).options].map(o => ({ word: o.value, said: o.label === o.value ? "" : o.label }));
  const most = 8;
  let number = 0;
  // fragment is the part of a line that the hand is at: where it begins and what it says.
  const fragment = (text, cut) => {
    const m = cut && [...text.matchAll(cut)].pop();
    const at = m ? m.index + m[0].length : 0;
    return { at, typed: text.slice(at).toLowerCase().replace(/^\s+/, "") };
  };
  const rank = (w, typed) => {
    if (w.word.startsWith(typed)) return 0;
    const parts = typed.split(/\s+/), text = `${w.word} ${w.said}`.toLowerCase();
    return parts.every(p => text.includes(p)) ? 1 : -1;
  };
  const matching = (words, typed) => {
    const ranked = words.map(w => [rank(w, typed), w]).filter(([r]) => r >= 0).sort((a, b) => a[0] - b[0]).map(([, w]) => w);
    return ranked.length === 1 && ranked[0].word === typed ? [] : ranked.slice(0, most);
  };
  // to gives a line its words; took is told when one was chosen.
  const to = (input, words, cut, took) => {
    const list = node("ul", { className: "fitting", role: "listbox", id: `words-${++number}`, hidden: true });
    list.setAttribute("aria-label", "Words that fit here");
    for (const [k, v] of Object.entries({ role: "combobox", "aria-autocomplete": "list", "aria-expanded": "false", "aria-controls": list.id, autocomplete: "off" })) input.setAttribute(k, v);
    let at = -1;
    const mark = i => { at = i; [...list.children].forEach((e, k) => e.setAttribute("aria-selected", String(k === i))); if (i >= 0) input.setAttribute("aria-activedescendant", list.children[i].id); else input.removeAttribute("aria-activedescendant"); };
    const close = () => { list.hidden = true; input.setAttribute("aria-expanded", "false"); mark(-1); };
    const choose = w => { const f = fragment(input.value, cut); input.value = input.value.slice(0, f.at) + w.word; close(); took(); };
    const open = () => {
      if (document.activeElement !== input) return;
      const found = matching(words(), fragment(input.value, cut).typed);
      list.replaceChildren(...found.map((w, i) => {
        const e = node("li", { role: "option", id: `${list.id}-${i}` }, node("strong", {}, w.word), ...(w.said ? [node("small", {}, w.said)] : []));
        e.addEventListener("pointerdown", ev => { ev.preventDefault(); choose(w); });
        return e;
      }));
      list.hidden = !found.length; input.setAttribute("aria-expanded", String(found.length > 0)); mark(-1);
    };
    input.addEventListener("input", open);
    input.addEventListener("focus", () => { if (!input.value) open(); });
    input.addEventListener("blur", close);
    input.addEventListener("keydown", ev => {
      const n = list.children.length;
      if (list.hidden && ev.key === "ArrowDown") { open(); ev.preventDefault(); return; }
      if (list.hidden) return;
      if (ev.key === "ArrowDown" || ev.key === "ArrowUp") { ev.preventDefault(); mark(ev.key === "ArrowDown" ? (at + 1) % n : at <= 0 ? n - 1 : at - 1); }
      else if (ev.key === "Enter" && at >= 0) { ev.preventDefault(); list.children[at].dispatchEvent(new PointerEvent("pointerdown", { cancelable: true })); }
      else if (ev.key === "Escape") { ev.preventDefault(); close(); }
    });
    return node("span", { className: "suggested" }, input, list);
  };
  return { to, wordsOf };
})();
