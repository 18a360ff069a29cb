// Forms that say where they go (data-send, data-path) are sent to the public API as a
// person sees them: what is wrong stands beside its field, nothing typed is lost, and a
// version somebody else changed meanwhile is said, never overwritten.
"use strict";
(() => {
  const api = document.body.dataset.api;
  const valueOf = f => {
    const v = f.value.trim();
    switch (f.dataset.kind) {
      case "truth": return f.checked;
      case "number": return v === "" ? undefined : Number(v);
      default: return v === "" ? undefined : v;
    }
  };
  // "settings.bands.0.name" becomes members and lists; an entry of a list without a name is left out.
  const put = (into, path, v) => {
    const parts = path.split("."), last = parts.pop();
    let at = into;
    parts.forEach((p, i) => { at = at[p] = at[p] || (/^\d+$/.test(parts[i + 1] ?? last) ? [] : {}); });
    if (v !== undefined) at[last] = v;
  };
  const tidy = v => {
    if (Array.isArray(v)) return v.filter(x => x !== undefined && (typeof x !== "object" || x.name !== undefined)).map(tidy);
    if (v && typeof v === "object") for (const k of Object.keys(v)) v[k] = tidy(v[k]);
    return v;
  };
  const read = form => {
    const out = {};
    for (const f of form.elements) if (f.name && f.dataset.kind !== "sure") put(out, f.name, valueOf(f));
    return tidy(out);
  };
  const clear = form => { for (const f of form.elements) f.removeAttribute("aria-invalid"); for (const e of form.querySelectorAll(".field-wrong")) e.remove(); const w = form.querySelector("[role=alert]"); if (w) { w.hidden = true; w.textContent = ""; } };
  const say = (form, text) => { const w = form.querySelector("[role=alert]"); w.textContent = text; w.hidden = false; };
  const capital = s => s.charAt(0).toUpperCase() + s.slice(1);
  const mark = (form, errors) => {
    let first;
    for (const e of errors) {
      const field = [...form.elements].find(f => f.name && (f.name === e.field || e.field.endsWith("." + f.name) || f.name.endsWith(e.field)));
      if (!field) continue;
      field.setAttribute("aria-invalid", "true"); first = first || field;
      const p = document.createElement("p"); p.className = "wrong field-wrong"; p.id = field.name + "-wrong"; p.textContent = plain(e.message); field.setAttribute("aria-describedby", p.id);
      const label = field.closest("label"); if (label?.closest(".row")) label.append(p); else (label || field).after(p);
    }
    if (first) first.focus();
    return !!first;
  };
  // plain says what the document says of a value as a person would.
  const plain = m => /^is taken/.test(m) ? "This one is taken. Choose another." : capital(m.replace(/^number must be (at (?:most|least) \S+)/, "$1")) + ".";
  const send = async (form, ev) => {
    ev.preventDefault(); clear(form);
    const odd = [...form.elements].filter(f => f.dataset.kind === "number" && Number.isNaN(Number(f.value.trim())));
    if (odd.length) { mark(form, odd.map(f => ({ field: f.name, message: "type a number" }))); return say(form, "Not saved. Fix the marked fields."); }
    const { send: method, path, version, to } = form.dataset, button = form.querySelector("button:not([type=button])");
    const headers = { Accept: "application/json" }, body = method === "DELETE" ? undefined : JSON.stringify(read(form));
    if (body) headers["Content-Type"] = "application/json";
    if (version) headers["If-Match"] = `"${version}"`;
    if (method === "POST") { form.dataset.key = form.dataset.key || crypto.randomUUID(); headers["Idempotency-Key"] = `"${form.dataset.key}"`; }
    if (path === "/merges") delete headers["Idempotency-Key"];
    button.disabled = true;
    try {
      const r = await fetch(api + path, { method, headers, body }), answer = r.status === 204 ? {} : await r.json();
      if (r.ok) { location.href = to.replace(/\{(\w+)\}/g, (_, k) => encodeURIComponent(answer[k])); return; }
      delete form.dataset.key;
      if (r.status === 412) return say(form, "Someone else changed this since you opened it. Reload to see it; what you typed is still here.");
      const marked = mark(form, answer.errors || []);
      say(form, marked ? "Not saved. Fix the marked fields." : "Not saved. " + capital([answer.detail, ...(answer.errors || []).map(e => `${e.field.replaceAll("_", " ")}: ${e.message}`)].filter(Boolean).join(". ")) + ".");
    } catch { say(form, "The server does not answer. Nothing is lost: try again in a moment."); } finally { button.disabled = false; }
  };
  for (const form of document.querySelectorAll("form[data-send]")) form.addEventListener("submit", ev => send(form, ev));
  for (const f of document.querySelectorAll("[data-from]")) { // the short name follows the name until somebody types one
    const from = f.form.elements[f.dataset.from]; let own = f.value !== "";
    f.addEventListener("input", () => { own = true; });
    from.addEventListener("input", () => { if (!own) f.value = from.value.toLowerCase().normalize("NFD").replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 40); });
  }
})();
