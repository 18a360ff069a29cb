// The usual routes of a concept: those of the last snap of this game with the same
// concept and set, else what most of the opponent's plays of it had, else the
// built-in picture. Depths are never proposed: one that was not seen stays unknown,
// or what was counted once would be counted for ever.
"use strict";
window.usual = (plays, api) => {
const fold = s => (s || "").trim().toLowerCase(), other = side => side === "left" ? "right" : "left";
let pictures = [];
// learn reads the opponent's pictures; without them the built-in ones do.
async function learn(opponent) {
	const resp = await fetch(`${api}/opponents/${opponent}/concepts?least_plays=2`, { signal: AbortSignal.timeout(8000) });
	if (resp.ok) pictures = (await resp.json()).items;
}
function fromPlay(p, side) {
	const turned = p.play_side && p.play_side !== side;
	return p.routes.map(r => ({ side: turned ? other(r.side) : r.side, number: r.number, eligible: r.eligible, route: r.route, break_direction: r.break_direction }));
}
// fromPicture reads pairs of P1 (play side), B2 (the other side) or back, and a route.
function fromPicture(pairs, setName, side) {
	const set = window.sketch.setOf(setName), out = [];
	for (const [name, route] of pairs) {
		const m = /^([pb])(\d)$/i.exec(name);
		if (!m && !/back/i.test(name)) continue;
		const play = !m || m[1].toLowerCase() === "p";
		if (m && set && Number(m[2]) > (play ? set.play : set.back).length) continue; // the set has no such man
		const number = m ? Number(m[2]) : (set ? set.play.length : 2) + 1;
		const tight = set && number === (play ? set.play_tight_end : set.back_tight_end);
		out.push({ side: play ? side : other(side), number, eligible: m ? (tight ? "tight_end" : "receiver") : "back", route });
	}
	return out.slice(0, 5);
}
const parted = notation => notation.split(",").map(item => { const m = /^\s*(\S+)\s+(.*?)\s*(@.*)?$/.exec(item); return m && [m[1], m[2]]; }).filter(Boolean);
function find(raw, before) {
	const { concept, set_name: set, play_side: side } = raw, is = x => fold(x.concept) === fold(concept);
	if (!concept || !side) return [];
	const last = [...plays.values()].filter(p => p.number < before && is(p) && p.play_side && fold(p.set_name) === fold(set) && (p.routes || []).length > 1).sort((a, b) => a.number - b.number).pop();
	if (last) return fromPlay(last, side);
	const seen = pictures.find(k => is(k) && fold(k.set_name) === fold(set));
	if (seen) return fromPicture(seen.receivers.map(r => [r.receiver, r.route]), set, side);
	// A concept drawn for trips has a name of its own.
	const built = window.sketch.shapes.usual.filter(x => is(x) || fold(x.concept) === fold(concept) + " trips");
	const best = built.findLast(u => fold(u.set) === fold(set)) || built.find(is);
	return best ? fromPicture(parted(best.routes), set, side) : [];
}
return { find, learn };
};
