// The quiz on a phone: a set and its routes, whose man is whose, and the rule that says why.
// An answer is put on the phone's shelf before it is sent, and sent again until it arrived: the
// first one of a number counts, so a repeat changes nothing. So is how far the quiz went: a
// phone that dies goes on where it was.
"use strict";
(async () => {
  const quiz = document.getElementById("quiz"), who = document.getElementById("who");
  if (!who) return;
  const $ = id => document.getElementById(id), asked = [...quiz.querySelectorAll("article.asked")], key = quiz.dataset.key, shelf = window.shelf(`overhang quiz ${key.slice(-8)} `), kept = await shelf.all(), of = asked.map(a => a.dataset.id).join();
  let jersey = "", right = 0, missed = [], queue = kept.get("queue") || [], far = kept.get("far"), busy = false;
  const put = (name, v) => { try { shelf.put(name, v); } catch { /* no room: kept while the page stays open */ } };
  const keep = () => {
    put("queue", queue);
    $("kept").hidden = !queue.length; $("kept").textContent = queue.length === 1 ? "1 answer waiting to send" : `${queue.length} answers waiting to send`; quiz.dataset.waiting = String(queue.length);
  };
  const send = async () => {
    if (busy) return;
    busy = true;
    while (queue.length) {
      let status = 0;
      try { status = (await fetch("/v1/packet/answers", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ key, ...queue[0] }), signal: AbortSignal.timeout(8000) })).status; } catch { /* no connection */ }
      if (status === 0 || status === 429 || status >= 500) { setTimeout(send, 4000); break; }
      queue.shift(); keep(); // arrived, or will never be taken: the link ended, the question changed
    }
    busy = false;
  };
  const show = at => { for (const a of quiz.querySelectorAll(".asked")) a.hidden = a !== at; at.focus({ preventScroll: true }); at.scrollIntoView({ block: "start" }); };
  const names = (a, own) => own.length ? own.map(i => a.querySelectorAll(".taps button")[i].textContent).join(" and ") : "nobody";
  const judge = (a, receiver) => {
    if (a.dataset.done) return;
    a.dataset.done = "yes";
    const own = JSON.parse(a.dataset.own), fits = own.length ? own.includes(receiver) : receiver === -1, back = a.querySelector(".because");
    for (const b of a.querySelectorAll(".taps button")) { b.disabled = true; b.setAttribute("aria-pressed", String(Number(b.value) === receiver)); }
    back.querySelector(".say").textContent = fits ? `Right: ${names(a, own)}.` : `No: you have ${names(a, own)}.`; back.dataset.fits = String(fits);
    back.hidden = false; back.querySelector(".next").focus({ preventScroll: true }); back.scrollIntoView({ block: "nearest" });
    if (fits) right++; else missed.push(a.querySelector("h3").textContent.replace(" Who do you have?", ""));
    queue.push({ question: a.dataset.id, jersey, receiver }); far = { of, jersey, right, missed, next: asked.indexOf(a) + 1 }; put("far", far); keep(); send();
  };
  // The man the finger came nearest to, where he stands or runs. Of two about as near it asks.
  const near = (a, e) => {
    const svg = a.querySelector(".front svg"), at = svg.getScreenCTM(), k = at.a, p = new DOMPoint(e.clientX, e.clientY).matrixTransform(at.inverse());
    const gap = (q, r) => { const dx = r[0] - q[0], dy = r[1] - q[1], l = dx * dx + dy * dy, t = l ? Math.max(0, Math.min(1, ((p.x - q[0]) * dx + (p.y - q[1]) * dy) / l)) : 0; return Math.hypot(p.x - q[0] - t * dx, p.y - q[1] - t * dy); };
    const all = JSON.parse(a.dataset.runs).map((run, i) => ({ i, d: k * Math.min(...run.map((q, n) => gap(q, run[n + 1] || q))) })).sort((x, y) => x.d - y.d);
    if (!all.length || all[0].d > 30) return;
    const close = all.filter(x => x.d < 30 && x.d - all[0].d < 8);
    if (close.length === 1) { judge(a, all[0].i); return; }
    for (const b of a.querySelectorAll(".taps button")) b.classList.toggle("main", close.some(x => x.i === Number(b.value)));
    a.querySelector(".note").textContent = "Which of them?"; a.querySelector(".taps").scrollIntoView({ block: "nearest" });
  };
  who.addEventListener("submit", e => {
    e.preventDefault();
    const n = who.jersey.value.trim();
    $("who-wrong").hidden = /^[0-9]{1,2}$/.test(n);
    if (!$("who-wrong").hidden) return;
    who.hidden = true;
    if (far?.of === of && far.jersey === n) { ({ jersey, right, missed } = far); if (far.next < asked.length) show(asked[far.next]); else end(); return; }
    jersey = n; right = 0; missed = []; show(asked[0]);
  });
  who.noValidate = true;
  asked.forEach((a, n) => {
    for (const b of a.querySelectorAll(".taps button")) b.addEventListener("click", () => judge(a, Number(b.value)));
    a.querySelector(".front svg").addEventListener("click", e => near(a, e));
    a.querySelector(".next").addEventListener("click", () => {
      if (n + 1 < asked.length) show(asked[n + 1]); else end();
    });
  });
  const end = () => {
    $("score").textContent = `${right} of ${asked.length} right.`;
    $("missed").replaceChildren(...missed.map(m => { const li = document.createElement("li"); li.textContent = m; return li; }));
    far = null; put("far", far); show($("done"));
  };
  $("again").addEventListener("click", () => { for (const a of asked) { delete a.dataset.done; a.querySelector(".because").hidden = true; for (const b of a.querySelectorAll(".taps button")) { b.disabled = false; b.classList.remove("main"); b.setAttribute("aria-pressed", "false"); } } $("done").hidden = true; who.querySelector("button").textContent = "Start"; who.hidden = false; who.jersey.focus(); });
  addEventListener("online", send);
  if (far?.of === of) { who.jersey.value = far.jersey; who.querySelector("button").textContent = "Go on"; }
  keep(); send(); quiz.dataset.ready = "yes";
})();
