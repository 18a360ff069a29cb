// Settling a snap: the tagger who is right, tag by tag, goes to the API. A snap's tags that
// somebody changed meanwhile are said, never overwritten.
"use strict";
(() => {
  const { api, ask, told } = callkit, name = document.getElementById("analyst");
  if (name) {
    name.value = localStorage.getItem("overhang analyst") || "";
    name.addEventListener("change", () => localStorage.setItem("overhang analyst", name.value));
  }
  // A header holds bytes, and the API reads them as UTF-8.
  const analyst = () => name && name.value.trim() ? { Analyst: String.fromCharCode(...new TextEncoder().encode(name.value.trim())) } : {};
  const say = (form, role, text) => { const p = form.querySelector(`[role=${role}]`); p.textContent = text; p.hidden = !text; };
  const unsaid = form => [...form.querySelectorAll("fieldset")].find(f => !f.querySelector(":checked"));
  // link has the clip name the snap's tags, which were made by number.
  const link = async form => {
    const { clip, link } = form.dataset;
    if (!link) return;
    const { id, version, updated_at, ...now } = await ask(`/clips/${clip}`);
    await ask(`/clips/${clip}`, { method: "PUT", version, body: { ...now, play_id: link } });
    form.dataset.link = "";
  };
  const settle = async (form, ev) => {
    ev.preventDefault(); say(form, "alert", ""); say(form, "status", "");
    const open = unsaid(form);
    if (open) { say(form, "alert", `Choose one for ${open.querySelector("legend").textContent}.`); return open.querySelector("input").focus(); }
    const choices = {}, body = { choices }, { clip, version } = form.dataset, number = form.elements.number;
    for (const f of form.querySelectorAll("fieldset")) choices[f.dataset.field] = f.querySelector(":checked").value;
    if (number) {
      if (!/^[1-9]\d{0,2}$/.test(number.value.trim())) { say(form, "alert", "Snap is a number, 1 to 999."); return number.focus(); }
      body.number = Number(number.value);
    }
    const headers = { Accept: "application/json", "Content-Type": "application/json", ...analyst(), ...(version && { "If-Match": `"${version}"` }) }, button = form.querySelector("button");
    button.disabled = true;
    try {
      await link(form);
      const r = await fetch(`${api}/clips/${clip}/settle`, { method: "POST", headers, body: JSON.stringify(body) }), answer = await r.json();
      if (r.status === 412 || r.status === 428) return say(form, "alert", "Someone else changed this snap's tags since you opened the page. Nothing was saved: reload to see them.");
      if (!r.ok) return say(form, "alert", "Not saved. " + told({ problem: answer, message: answer.detail || answer.title }) + ".");
      form.dataset.version = answer.version;
      for (const p of form.querySelectorAll("fieldset .note")) p.remove();
      form.querySelector("h3 small").textContent = "has tags"; button.textContent = "Replace its tags";
      say(form, "status", `Saved as snap ${answer.number}.`);
    } catch (e) { say(form, "alert", e.problem ? "Not saved. " + told(e) + "." : "The server does not answer. Your choices are still here: try again in a moment."); } finally { button.disabled = false; button.focus(); }
  };
  for (const form of document.querySelectorAll("form.differ")) { form.noValidate = true; form.addEventListener("submit", ev => settle(form, ev)); }
})();
