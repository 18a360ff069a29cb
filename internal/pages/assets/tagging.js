// Tagging by keyboard. What is typed is kept in the browser until the API has
// taken it: a snap that is not stored yet is a draft,
//   {raw, base, key, sent, state, errors, theirs},
// raw: the form's texts by control; base: the play as the server had it when the
// draft was begun, null for a new one; key: the Idempotency-Key of its creation;
// sent: what the last attempt carried; state: open, waiting (for the server),
// refused (errors say why) or stale (somebody else was faster: theirs).
"use strict";
(() => {
const { api } = document.body.dataset, { game, writes } = document.querySelector(".tagging").dataset;
const members = writes.split(" ");
const form = document.getElementById("form"), $ = id => document.getElementById(id);
const controls = [...form.querySelectorAll("[data-kind]")];
const films = [], plays = new Map(), clips = new Map(), drafts = new Map();
let at = 0, angle = null, clip = null, session = "";

// --- a play and the form's texts ---
const rows = [0, 1, 2, 3, 4];
const clock = s => Math.floor(s / 60) + ":" + String(s % 60).padStart(2, "0");
const who = r => (r.side === "left" ? "L" : "R") + r.number + ({ tight_end: "t", back: "b" }[r.eligible] || "");

function textOf(kind, v) {
	if (v === undefined || v === null) return "";
	if (kind === "clock") return clock(v);
	if (kind === "spot") return String(v > 50 ? v - 100 : v);
	return String(v);
}
function rawOf(play) {
	const raw = {};
	for (const c of controls) raw[c.name] = c.dataset.kind === "mark" ? "" : c.name === "status" ? "counted" : "";
	if (!play) return raw;
	for (const c of controls) if (members.includes(c.name)) raw[c.name] = c.dataset.kind === "mark" ? (play[c.name] ? "yes" : "") : textOf(c.dataset.kind, play[c.name]);
	(play.routes || []).forEach((r, i) => Object.assign(raw, { ["who" + i]: who(r), ["route" + i]: r.route, ["depth" + i]: textOf("number", r.break_depth_yd), ["direction" + i]: r.break_direction || "", ["target" + i]: r.targeted ? "yes" : "" }));
	return raw;
}
// valueOf reads a text; one that cannot be read goes to the API as it stands,
// which says what is wrong with it.
function valueOf(kind, text) {
	const t = text.trim(), m = /^(\d{1,2}):([0-5]\d)$/.exec(t);
	if (t === "") return undefined;
	if (kind === "clock" && m) return 60 * m[1] + Number(m[2]);
	if (kind === "truth") return t === "true";
	if (["number", "spot", "clock"].includes(kind) && /^[+-]?\d+(\.\d+)?$/.test(t)) {
		const n = Number(t);
		return kind === "spot" && n < 0 ? 100 + n : n;
	}
	return t;
}
function routesOf(raw) {
	const routes = [];
	for (const i of rows) {
		if (!raw["route" + i] && !raw["depth" + i] && !raw["direction" + i] && !raw["target" + i]) continue;
		const m = /^([lr])\s*(\d+)\s*(t|b)?$/i.exec(raw["who" + i].trim());
		const r = m ? { side: m[1].toLowerCase() === "l" ? "left" : "right", number: Number(m[2]), eligible: { t: "tight_end", b: "back" }[(m[3] || "").toLowerCase()] || "receiver" }
			: { side: raw["who" + i], number: 1, eligible: "receiver" };
		routes.push({ ...r, route: raw["route" + i].trim(), targeted: raw["target" + i] === "yes", break_depth_yd: valueOf("number", raw["depth" + i]), break_direction: raw["direction" + i] || undefined });
	}
	return routes;
}
const rowsSent = raw => rows.filter(i => raw["route" + i] || raw["depth" + i] || raw["direction" + i] || raw["target" + i]);
function playOf(raw, base, number) {
	const p = { game_id: game, number };
	for (const m of members) if (base && base[m] !== undefined) p[m] = base[m];
	for (const c of controls) if (members.includes(c.name)) p[c.name] = c.dataset.kind === "mark" ? raw[c.name] === "yes" : valueOf(c.dataset.kind, raw[c.name]);
	p.routes = routesOf(raw);
	return p;
}
// same compares what two plays say, whatever the order of their members.
const plain = v => JSON.stringify(v, (k, x) => x && typeof x === "object" && !Array.isArray(x) ? Object.fromEntries(Object.entries(x).filter(([k, y]) => y !== undefined && !(k === "targeted" && !y)).sort()) : x);
const nothing = (m, p) => m === "routes" ? (p || {})[m] || [] : m === "touchdown" ? !!(p || {})[m] : (p || {})[m];
const differing = (a, b) => members.filter(m => m !== "game_id" && plain(nothing(m, a)) !== plain(nothing(m, b)));
const same = (a, b) => differing(a, b).length === 0;

// --- drafts ---
const kept = window.shelf(`overhang ${api} ${game} `);
const newKey = () => [...crypto.getRandomValues(new Uint8Array(16))].map(b => b.toString(16).padStart(2, "0")).join("");
function keep(n) {
	const d = drafts.get(n);
	try {
		kept.put(n, d);
	} catch { general("This browser has no room left: drafts are kept only while this page stays open."); }
	list();
}
function drop(n) { drafts.delete(n); keep(n); }
function changed() {
	const raw = read(), base = plays.get(at) || null, old = drafts.get(at);
	const begun = old ? old.base : base, own = { ...raw };
	for (const c of controls) if (c.classList.contains("proposed")) own[c.name] = "";
	if (plain(own) === plain(rawOf(begun)) && !(old && old.sent)) { if (old) drop(at); return; }
	if (old && plain(old.raw) === plain(raw)) return;
	// Another content is another creation: a key stands for one body.
	drafts.set(at, { raw, base: begun, key: newKey(), sent: old && old.sent, state: "open", errors: null, theirs: old && old.theirs });
	keep(at);
}

// --- the form ---
function read() {
	const raw = {};
	for (const c of controls) raw[c.name] = c.type === "checkbox" ? (c.checked ? "yes" : "") : c.value;
	// Routes that are only proposed are nobody's yet.
	for (const i of rows) if (quick.proposed(i)) for (const n of ["route", "depth", "direction", "target"]) raw[n + i] = "";
	// Who stands ready in every row; without anything beside it, it says nothing.
	for (const i of rows) if (!rowsSent(raw).includes(i)) raw["who" + i] = "";
	return raw;
}
function fill(raw) {
	for (const c of controls) if (c.type === "checkbox") c.checked = raw[c.name] === "yes"; else c.value = raw[c.name] || "";
	quick.begin();
	offer();
}
// offer puts who is left of the set into the rows that say nothing of a route yet.
function offer() {
	const empty = rows.filter(i => !["route", "depth", "direction"].some(n => form.elements[n + i].value) && !form.elements["target" + i].checked);
	for (const i of empty) form.elements["who" + i].value = "";
	const free = ready();
	for (const i of empty) form.elements["who" + i].value = free.shift() || "";
}
// ready is who the rows offer: the eligibles of the last snap from the same set, else those of the set, else two
// and two and a back.
function ready() {
	const set = form.elements.set_name.value, spot = w => w.slice(0, 2).toUpperCase();
	const used = new Set(rows.map(i => spot(form.elements["who" + i].value)));
	const last = [...plays.values()].filter(p => p.number < at && set && p.set_name === set && (p.routes || []).length > 2).pop();
	const free = last ? last.routes.map(who) : [], men = window.sketch.eligibles(rawAll()).map(who);
	return [...free, ...men].filter(w => !used.has(spot(w)) && used.add(spot(w)));
}
const place = c => $((c.id || c.name) + "-wrong");
function clear() {
	for (const c of controls) { c.removeAttribute("aria-invalid"); const w = place(c); if (w) w.textContent = ""; }
	$("routes-wrong").textContent = "";
	general("");
}
function general(text) { $("general").textContent = text; }
// complain puts each error of the API at its field; routes[1].side and routes.1.side are the row's who.
function complain(errors, raw) {
	const rest = [], sent = rowsSent(raw);
	for (const e of errors) {
		const m = /^routes[[.](\d+)\]?\.?(\w*)/.exec(e.field);
		const name = m ? ({ route: "route", break_depth_yd: "depth", break_direction: "direction", targeted: "target" }[m[2]] || "who") + sent[m[1]] : e.field;
		const c = form.elements[name], w = c && place(c);
		if (name === "routes") $("routes-wrong").textContent = e.message;
		else if (!w) rest.push(e.field + ": " + e.message);
		else { c.setAttribute("aria-invalid", "true"); w.textContent = (w.textContent ? w.textContent + "; " : "") + e.message; }
	}
	general(rest.join("; "));
	reach(controls.find(c => c.hasAttribute("aria-invalid")));
}
function reach(c) { if (c) { c.focus(); if (c.select) c.select(); } }

// --- the API ---
// analyst says who tags: a header holds bytes, and the API reads them as UTF-8.
function analyst() {
	const name = $("analyst").value.trim();
	return name && { Analyst: String.fromCharCode(...new TextEncoder().encode(name)) };
}
$("analyst").value = localStorage.getItem("overhang analyst") || "";
$("analyst").addEventListener("change", () => localStorage.setItem("overhang analyst", $("analyst").value));
// A server that has too much to do says when to come again (RFC 9110, 10.2.3): until
// then nothing is sent by itself, and a little later by chance, not all at once.
let notBefore = 0;
function heed(resp) {
	if (resp.status === 429 || resp.status === 503) notBefore = Date.now() + 1000 * (Number(resp.headers.get("Retry-After")) || 1) + 500 * Math.random();
}
async function call(method, path, body, headers) {
	const resp = await fetch(api + path, { method, body: body && JSON.stringify(body), headers: { ...(body && { "Content-Type": "application/json", ...analyst() }), ...headers }, signal: AbortSignal.timeout(8000) });
	heed(resp);
	const answer = resp.status === 204 ? null : await resp.json();
	return { status: resp.status, answer };
}
async function all(path) {
	const out = [];
	for (let next = ""; next !== undefined;) {
		const { status, answer } = await call("GET", path + (path.includes("?") ? "&" : "?") + "limit=500" + (next && "&cursor=" + next));
		if (status !== 200) throw new Error(answer.detail || status);
		out.push(...answer.items);
		next = answer.next_cursor;
	}
	return out;
}
// current is what the server has of a snap now, null when it has none.
async function current(n, base) {
	if (base) {
		const { status, answer } = await call("GET", "/plays/" + base.id);
		if (status === 200) return answer;
		if (status !== 404) throw new Error(status);
	}
	return (await all("/plays?game_id=" + game)).find(p => p.number === n) || null;
}

// store sends a snap's draft. The answer is stored, waiting, refused or stale.
const busy = new Map();
function store(n) {
	if (!busy.has(n)) busy.set(n, attempt(n).catch(() => "waiting").then(state => {
		busy.delete(n);
		const d = drafts.get(n);
		if (d && state !== "stored") { d.state = state; keep(n); }
		if (state === "waiting") later();
		show();
		return state;
	}));
	return busy.get(n);
}
async function attempt(n) {
	const d = drafts.get(n);
	if (!d) return "stored";
	if (Date.now() < notBefore) return "waiting";
	const body = playOf(d.raw, d.base, n), before = d.sent;
	d.sent = body;
	keep(n);
	const { status, answer } = d.base
		? await call("PUT", "/plays/" + d.base.id, body, { "If-Match": `"${d.base.version}"` })
		: await call("POST", "/plays", body, { "Idempotency-Key": `"${d.key}"` });
	session = "";
	if (status === 200 || status === 201) return done(n, d, answer);
	const taken = status === 409 && (answer.errors || []).some(e => e.field === "number");
	if (status === 412 || taken) {
		const theirs = await current(n, d.base);
		if (!theirs) return gone(n);
		if (same(theirs, body)) return done(n, d, theirs); // ours, of which only the answer was lost
		plays.set(n, theirs);
		// Typed on while it was sent, the draft is another object than d.
		const now = drafts.get(n);
		if (before && same(theirs, before)) { now.base = theirs; return attempt(n); } // an earlier one of ours
		now.theirs = theirs;
		return "stale";
	}
	if (status === 404 && d.base) return gone(n);
	if (status === 401) session = "Your session has ended: sign in again in another tab. What you type waits here.";
	if (status === 403 || status === 422 || status === 400 || status === 404) {
		drafts.get(n).errors = answer.errors || [{ field: "snap " + n, message: answer.detail }];
		return "refused";
	}
	return "waiting"; // 401; 409 while the first attempt still runs, 429, 5xx
}
function done(n, d, play) {
	plays.set(n, play);
	if (!d.base) pace();
	const now = drafts.get(n);
	if (now === d) drop(n);
	else { now.base = play; keep(n); } // typed on while it was sent
	return "stored";
}
function gone(n) {
	Object.assign(drafts.get(n), { base: null, key: newKey(), sent: null, errors: [{ field: "snap", message: "deleted by someone else; saving recreates it" }] });
	plays.delete(n);
	return "refused";
}
let timer = 0, pause = 2000;
function later() {
	if (timer) return;
	timer = setTimeout(async () => {
		timer = 0;
		pause = Math.min(2 * pause, 30000);
		for (const [n, d] of drafts) if (d.state === "waiting" && await store(n) === "waiting") break;
		if (![...drafts.values()].some(d => d.state === "waiting")) pause = 2000;
	}, Math.max(pause, notBefore - Date.now() + 20)); // a timer may go off a moment early
}
addEventListener("online", () => { clearTimeout(timer); timer = 0; pause = 100; later(); });

// --- what is not stored ---
const said = { open: "typed, not saved yet", waiting: "waiting to send", refused: "not saved", stale: "was changed by somebody else too" };
function list() {
	const items = [...drafts].sort((a, b) => a[0] - b[0]).map(([n, d]) => {
		const li = document.createElement("li"), b = document.createElement("button");
		b.type = "button"; b.textContent = `Snap ${n} ${said[d.state]}`; b.dataset.snap = n;
		b.addEventListener("click", () => go(n));
		li.append(b);
		return li;
	});
	if (!items.length) { const li = document.createElement("li"); li.className = "none"; li.textContent = "Everything is saved."; items.push(li); }
	$("waiting").replaceChildren(...items);
}
// show says where we are, and what is wrong with this snap's draft.
function show() {
	const p = plays.get(at), d = drafts.get(at);
	$("session").textContent = session;
	picture();
	$("where").textContent = `Snap ${at}: ${d ? said[d.state] : p ? "saved" : "not tagged"}. ${plays.size} of ${numbers().length} snaps have tags.`;
	list();
}

// picture draws the play as it stands in the form, with what is proposed.
function picture() {
	const raw = read(), guess = rawAll();
	form.querySelector(".routes").hidden = quick.runs() && !rowsSent(raw).length;
	sketch.draw(raw, routesOf(raw), routesOf(guess).filter((r, k) => quick.proposed(rowsSent(guess)[k])));
}
const rawAll = () => Object.fromEntries(controls.map(c => [c.name, c.type === "checkbox" ? (c.checked ? "yes" : "") : c.value]));

// pace says how fast it goes, by the last twenty snaps that were tagged anew here.
const finished = [];
function pace() {
	finished.push(Date.now());
	if (finished.length > 20) finished.shift();
	const hours = (finished[finished.length - 1] - finished[0]) / 3.6e6;
	if (finished.length > 2 && hours > 0) $("pace").textContent = `${Math.round((finished.length - 1) / hours)} plays an hour`;
}

// --- moving between snaps ---
const numbers = () => [...new Set([...plays.keys(), ...clips.keys(), ...drafts.keys()])].sort((a, b) => a - b);
const next = () => numbers().find(n => n > at) || Math.min(at + 1, 999);
const previous = () => numbers().filter(n => n < at).pop() || at;

function go(n) {
	if (!(n >= 1 && n <= 999)) return;
	at = n;
	clear();
	unpropose();
	const d = drafts.get(n);
	fill(d ? d.raw : rawOf(plays.get(n)));
	if (location.hash !== "#" + n) history.replaceState(null, "", "#" + n);
	film(true);
	show();
	focusFirst();
	if (d) halted(n, d.state);
	if (!d && !plays.has(n)) propose(n).catch(() => {});
}
// focusFirst goes to the first tag from the down on that is missing.
function focusFirst() {
	const from = controls.findIndex(c => c.name === "down");
	reach(controls.slice(from).find(c => c.type !== "checkbox" && !c.value) || controls[from]);
}
async function move(to) {
	if (document.activeElement.list && controls.includes(document.activeElement)) quick.complete(document.activeElement);
	changed();
	const n = at, d = drafts.get(n);
	if (!d) return go(to);
	// On at once: a key pressed while the API answers belongs to the next snap. Back
	// to this one when it was not taken and nothing was typed there; else the list says so.
	const answer = store(n);
	go(to);
	const state = await answer;
	if (at !== to || to === n || drafts.has(to)) return;
	if (state === "stored" && !plays.has(to)) propose(to).catch(() => {});
	if (state === "refused" || state === "stale") go(n);
}
// halted shows why a snap was not taken, and says whether there is a reason to stay with it.
function halted(n, state) {
	if (state === "refused") { clear(); complain(drafts.get(n).errors || [], drafts.get(n).raw); }
	if (state === "stale") choose(n);
	return state === "refused" || state === "stale";
}

// --- when somebody else was faster ---
const words = (m, v) => v === undefined || v === null || v === "" ? "not tagged" : m === "routes" ? v.map(r => `${who(r)} ${r.route}${r.break_depth_yd === undefined ? "" : " at " + r.break_depth_yd}${r.break_direction ? " " + r.break_direction : ""}${r.targeted ? " (target)" : ""}`).join("\n") || "none"
	: m === "clock_s" ? clock(v) : v === true ? "yes" : v === false ? "no" : String(v).replaceAll("_", " ");
const labelOf = m => { const l = form.querySelector(`label[for="${m}"]`); return l ? l.textContent : m.replaceAll("_", " ").replace(/^./, c => c.toUpperCase()); };
function choose(n) {
	const dialog = $("choose"), d = drafts.get(n), mine = playOf(d.raw, d.base, n), theirs = d.theirs, base = d.base || {};
	if (dialog.open) return;
	$("choose-about").textContent = `Somebody else changed snap ${n} while you were tagging it. Where only one of you changed a tag, that one is picked.`;
	dialog.querySelector("tbody").replaceChildren(...differing(mine, theirs).map(m => {
		const mineToo = differing(mine, base).includes(m), theirsToo = differing(theirs, base).includes(m), tr = document.createElement("tr");
		tr.className = mineToo && theirsToo ? "both" : "";
		const th = document.createElement("th"), was = document.createElement("td");
		th.scope = "row"; th.textContent = labelOf(m); was.textContent = words(m, base[m]);
		tr.append(th, was, ...[["mine", mine, !theirsToo], ["theirs", theirs, !mineToo]].map(([side, p, chosen]) => {
			const td = document.createElement("td"), label = document.createElement("label"), radio = document.createElement("input");
			Object.assign(radio, { type: "radio", name: "choose-" + m, value: side, checked: chosen, required: true });
			label.append(radio, " " + words(m, p[m]));
			td.append(label);
			return td;
		}));
		return tr;
	}));
	dialog.querySelector(".wrong").textContent = "";
	dialog.returnValue = "";
	dialog.showModal();
	(dialog.querySelector("tr.both input") || dialog.querySelector("input") || dialog.querySelector("button")).focus();
	dialog.onclose = () => { if (dialog.returnValue === "store") settle(n, d, mine, theirs); else focusFirst(); };
}
function settle(n, d, mine, theirs) {
	const chosen = { ...theirs };
	for (const radio of $("choose").querySelectorAll("input:checked")) {
		const m = radio.name.slice("choose-".length);
		if (radio.value === "mine") chosen[m] = mine[m];
	}
	if (same(chosen, theirs)) { drop(n); return go(n); }
	drafts.set(n, { raw: rawOf(chosen), base: chosen, key: newKey(), sent: null, state: "open", errors: null, theirs: null });
	store(n).then(state => { if (at === n && !halted(n, state)) go(n); });
}
$("choose").addEventListener("click", e => {
	const side = e.target.dataset && e.target.dataset.all;
	if (side) for (const r of $("choose").querySelectorAll(`input[value=${side}]`)) r.checked = true;
});

// --- the situation of the next snap ---
function unpropose() {
	$("why").textContent = "";
	for (const c of controls) c.classList.remove("proposed");
}
// propose fills in what the last snap's result says about this one. It is not a
// draft: only what is typed beside it makes it one.
async function propose(n) {
	const before = Math.max(...[...plays.keys()].filter(k => k < n));
	if (before < 1 || [...drafts.keys()].some(k => k >= before && k < n)) return; // what that snap came to is not known yet
	const there = document.activeElement;
	const { status, answer } = await call("GET", `/games/${game}/next?after=${before}`);
	if (status !== 200 || at !== n || drafts.has(n) || plays.has(n)) return;
	$("why").textContent = `After snap ${before}: ${answer.why}.`;
	for (const c of controls) {
		if (c.name === "clock_s" || answer[c.name] === undefined || !members.includes(c.name) || c.value) continue; // the clock is only bounded by it
		c.value = textOf(c.dataset.kind, answer[c.name]);
		c.classList.add("proposed");
	}
	if (document.activeElement === there) focusFirst();
}

// --- film ---
const video = $("video");
let from = null; // where a clip that is being cut begins, seconds
const source = f => f.location.includes("://") ? f.location : `${api}/films/${f.id}/video`;
function addClip(n, f, c) {
	if (n) clips.set(n, [...(clips.get(n) || []), { film: f, from: c.start_s, to: c.end_s, angle: c.angle || f.angle || "" }]);
}
// angles are the snap's clips, then the films it is not cut from yet, each from
// where the snap before it ended.
function angles() {
	const cut = clips.get(at) || [], ended = f => Math.max(0, ...[...clips].filter(([n]) => n < at).flatMap(([, cs]) => cs.filter(c => c.film === f).map(c => c.to)));
	return [...cut, ...films.filter(f => !cut.some(c => c.film === f)).map(f => ({ film: f, from: ended(f), to: Infinity, angle: f.angle || "", uncut: true }))];
}
// film shows the snap from the chosen angle: the one that was looked at last, else the first.
function film(start) {
	const as = angles();
	clip = as.find(c => c.angle === angle && !c.uncut) || (as[0] && !as[0].uncut ? as[0] : as.find(c => c.angle === angle) || as[0]) || null;
	view(as, start);
}
function view(as, start) {
	from = null;
	$("film").classList.toggle("plays", !!clip);
	$("number").textContent = `Snap ${at}` + (clip ? "" : " (no film)");
	$("angle").textContent = clip ? `Angle ${as.indexOf(clip) + 1} of ${as.length}: ${clip.angle || "not named"}${clip.uncut ? ", not cut yet" : ""}` : "No film of this game.";
	if (!clip) { video.pause(); return; }
	if (video.dataset.src !== source(clip.film)) video.src = video.dataset.src = source(clip.film);
	if (start) replay();
}
let runs = false; // what was asked for: a film that still loads is paused to the browser
for (const ev of ["play", "pause"]) video.addEventListener(ev, () => { if (video.readyState > 0) runs = !video.paused; });
function replay() {
	runs = true;
	const run = () => { if (!clip) return; video.currentTime = clip.from; if (runs) video.play().catch(() => {}); };
	if (video.readyState > 0) run(); else video.addEventListener("loadedmetadata", run, { once: true });
}
// Two keys cut a clip out of the film that is shown.
function begins() {
	if (!clip) return;
	from = video.currentTime;
	$("angle").textContent = `The clip of snap ${at} begins at ${from.toFixed(1)} s; Alt+. ends it.`;
}
async function ends() {
	if (!clip || from === null) return;
	const n = at, f = clip.film, body = { film_id: f.id, number: n, start_s: from, end_s: video.currentTime };
	const { status, answer } = await call("POST", "/clips", body).catch(e => ({ answer: { detail: "the server doesn't answer" } }));
	if (status !== 201) { $("angle").textContent = `The clip was not saved: ${answer.errors ? answer.errors.map(e => e.field + " " + e.message).join(", ") : answer.detail}. Press Alt+. to try again.`; return; }
	addClip(n, f, answer);
	angle = answer.angle || f.angle || "";
	if (at === n) film(false);
	show();
}
$("add").addEventListener("submit", async e => {
	e.preventDefault();
	const [place, name, list] = ["location", "angle", "list"].map(n => e.target.elements[n]), says = t => { $("added").textContent = t; };
	const told = a => (a.errors || []).map(e => `${e.row ? "line " + e.row + ", " : ""}${e.field}: ${e.message}`).join("; ") || a.detail;
	try {
		let f = films.find(f => f.location === place.value.trim());
		if (!f) {
			const { status, answer } = await call("POST", "/films", { game_id: game, location: place.value.trim(), ...(name.value.trim() && { angle: name.value.trim() }) });
			if (status !== 201) return says("Not added. " + told(answer));
			films.push(f = answer);
		}
		let said = "The film is added.";
		if (list.files.length) {
			const resp = await fetch(`${api}/films/${f.id}/clips`, { method: "POST", body: list.files[0], headers: { "Content-Type": /\.vtt$/i.test(list.files[0].name) ? "text/vtt" : "text/csv" } });
			const answer = await resp.json();
			if (!resp.ok) return says("The film is added, but none of the clips. " + told(answer));
			for (const [n, cs] of clips) clips.set(n, cs.filter(c => c.film !== f));
			for (const c of await all("/clips?film_id=" + f.id)) addClip(c.number, f, c);
			said += ` ${answer.added} clips are new, ${answer.changed} changed, ${answer.unchanged} were there.`;
		}
		says(said + (f.location.includes("://") ? " Reload the page to watch a film from a new address." : ""));
		e.target.reset();
		film(true);
		show();
	} catch { says("The server doesn't answer. Try again."); }
});
let looping = false;
video.addEventListener("timeupdate", () => {
	if (!clip || video.paused || video.currentTime < clip.to) return;
	if (looping) replay(); else video.pause();
});
// How long a frame of this film lasts is learned while it runs; until then a thirtieth of a second.
let frame = 1 / 30;
if (video.requestVideoFrameCallback) {
	let last = 0;
	const tick = (now, m) => {
		const d = m.mediaTime - last;
		if (!video.paused && d > 0.005 && d < 0.1) frame = Math.min(frame, d);
		last = m.mediaTime;
		video.requestVideoFrameCallback(tick);
	};
	video.requestVideoFrameCallback(tick);
	video.addEventListener("loadedmetadata", () => { frame = 1 / 30; });
}
video.addEventListener("error", () => {
	delete video.dataset.src; // the next snap tries again
	runs = false;
	$("film").classList.remove("plays");
	$("number").textContent = `Snap ${at}`;
	$("angle").textContent = "Can't play this film: the file is missing or its format isn't supported.";
});
const step = s => { if (clip) video.currentTime = Math.max(clip.uncut ? 0 : clip.from, video.currentTime + s); };
const pressed = (key, is) => document.querySelector(`[data-key="${key}"]`).setAttribute("aria-pressed", is);
const keys = {
	PageDown: () => move(next()), PageUp: () => move(previous()),
	F2: () => { if (!clip) return; if (runs) { runs = false; video.pause(); } else if (video.readyState === 0 || video.currentTime >= clip.to) replay(); else video.play().catch(() => {}); },
	F3: () => clip && replay(),
	F4: () => {
		const as = angles(), now = as.findIndex(c => clip && c.film === clip.film && c.from === clip.from);
		if (as.length < 2) return;
		clip = as[(now + 1) % as.length];
		angle = clip.angle;
		view(as, true);
	},
	F6: () => { video.playbackRate = video.playbackRate === 1 ? 0.5 : 1; pressed("F6", video.playbackRate !== 1); },
	F7: () => step(-1), F8: () => step(1),
	"Shift+F7": () => { runs = false; video.pause(); step(-frame); }, "Shift+F8": () => { runs = false; video.pause(); step(frame); },
	"Shift+F3": () => { looping = !looping; pressed("Shift+F3", looping); if (looping && clip) replay(); },
	F9: () => reach($("jump")),
	F10: () => { const open = [...drafts.keys()].sort((a, b) => a - b); if (open.length) go(open.find(n => n > at) || open[0]); },
};
const marks = { Comma: begins, Period: ends };
addEventListener("keydown", e => {
	eaten = false;
	if (e.altKey && !e.ctrlKey && marks[e.code]) { e.preventDefault(); marks[e.code](); return; }
	if ($("choose").open) return;
	const key = (e.shiftKey ? "Shift+" : "") + e.key;
	if (!e.ctrlKey && !e.altKey && !e.metaKey && keys[key]) { e.preventDefault(); keys[key](); return; }
	eaten = quick.press(e);
	if (eaten) { e.preventDefault(); return; }
	if (e.key === "Enter" && e.target === $("jump")) { changed(); go(Number($("jump").value)); }
});
// The second half of a key that was meant for one tag is not for the next, where it has just arrived.
let eaten = false;
addEventListener("keypress", e => { if (eaten || e.key === "Enter" && controls.includes(e.target)) e.preventDefault(); });
for (const b of document.querySelectorAll("[data-key]")) b.addEventListener("click", () => (keys[b.dataset.key] || marks[b.dataset.key])());
form.addEventListener("submit", e => e.preventDefault());
// What a family is called as is common practice, no source; a run ends as a rush unless something else is tagged.
const calledAs = { run: "run", draw: "run", dropback: "pass", quick: "pass", play_action: "pass", boot: "pass", screen: "pass" };
form.addEventListener("change", e => {
	if (e.target.list) quick.complete(e.target);
	const { called, result } = form.elements;
	if (e.target.name === "family" && calledAs[e.target.value]) called.value = calledAs[e.target.value];
	if (e.target.name === "family" && called.value === "run" && !result.value) { result.value = "rush"; result.classList.add("proposed"); }
	if (["family", "called"].includes(e.target.name) && called.value !== "run" && result.classList.contains("proposed")) { result.value = ""; result.classList.remove("proposed"); }
	if (["family", "called", "concept", "set_name", "play_side"].includes(e.target.name)) { quick.propose(rawAll(), at); offer(); }
});
for (const kind of ["input", "change"]) form.addEventListener(kind, e => { e.target.classList.remove("proposed"); changed(); show(); });
addEventListener("hashchange", () => { changed(); go(Number(location.hash.slice(1)) || at); });

const addWord = (field, word) => call("POST", "/words", { field, word }, { "Idempotency-Key": `"${newKey()}"` });
const guesses = window.usual(plays, api);
const quick = window.tagKeys({ form, controls, plays, store: addWord, usualRoutes: guesses.find, changed, reach, whoText: who });

// --- the beginning ---
async function begin() {
	films.length = 0;
	for (const m of [plays, clips]) m.clear();
	for (const [n, d] of await kept.all()) drafts.set(Number(n), d);
	for (const p of await all("/plays?game_id=" + game)) plays.set(p.number, p);
	const byID = new Map([...plays.values()].map(p => [p.id, p.number]));
	for (const f of await all("/films?game_id=" + game)) {
		films.push(f);
		for (const c of await all("/clips?film_id=" + f.id)) addClip(byID.get(c.play_id) || c.number, f, c);
	}
	go(Number(location.hash.slice(1)) || numbers().find(n => !plays.has(n)) || (plays.size ? next() : 1));
	for (const [n, d] of drafts) {
		// Sent as it stands, and the page ended before the answer: it goes again, under its key.
		if (d.state === "open" && d.sent && plain(d.sent) === plain(playOf(d.raw, d.base, n))) d.state = "waiting";
		if (d.state === "waiting") later();
	}
	show();
	document.body.dataset.ready = "yes";
	guesses.learn(document.body.dataset.opponent).catch(() => {}); // the built-in pictures do meanwhile
}
const start = () => begin().catch(e => {
	$("where").textContent = "Can't load the game: " + e.message + ". Trying again.";
	setTimeout(start, Math.max(3000, notBefore - Date.now()));
});
start();
})();
