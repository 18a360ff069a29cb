// A snap in few keys. Choices take one key each, and a number that is whole goes on
// by itself; Enter goes to the next tag that this staff asks for, Tab to the next of
// all. An Enter behind a field that went on by itself means that field.
"use strict";
window.tagKeys = ({ form, controls, plays, store, usualRoutes, changed, reach, whoText }) => {
const rows = [0, 1, 2, 3, 4], el = n => form.elements[n], hint = document.getElementById("hint");
const always = ["down", "distance_yd", "yards_to_goal", "hash", "personnel", "set_name", "family", "called", "concept", "play_side", "result", "gain_yd", "shell", "coverage"];
const passOnly = ["shell", "coverage"];
const fold = s => s.trim().toLowerCase().replace(/\s+/g, " ");
let arrived = null; // the control that was reached without an Enter
let warned = null;  // the control whose word was said to be unknown
let spelt = null;   // the choice that one letter picked, and the letters typed since
let taken = false;  // the proposed routes were taken: only their depths are asked

// --- which tags are asked for ---
const shelf = "overhang asks for";
let asks = new Set(always);
try { asks = new Set(JSON.parse(localStorage.getItem(shelf)) || always); } catch { /* the usual ones */ }
const boxes = document.getElementById("asks");
for (const c of controls) {
	if (/\d$/.test(c.name) || c.type === "checkbox") continue;
	const label = document.createElement("label"), box = document.createElement("input");
	Object.assign(box, { type: "checkbox", checked: asks.has(c.name), name: "ask-" + c.name });
	label.append(box, " " + form.querySelector(`label[for="${c.id}"]`).textContent);
	box.addEventListener("change", () => {
		if (box.checked) asks.add(c.name); else asks.delete(c.name);
		try { localStorage.setItem(shelf, JSON.stringify([...asks])); } catch { /* until the page closes */ }
	});
	boxes.append(label);
}
const part = c => { const m = /^(who|route|depth|direction|target)(\d)$/.exec(c.name); return m ? [m[1], Number(m[2])] : [c.name, -1]; };
// order is the controls as they are asked: who was thrown at comes behind all routes.
const order = controls.filter(c => c.name !== "target0");
order.splice(order.indexOf(el("target4")), 0, el("target0"));
const isRun = () => el("called").value === "run";
const proposed = i => el("route" + i).classList.contains("proposed");
const ran = () => rows.filter(i => el("route" + i).value && !proposed(i));
function asked(c) {
	const [kind, i] = part(c);
	if (i < 0) return asks.has(kind) && !(isRun() && passOnly.includes(kind)) && !(kind === "called" && c.value);
	if (isRun()) return false;
	if (kind === "route") return !taken;
	if (kind === "depth") return !!el("route" + i).value && !proposed(i);
	return kind === "target" && i === 0 && ran().length > 0;
}
function nextOf(c, back) {
	const i = order.indexOf(c);
	if (back) return order.slice(0, i).filter(asked).pop();
	return order.slice(i + 1).find(x => asked(x) && (!x.classList.contains("proposed") || x.name === "route0"));
}
function on(c, itself) {
	const to = nextOf(c);
	if (!to) return;
	reach(to);
	arrived = itself && !(to.name === "route0" && proposed(0)) ? to : null; // there an Enter takes the routes
}
const told = c => { for (const kind of ["input", "change"]) c.dispatchEvent(new Event(kind, { bubbles: true })); };

// --- words ---
function uses(field) {
	const n = new Map(), count = w => w && n.set(fold(w), (n.get(fold(w)) || 0) + 1);
	for (const p of plays.values()) if (field === "route") (p.routes || []).forEach(r => count(r.route)); else count(p[field]);
	return n;
}
// meant are the words that a text can mean, the likeliest first: the word itself or
// what it is another name of, else those that begin so, the most used first.
function meant(c) {
	const typed = fold(c.value), options = [...c.list.options], of = o => o.dataset.for || o.value, exact = options.find(o => fold(o.value) === typed);
	if (exact) return [of(exact)];
	const n = uses(c.list.id.slice("words-".length)), words = [...new Set(options.filter(o => fold(o.value).startsWith(typed)).map(of))];
	return words.sort((a, b) => (n.get(fold(b)) || 0) - (n.get(fold(a)) || 0) || a.length - b.length);
}
// sure is the word that Enter takes, "" while there is none: the only one, one that
// all the others begin with, or the most used in this game.
function sure(c) {
	const words = meant(c), n = uses(c.list.id.slice("words-".length));
	if (!fold(c.value) || !words.length) return "";
	const shortest = [...words].sort((a, b) => a.length - b.length)[0], used = w => n.get(fold(w)) || 0;
	if (used(words[0]) > used(words[1] || "")) return words[0];
	return words.every(w => fold(w).startsWith(fold(shortest))) ? shortest : "";
}
function complete(c) {
	const w = sure(c);
	if (w) c.value = w;
	return w;
}
async function add(c) {
	const field = c.list.id.slice("words-".length), word = fold(c.value);
	if (!word) return;
	const { status, answer } = await store(field, word).catch(() => ({ status: 0, answer: {} }));
	if (status === 201 || status === 409) {
		const o = document.createElement("option");
		o.value = word;
		c.list.append(o);
		c.value = word;
		told(c);
		return document.activeElement === c ? on(c) : undefined;
	}
	say(status === 403 ? `Only a coordinator adds words. “${word}” stays typed here until it is one of yours.` : status === 0 ? "The server does not answer: the word is not added." : answer.detail || "The word is not added.");
}

// --- the usual routes ---
function clearProposed() { for (const i of rows) if (proposed(i)) for (const n of ["route", "direction"]) { el(n + i).value = ""; el(n + i).classList.remove("proposed"); } }
function propose(raw, at) {
	if (ran().length || isRun()) return clearProposed();
	clearProposed();
	taken = false;
	usualRoutes(raw, at).forEach((r, i) => {
		el("who" + i).value = whoText(r);
		el("route" + i).value = r.route;
		el("direction" + i).value = r.break_direction || "";
		for (const n of ["route", "direction"]) el(n + i).classList.add("proposed");
	});
}
function take() {
	for (const i of rows) for (const n of ["route", "direction"]) el(n + i).classList.remove("proposed");
	taken = true;
	told(el("route0"));
	reach(nextOf(el("route0")));
}
function aim(key) {
	const i = Number(key) - 1;
	if (!ran().includes(i)) return;
	for (const r of rows) el("target" + r).checked = r === i;
	told(el("target" + i));
	on(el("target0"), true);
}

// --- keys ---
const whole = { quarter: /^\d$/, down: /^\d$/, personnel: /^\d\d$/, rushers: /^\d$/, blitzers: /^\d$/ };
function goesOn(c) {
	const form = whole[c.name] || (c.name.startsWith("depth") ? /^([03-9]|[12]\d)$/ : null);
	return !!form && form.test(c.value);
}
function pick(c, key) {
	const o = [...c.options].find(o => o.dataset.key === key.toLowerCase());
	if (!o) return false;
	spelt = { c, text: key.toLowerCase(), first: o.value, called: el("called").value, whole: false };
	c.value = o.value;
	told(c);
	on(c, true);
	return true;
}
// spell takes letters typed on behind a pick that make the whole word of another choice:
// r is run, rpo is RPO. Further letters that begin a word of the next tag take it back:
// rpow is a run, power.
function spell(c, key) {
	const s = spelt, word = el("concept");
	if (!s || !/^[a-z]$/i.test(key)) return spelt = null, false;
	s.text += key.toLowerCase();
	const rest = s.text.slice(1);
	if (s.whole) {
		spelt = null;
		if ([...c.options || []].some(o => o.dataset.key === key) || ![...word.list.options].some(o => fold(o.value).startsWith(rest))) return false;
		s.c.value = s.first;
		told(s.c);
		word.value = rest;
		reach(word);
		word.setSelectionRange(rest.length, rest.length);
		word.dispatchEvent(new Event("input", { bubbles: true }));
		return true;
	}
	if (c !== word || fold(c.value) !== rest.slice(0, -1)) return spelt = null, false;
	const o = [...s.c.options].find(o => o.value === s.text);
	if (!o) return false;
	word.value = "";
	told(word);
	el("called").value = s.called;
	s.c.value = o.value;
	s.whole = true;
	told(s.c);
	on(s.c, true);
	return true;
}
function enter(c) {
	if (proposed(0) && c.name === "route0") return take();
	if (c.list && c.value && !complete(c) && !meant(c).some(w => fold(w) === fold(c.value)) && warned !== c) {
		warned = c;
		return help(c);
	}
	warned = null;
	if (c.list) told(c);
	// An empty route ends the routes.
	const [kind, i] = part(c);
	if (kind === "route" && !c.value) return reach(ran().length ? el("target0") : nextOf(el("target0")));
	if (kind === "target" && i === 0) return on(el("target0"));
	on(c);
}
// half adds half yards to a depth that went on by itself.
function half(c) {
	const before = controls.slice(0, controls.indexOf(c)).filter(x => /^depth/.test(x.name) && x.value).pop();
	if (!before) return false;
	before.focus();
	before.value += ".";
	return true;
}
// press takes a key; it says whether the key was meant for it.
function press(e) {
	const c = e.target, was = arrived === c;
	arrived = null;
	if (!controls.includes(c) || e.altKey || e.metaKey) return false;
	if (spell(c, e.key)) return true;
	if (e.ctrlKey) return e.key === "Enter" && !!c.list && (add(c), true);
	if (e.key === "Enter" && e.shiftKey) return reach(nextOf(c, true)), true;
	if (e.key === "Enter") return was || enter(c), true;
	if (e.key === "." && was && half(c)) return true;
	if (/^depth/.test(c.name) && e.key === "t") return reach(el("target0")), true;
	if (/^target/.test(c.name)) return /^[1-5]$/.test(e.key) && (aim(e.key), true);
	if (e.key === " " && c.type !== "checkbox" && (!c.value || c.classList.contains("proposed"))) {
		if (c.name === "route0" && proposed(0)) { clearProposed(); changed(); help(c); } else on(c);
		return true;
	}
	return c.tagName === "SELECT" && e.key.length === 1 && pick(c, e.key);
}
form.addEventListener("input", e => {
	if (e.isTrusted && goesOn(e.target) && document.activeElement === e.target) { e.target.classList.remove("proposed"); changed(); on(e.target, true); }
});

// --- what can be typed here ---
const say = text => { hint.replaceChildren(text); };
function key(k, text) {
	const b = document.createElement("kbd"), s = document.createElement("span");
	b.textContent = k;
	s.append(b, " " + text);
	return s;
}
function help(c) {
	if (!controls.includes(c)) return;
	const [kind] = part(c);
	if (proposed(0) && c.name === "route0") return hint.replaceChildren(key("Enter", "take: " + rows.filter(proposed).map(i => el("who" + i).value + " " + el("route" + i).value).join(", ")), key("Space", "none of them"));
	if (kind === "target") return hint.replaceChildren(...ran().map(i => key(i + 1, "thrown to " + el("who" + i).value)), key("Enter", "nobody, or not seen"));
	if (c.tagName === "SELECT") return hint.replaceChildren(...[...c.options].filter(o => o.dataset.key).map(o => key(o.dataset.key, o.textContent)));
	if (c.list && c.value && !meant(c).length) return hint.replaceChildren(`“${c.value}” is not one of your words.`, key("Ctrl+Enter", "add it"), key("Enter", "leave it for now"));
	if (c.list && c.value) return hint.replaceChildren(...meant(c).slice(0, 5).map(w => w === sure(c) ? key("Enter", w) : w));
	if (kind === "depth") return hint.replaceChildren("Yards past the line at the break.", key("Space", "not seen"), key("t", "no more of them: who was thrown at"));
	say(c.placeholder || "");
}
for (const kind of ["focusin", "input", "change"]) form.addEventListener(kind, () => help(document.activeElement));
return { press, complete, propose, proposed, runs: isRun, begin: () => { taken = false; arrived = warned = spelt = null; } };
};
