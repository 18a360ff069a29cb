// The play as it is tagged: where the set puts the men, and their routes. A break
// depth that was seen is a whole line with its yards; one that was not is dashed
// at the usual depth. Units are yards, y upfield, seen from the offense.
"use strict";
window.sketch = (() => {
const shapes = JSON.parse(document.getElementById("sketch").dataset.shapes);
const svg = (name, of) => { const e = document.createElementNS("http://www.w3.org/2000/svg", name); for (const k in of) e.setAttribute(k, of[k]); return e; };
const usualSplits = [18, 12, 7, 4.5, 3];
const fold = s => (s || "").trim().toLowerCase();
const setOf = name => shapes.sets[fold(name)];

// playSide is the side that the set's play side, its strong one, stands on.
const playSide = raw => (raw.strength === "balanced" ? "" : raw.strength) || raw.play_side || "left";
function stands(r, raw) {
	const sign = r.side === "left" ? -1 : 1, set = setOf(raw.set_name), on = set && (playSide(raw) === r.side ? set.play : set.back);
	if (r.eligible === "back") return [sign * 1.6, -5];
	return [sign * ((on && on[r.number - 1]) || usualSplits[r.number - 1] || 2), -0.5];
}
const around = { in: -90, out: 90, up: 0, back: 180 };
// runs are the corners of a route, the first where the man stands.
function runs(r, raw) {
	const shape = shapes.routes[fold(r.route)], [x, y] = stands(r, raw), sign = r.side === "left" ? -1 : 1, edge = v => Math.max(-26, Math.min(26, v));
	if (shape && shape.block) return [[x, y], [x, y + 1]];
	const depth = typeof r.break_depth_yd === "number" ? r.break_depth_yd : shape ? shape.depth : 8;
	const legs = shape ? shape.legs : r.break_direction in around ? [[around[r.break_direction], 5]] : [];
	if (shape && shape.over) return [[x, y], [x, Math.min(5, depth / 2)], [0, depth], [-sign * 17, depth + 5]];
	const points = [[x, y], [edge(x + sign * (shape ? shape.out : 0)), legs.length ? Math.max(depth, y) : Math.max(depth, 16)]];
	for (const [dir, len] of legs) {
		const [a, b] = points[points.length - 1], t = dir * Math.PI / 180, l = len || 7;
		points.push([edge(a + sign * Math.sin(t) * l), Math.min(20, b + Math.cos(t) * l)]);
	}
	return points;
}
const who = r => (r.side === "left" ? "L" : "R") + r.number;
function said(routes, raw) {
	if (!routes.length) return raw.called === "run" ? `Run${raw.concept ? ": " + raw.concept : ""}${raw.play_side ? " to the " + raw.play_side : ""}.` : "No route yet.";
	return routes.map(r => `${who(r)} ${r.route}${typeof r.break_depth_yd === "number" ? " at " + r.break_depth_yd : ""}${r.targeted ? ", the target" : ""}`).join("; ") + ".";
}
function man(to, x, y, text, className) {
	to.append(svg("circle", { cx: x, cy: -y, r: 0.8, class: className || "man" }));
	if (text) { const t = svg("text", { x, y: 2.6 - y, "text-anchor": "middle" }); t.textContent = text; to.append(t); }
}
function backdrop(to) {
	for (let y = 0; y <= 20; y += 5) to.append(svg("path", { d: `M-26 ${-y}H26`, class: y ? "yards" : "line" }));
	for (const x of [-3, -1.5, 0, 1.5, 3]) to.append(svg("rect", { x: x - 0.5, y: 0.2, width: 1, height: 1, class: "lineman" }));
	man(to, 0, -4.6);
}
// everybody is who the set has, for those whom no route names.
function everybody(raw) {
	const set = setOf(raw.set_name), side = playSide(raw), other = side === "left" ? "right" : "left";
	return set ? [[side, set.play], [other, set.back]].flatMap(([s, on]) => on.map((x, i) => ({ side: s, number: i + 1, eligible: "receiver" }))) : [];
}
// eligibles is the five of the set: its receivers, then backs, who count on from them.
function eligibles(raw) {
	const set = setOf(raw.set_name), side = playSide(raw), other = side === "left" ? "right" : "left";
	const on = set || { play: [0, 0], back: [0, 0] };
	const men = [[side, on.play.length, on.play_tight_end], [other, on.back.length, on.back_tight_end]].map(([s, n, tight]) =>
		Array.from({ length: n }, (_, i) => ({ side: s, number: i + 1, eligible: i + 1 === tight ? "tight_end" : "receiver" })));
	const backs = [[side, on.play.length], [other, on.back.length]].map(([s, n]) => ({ side: s, number: n + 1, eligible: "back" }));
	return [...men.flat(), ...backs].slice(0, 5);
}
function draw(raw, routes, proposed) {
	const at = document.getElementById("sketch"), g = svg("svg", { viewBox: "-27 -21 54 29.5", role: "img", "aria-label": said(routes.concat(proposed), raw) });
	backdrop(g);
	for (const m of everybody(raw)) if (!routes.concat(proposed).some(r => who(r) === who(m))) { const [x, y] = stands(m, raw); man(g, x, y, "", "man faint"); }
	for (const [list, dashed] of [[routes, false], [proposed, true]]) for (const r of list) {
		const points = runs(r, raw), d = "M" + points.map(([x, y]) => x.toFixed(1) + " " + (-y).toFixed(1)).join("L"), seen = typeof r.break_depth_yd === "number";
		g.append(svg("path", { d, class: "route" + (dashed ? " guess" : seen ? "" : " unseen") + (r.targeted ? " target" : "") }));
		const [x, y] = points[points.length - 1], [bx, by] = points[Math.min((shapes.routes[fold(r.route)] || {}).over ? 2 : 1, points.length - 1)];
		g.append(svg("circle", { cx: x, cy: -y, r: r.targeted ? 0.9 : 0.45, class: "end" }));
		if (seen) { const t = svg("text", { x: bx + (bx < 0 ? -1 : 1), y: 0.7 - by, "text-anchor": bx < 0 ? "end" : "start" }); t.textContent = r.break_depth_yd; g.append(t); }
		man(g, ...points[0], who(r));
	}
	if (raw.called === "run") g.append(svg("path", { d: `M0 4.6L${raw.play_side === "left" ? -5 : raw.play_side === "right" ? 5 : 0} -4`, class: "route target" }));
	at.replaceChildren(g);
}
return { draw, shapes, setOf, eligibles };
})();
