// A call as it is being written: the call itself and its checks are layers, a man is told
// by name and side. What is changed in a check, or on one side of a pair, becomes that
// layer's own line at the first change; before that the man is as in the call.
"use strict";
const callbody = (() => {
  const copy = v => JSON.parse(JSON.stringify(v)), same = (d, e) => d.name === e.name && d.side === e.side;
  const sideOf = name => /^(strong|weak) /.exec(name)?.[1];
  class Body {
    constructor(doc) { this.doc = doc; this.layer = -1; this.who = doc.defenders[0] ? { name: doc.defenders[0].name, side: doc.defenders[0].side } : null; }
    get check() { return this.layer < 0 ? null : this.doc.checks[this.layer]; }
    get list() { return this.check ? this.check.defenders : this.doc.defenders; }
    // men lists who can be taught something: every man, each half of a pair, and whom the check alone has.
    get men() {
      const out = [], add = e => { if (!out.some(x => same(x, e))) out.push(e); };
      const halved = d => d.side === "both" && this.list.some(x => x.side !== "both" && x.name === `${x.side} ${d.name}`);
      for (const d of [...this.doc.defenders, ...(this.check ? this.check.defenders : [])]) {
        if (!halved(d)) add({ name: d.name, side: d.side });
        if (d.side === "both") for (const s of ["strong", "weak"]) add({ name: `${s} ${d.name}`, side: s });
      }
      return out;
    }
    pairOf(e) { const s = sideOf(e.name); return s && s === e.side ? { name: e.name.slice(s.length + 1), side: "both" } : null; }
    own(e = this.who) { return this.list.find(d => same(d, e)); }
    // seen is the man as he plays in this layer.
    seen(e = this.who) {
      if (!e) return null;
      const pair = this.pairOf(e), find = (l, x) => x && l.find(d => same(d, x));
      return (this.check && (find(this.check.defenders, e) || find(this.check.defenders, pair))) || find(this.doc.defenders, e) || find(this.doc.defenders, pair);
    }
    // mine is the man to be changed, this layer's own from now on. A pair that this layer has becomes two men.
    mine() {
      if (this.own()) return this.own();
      const pair = this.pairOf(this.who), i = pair ? this.list.findIndex(d => same(d, pair)) : -1;
      if (i < 0) this.list.push({ ...copy(this.seen()), name: this.who.name, side: this.who.side });
      else this.list.splice(i, 1, ...["strong", "weak"].map(side => ({ ...copy(this.list[i]), name: `${side} ${pair.name}`, side })));
      return this.own();
    }
    // at finds the layer and the man of a place in the document.
    at(place) {
      const m = /^(?:\/checks\/(\d+))?\/defenders\/(\d+)/.exec(place), layer = m && m[1] !== undefined ? Number(m[1]) : -1;
      const d = m && (layer < 0 ? this.doc.defenders : this.doc.checks[layer]?.defenders)?.[Number(m[2])];
      return d ? { layer, who: { name: d.name, side: d.side } } : /^\/checks\/\d+/.test(place) ? { layer: Number(place.split("/")[2]), who: null } : null;
    }
    rename(name, side) { const d = this.mine(); d.name = name; d.side = side; this.who = { name, side }; }
    addMan() {
      const d = copy(this.seen()), name = `${d.name} 2`;
      this.list.push({ ...d, name }); this.who = { name, side: d.side };
    }
    // drop takes the layer's own line out: in a check the man plays as in the call again.
    drop() { const d = this.own(); if (d) this.list.splice(this.list.indexOf(d), 1); if (!this.seen()) this.who = this.men[0] || null; }
    addCheck(name, when) { (this.doc.checks ||= []).push({ name, when, defenders: [] }); this.layer = this.doc.checks.length - 1; }
    dropCheck() { this.doc.checks.splice(this.layer, 1); if (!this.doc.checks.length) delete this.doc.checks; this.layer = -1; if (!this.seen()) this.who = this.men[0] || null; }
  }
  return { Body, copy, same };
})();
