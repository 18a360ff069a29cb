// The film of a list of snaps: each row with a clip gets a button to watch it, and all of
// them play one after the other, by half speed, frame by frame, from the next angle.
"use strict";
(async () => {
  const { ask, node } = callkit, $ = id => document.getElementById(id), reel = $("reel");
  if (!reel) return;
  const video = $("video"), rows = [...document.querySelectorAll("tr[data-play]")], api = document.body.dataset.api;
  const all = async path => { const out = []; for (let cursor = ""; cursor !== undefined;) { const a = await ask(`${path}&limit=500${cursor && `&cursor=${cursor}`}`); out.push(...a.items); cursor = a.next_cursor; } return out; };
  const clips = new Map(), add = (key, c) => clips.set(key, [...(clips.get(key) || []), c]);
  const games = [...new Set(rows.map(r => r.dataset.game))];
  try {
    await callkit.inTurn(games, async g => {
      for (const f of await all(`/films?game_id=${g}`)) for (const c of await all(`/clips?film_id=${f.id}`)) add(c.play_id || `${g} ${c.number}`, { src: f.location.includes("://") ? f.location : `${api}/films/${f.id}/video`, from: c.start_s, to: c.end_s, angle: c.angle || f.angle || "" });
    });
  } catch { return; } // without the clips the list is still the list
  const clipsOf = r => [...(clips.get(r.dataset.play) || []), ...(clips.get(`${r.dataset.game} ${r.dataset.number}`) || [])];
  const shown = rows.filter(r => clipsOf(r).length);
  $("reel-none").hidden = !!shown.length; $("all").hidden = !shown.length;
  // A film that still loads is paused to the browser; what counts is what the viewer asked for.
  let at = -1, angle = 0, through = false, failed = 0, runs = false;
  const say = text => { $("at").textContent = text; };
  const play = (i, on = through) => {
    if (i < 0 || i >= shown.length) { through = false; buttons(); return; }
    at = i; through = on; runs = true;
    const cs = clipsOf(shown[i]), c = cs[angle % cs.length];
    for (const r of rows) r.removeAttribute("aria-current");
    shown[i].setAttribute("aria-current", "true"); reel.hidden = false;
    say(`${i + 1} of ${shown.length}: ${shown[i].dataset.said}${cs.length > 1 ? `, angle ${angle % cs.length + 1} of ${cs.length}${c.angle ? ` (${c.angle})` : ""}` : ""}`);
    const run = () => { video.currentTime = c.from; video.playbackRate = rate(); if (runs) video.play().catch(() => {}); };
    if (video.dataset.src !== c.src) video.src = video.dataset.src = c.src;
    if (video.readyState > 0) run(); else video.addEventListener("loadedmetadata", run, { once: true });
    buttons();
  };
  const pressed = id => $(id).getAttribute("aria-pressed") === "true", rate = () => pressed("slow") ? 0.5 : 1;
  const buttons = () => { $("pause").textContent = runs ? "Pause" : "Play"; $("before").disabled = at <= 0; $("after").disabled = at >= shown.length - 1; };
  const now = () => { const cs = clipsOf(shown[at]); return cs[angle % cs.length]; };
  const flip = id => { $(id).setAttribute("aria-pressed", String(!pressed(id))); };
  for (const ev of ["play", "pause"]) video.addEventListener(ev, () => { if (video.readyState > 0) runs = !video.paused; buttons(); });
  const stop = () => { runs = false; video.pause(); buttons(); };
  video.addEventListener("timeupdate", () => {
    if (at < 0 || video.paused || video.currentTime < now().to) return;
    failed = 0;
    if (pressed("loop")) video.currentTime = now().from; else if (through && at < shown.length - 1) play(at + 1); else { through = false; stop(); }
  });
  video.addEventListener("error", () => {
    delete video.dataset.src;
    if (through && ++failed < 3 && at < shown.length - 1) { play(at + 1); return; }
    through = runs = false; say(`${at + 1} of ${shown.length}: can't play this film. The file is missing or its format isn't supported.`); buttons();
  });
  const step = by => { if (at < 0) return; stop(); video.currentTime = Math.max(now().from, Math.min(now().to, video.currentTime + by)); };
  const does = {
    pause: () => { if (runs) stop(); else if (!video.dataset.src || video.currentTime >= now().to) play(at); else { runs = true; video.play().catch(() => {}); } },
    slow: () => { flip("slow"); video.playbackRate = rate(); }, loop: () => flip("loop"), back: () => step(-1 / 30), on: () => step(1 / 30),
    before: () => play(at - 1), after: () => play(at + 1), angle: () => { angle++; play(at); },
  };
  for (const id of Object.keys(does)) $(id).addEventListener("click", does[id]);
  const keys = { " ": "pause", ",": "back", ".": "on", ArrowLeft: "before", ArrowRight: "after", a: "angle", s: "slow", l: "loop" };
  addEventListener("keydown", ev => { if (at < 0 || ev.ctrlKey || ev.altKey || ev.metaKey || ev.target.closest("input, select, textarea, summary, a") || ev.key === " " && ev.target.closest("button") || !keys[ev.key]) return; ev.preventDefault(); $(keys[ev.key]).click(); });
  $("all").addEventListener("click", () => { play(0, true); reel.scrollIntoView({ block: "nearest" }); });
  shown.forEach((r, i) => {
    const b = node("button", { type: "button" }, "Watch");
    b.setAttribute("aria-label", `Watch ${r.dataset.said}`); b.addEventListener("click", () => { play(i, false); reel.scrollIntoView({ block: "nearest" }); });
    r.querySelector("td:last-child").prepend(b, " ");
  });
  document.body.dataset.reel = String(shown.length);
})();
