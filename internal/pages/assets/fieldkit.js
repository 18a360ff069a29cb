// The field as a picture that can be taken hold of: an answer of the API with its
// timeline, drawn in yards. x is positive to the offense's right, y downfield.
"use strict";
const fieldkit = (() => {
  const svgNode = (name, of = {}) => { const e = document.createElementNS("http://www.w3.org/2000/svg", name); put(e, of); return e; };
  const put = (e, of) => { for (const k in of) if (e.getAttribute(k) !== String(of[k])) e.setAttribute(k, of[k]); return e; };
  const shield = "M-1 -.95H1V.25L0 1.1L-1 .25Z", half = 26.67;
  const between = (a, b, f) => [a[0] + (b[0] - a[0]) * f, a[1] + (b[1] - a[1]) * f];
  // where is everybody of a side t seconds after the snap.
  const where = (line, side, t) => {
    const at = Math.max(0, Math.min(line.frames.length - 1, t * 10)), i = Math.floor(at), f = at - i, a = line.frames[i][side], b = line.frames[Math.min(i + 1, line.frames.length - 1)][side];
    return a.map((p, n) => between(p, b[n], f));
  };
  const ruleAt = (man, t) => man.rules.reduce((a, r) => r.from_s <= t ? r : a, man.rules[0]);
  // apart is where the symbols go of men who stand so near that one would hide the other: side by side, both to be
  // seen. Who is held stays where he is.
  const apart = (men, at, u, held) => {
    const to = at.map(p => p.slice()), wide = m => (m.rushes ? 0.6 : 0.85) * u;
    for (let n = 0; n < 3; n++) for (let j = 1; j < to.length; j++) for (let i = 0; i < j; i++) {
      const dx = to[j][0] - to[i][0], dy = to[j][1] - to[i][1], d = Math.hypot(dx, dy), lack = wide(men[i]) + wide(men[j]) - d;
      if (lack <= 0) continue;
      const [x, y] = d > 0.05 ? [dx / d, dy / d] : [1, 0], part = i === held ? 0 : j === held ? 1 : 0.5;
      to[i] = [to[i][0] - part * lack * x, to[i][1] - part * lack * y]; to[j] = [to[j][0] + (1 - part) * lack * x, to[j][1] + (1 - part) * lack * y];
    }
    return to;
  };
  const letterOf = man => man.rushes ? "" : (man.role || "?")[0].toUpperCase();

  class Field {
    constructor(figure) {
      this.svg = svgNode("svg", { class: "playing", role: "group", "aria-label": "The field: our men can be dragged, and where their routes break" });
      this.parts = new Map(); this.layers = {};
      for (const l of ["ground", "tracks", "routes", "ties", "ghosts", "line", "men", "ball", "breaks"]) this.svg.append(this.layers[l] = svgNode("g", { class: l }));
      figure.classList.remove("loading"); figure.replaceChildren(this.svg);
      this.used = new Set(); this.wide = this.svg.clientWidth || 700;
      new ResizeObserver(([e]) => { this.wide = e.contentRect.width || this.wide; }).observe(this.svg); // asking at each drawing would lay the page out each time
    }
    // part finds or makes a mark by its key, so that what has the focus stays.
    part(layer, key, name, of) {
      let e = this.parts.get(key);
      if (!e) { e = svgNode(name); this.parts.set(key, e); this.layers[layer].append(e); }
      this.used.add(key);
      return put(e, of);
    }
    sweep() { for (const [k, e] of this.parts) if (!this.used.has(k)) { e.remove(); this.parts.delete(k); } }
    frame(line) {
      let top = 18;
      for (const f of line.frames.slice(0, 36)) for (const p of f.defense) top = Math.max(top, Math.min(p[1] + 2, 27));
      this.top = Math.max(this.top || 0, top);
      put(this.svg, { viewBox: `${-half - 0.6} ${-this.top} ${2 * half + 1.2} ${this.top + 9}` });
      this.yard = this.wide / (2 * half + 1.2);
      this.u = Math.max(1, 9.5 / this.yard);
      if (this.ground !== this.top) { this.ground = this.top; this.backdrop(); }
    }
    backdrop() {
      const g = this.layers.ground; g.replaceChildren();
      for (let y = -5; y < this.top; y += 5) g.append(svgNode("path", { class: y ? "yards" : "scrimmage", d: `M${-half} ${-y}H${half}` }));
      for (let y = -8; y < this.top; y++) for (const x of [-half + 0.4, -8.9, 8.9, half - 0.4]) g.append(svgNode("path", { class: "tick", d: `M${x - 0.35} ${-y}h.7` }));
      for (const x of [-half, half]) g.append(svgNode("path", { class: "side", d: `M${x} 9V${-this.top}` }));
    }
    // draw shows an answer at a moment; ghost is another answer whose men are shown where they differ; lit are
    // eligibles to look at, by their place; still: where routes break is not to be moved.
    draw(play, t, { found = 0, ghost, held, lit = [], still = false, movable = true, view = { routes: true, ties: true, marks: true } } = {}) {
      const line = play.timeline; this.used.clear(); this.frame(line);
      const at = { offense: where(line, "offense", t), defense: where(line, "defense", t) }, u = this.u, none = { man: -1, open: -1, other: -1 };
      const { man: conflict, open, other, throw: ball } = line.threats[found] || none;
      if (view.routes) this.routes(line, open, other, ball);
      if (conflict >= 0 && view.marks) this.part("tracks", "track", "path", { class: "track", d: "M" + line.frames.filter(x => x.t_s <= (ball ? ball.release_s + ball.flight_s : 3)).map(x => `${x.defense[conflict][0]} ${-x.defense[conflict][1]}`).join("L") });
      at.seen = apart(line.men, at.defense, u, line.defense.findIndex(n => held === `man-${n}`));
      line.men.forEach((m, j) => {
        const [x, y] = at.seen[j];
        if (view.ties) for (const i of ruleAt(m, t).owes) if (!line.routes[i].blocks) this.part("ties", `tie-${line.defense[j]}-${i}`, "path", { class: "tie" + (j === conflict ? " hot" : ""), d: `M${x} ${-y}L${at.offense[i][0]} ${-at.offense[i][1]}` });
        this.man(line, m, j, [x, y], j === conflict && view.ties, held, movable && !m.rushes, u);
      });
      if (ghost) this.ghosts(line, at, ghost, t, u);
      this.offense(line, at.offense, view.routes ? open : -1, view.routes ? other : -1, u, lit);
      if (view.marks) this.ball(ball, t, u);
      if (movable && view.routes && !still) this.breaks(line, held, u);
      this.sweep();
      return at;
    }
    routes(line, open, other, ball) {
      const until = Math.max(3.4, ball ? ball.release_s + ball.flight_s : 0);
      line.routes.forEach((r, i) => {
        if (r.blocks) return;
        const ps = line.frames.filter(f => f.t_s <= until).map(f => f.offense[i]), [ax, ay] = ps[ps.length - 2], [bx, by] = ps[ps.length - 1];
        const look = i === open ? " open" : i === other ? " other" : "", way = Math.hypot(bx - ax, by - ay) > 0.02 ? [bx - ax, by - ay] : [bx - ps[ps.length - 12][0], by - ps[ps.length - 12][1]];
        this.part("routes", `route-${i}`, "path", { class: `route${look}`, d: "M" + ps.map(p => `${p[0]} ${-p[1]}`).join("L") });
        this.part("routes", `tip-${i}`, "path", { class: `tip${look}`, d: "M.3 0L-1.1 .55V-.55Z", transform: `translate(${bx} ${-by}) rotate(${-Math.atan2(way[1], way[0]) * 180 / Math.PI}) scale(${Math.sqrt(this.u)})` });
      });
    }
    man(line, m, j, [x, y], hot, held, movable, u) {
      const key = `man-${line.defense[j]}`, g = this.part("men", key, "g", { class: "man" + (hot ? " hot" : "") + (m.rushes ? " rusher" : "") + (held === key ? " held" : ""), transform: `translate(${x} ${-y}) scale(${m.rushes ? 0.7 * u : u})` });
      if (!g.firstChild) { g.append(svgNode("circle", { class: "halo", r: 1.75 }), svgNode("path", { d: shield }), svgNode("text", { y: 0.42 })); g.dataset.key = key; }
      g.lastChild.textContent = letterOf(m);
      if (!movable) { for (const a of ["tabindex", "role", "aria-label"]) g.removeAttribute(a); return; }
      const snap = line.frames[0].defense[j];
      put(g, { tabindex: 0, role: "button", "aria-label": `${line.defense[j]}, ${snap[1].toFixed(1)} yards deep. Arrow keys move him half a yard.` });
    }
    ghosts(line, at, ghost, t, u) {
      const g = ghost.timeline, there = where(g, "defense", t);
      g.defense.forEach((name, k) => {
        const j = line.defense.indexOf(name), [x, y] = there[k];
        if (j < 0 || g.men[k].rushes) return;
        const moved = Math.hypot(x - at.defense[j][0], y - at.defense[j][1]) > 0.3, owes = ruleAt(g.men[k], t).owes, now = ruleAt(line.men[j], t).owes;
        if (!moved && owes.join() === now.join()) return;
        this.part("ghosts", `ghost-${name}`, "path", { class: "ghost", d: shield, transform: `translate(${x} ${-y}) scale(${u})` });
        if (moved) this.part("ghosts", `way-${name}`, "path", { class: "way", d: `M${x} ${-y}L${at.defense[j][0]} ${-at.defense[j][1]}` });
        for (const i of owes) if (!now.includes(i) && line.routes[i] && !line.routes[i].blocks) this.part("ghosts", `gtie-${name}-${i}`, "path", { class: "way", d: `M${x} ${-y}L${at.offense[i][0]} ${-at.offense[i][1]}` });
      });
    }
    offense(line, at, open, other, u, lit) {
      at.forEach(([x, y], i) => {
        const r = line.routes[i], n = line.offense[i], s = r || n === "passer" ? u : 0.72 * u, look = i === open ? " open" : i === other ? " other" : "";
        if (r && lit.includes(i)) this.part("tracks", `lit-${n}`, "circle", { class: "lit", r: 1.9 * u, cx: x, cy: -y });
        const g = this.part("line", `off-${n}`, "g", { class: (r ? "eligible" : "blocker") + look, transform: `translate(${x} ${-y}) scale(${s})` });
        if (!g.firstChild) g.append(n === "center" ? svgNode("rect", { x: -0.9, y: -0.9, width: 1.8, height: 1.8 }) : svgNode("circle", { r: 0.98 }), n === "passer" ? svgNode("circle", { r: 0.3, class: "dot" }) : svgNode("text", { y: 0.42 }));
        if (r) g.lastChild.textContent = r.receiver.startsWith("back") ? "B" : r.number;
      });
    }
    ball(ball, t, u) {
      if (!ball) return;
      const [x, y] = between(ball.from, ball.at, Math.max(0, Math.min(1, (t - ball.release_s) / ball.flight_s)));
      this.part("ball", "catch", "path", { class: "catch", d: "M-.6 -.6L.6 .6M-.6 .6L.6 -.6", transform: `translate(${ball.at[0]} ${-ball.at[1]}) scale(${u})` });
      if (t >= ball.release_s) this.part("ball", "ball", "ellipse", { class: "thrown", rx: 0.55 * u, ry: 0.38 * u, cx: x, cy: -y });
    }
    breaks(line, held, u) {
      line.routes.forEach(r => {
        if (!r.breaks) return;
        const key = `break-${r.receiver}`, [x, y] = r.break_at, who = r.receiver.startsWith("back") ? "back" : `#${r.number}`;
        const g = this.part("breaks", key, "g", { class: "break" + (held === key ? " held" : ""), transform: `translate(${x} ${-y}) scale(${u})`, tabindex: 0, role: "button", "aria-label": `${who} ${r.route} breaks at ${r.depth_yd}. Arrow keys move the break half a yard.` });
        if (!g.firstChild) { g.append(svgNode("path", { d: "M0 -.75L.75 0L0 .75L-.75 0Z" }), svgNode("text")); g.dataset.key = key; }
        put(g.lastChild, { x: x > 20 ? -1.2 : 1.2, y: 0.42, "text-anchor": x > 20 ? "end" : "start" }); g.lastChild.textContent = Math.round(r.depth_yd * 10) / 10;
      });
    }
    // yards is where a pointer is.
    yards(ev) { const p = new DOMPoint(ev.clientX, ev.clientY).matrixTransform(this.svg.getScreenCTM().inverse()); return [p.x, -p.y]; }
    // near is what can be taken hold of within a thumb of a pointer.
    near(ev, line, at, still) {
      const [x, y] = this.yards(ev), reach = Math.max(1.6, 24 / this.yard);
      let best = null, least = reach;
      const see = (key, p) => { const d = Math.hypot(p[0] - x, p[1] - y); if (d < least) { least = d; best = key; } };
      line.men.forEach((m, j) => { if (!m.rushes) see(`man-${line.defense[j]}`, at.seen[j]); });
      if (!still) line.routes.forEach(r => { if (r.breaks) see(`break-${r.receiver}`, r.break_at); });
      return best;
    }
  }
  return { Field, where, ruleAt, svgNode };
})();
