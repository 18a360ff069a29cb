// A shelf keeps what is typed and not stored yet so that it outlives a browser that is
// killed: localStorage is written to disk seconds later, IndexedDB when it says so. Both
// are written; what is younger counts. What was taken off leaves a mark until the next
// time, since localStorage may still have it.
"use strict";
window.shelf = name => {
	const opened = new Promise((done, fail) => {
		const r = indexedDB.open("overhang", 1);
		r.onupgradeneeded = () => r.result.createObjectStore("typed");
		r.onsuccess = () => done(r.result);
		r.onerror = r.onblocked = () => fail(r.error);
	});
	opened.catch(() => {}); // a browser that forbids it has localStorage alone
	const write = async change => {
		const tx = (await opened).transaction("typed", "readwrite", { durability: "strict" });
		change(tx.objectStore("typed"));
	};
	const read = async () => new Map(await opened.then(db => new Promise((done, fail) => {
		const out = [], r = db.transaction("typed").objectStore("typed").openCursor(IDBKeyRange.bound(name, name + "\uffff"));
		r.onerror = () => fail(r.error);
		r.onsuccess = () => { const c = r.result; if (!c) return done(out); out.push([c.key, c.value]); c.continue(); };
	})).catch(() => []));
	return {
		// put keeps a value under a word; without one it is taken off. It throws where
		// the browser has no room.
		put(word, value) {
			const key = name + word, text = JSON.stringify({ at: Date.now(), value });
			write(s => s.put(text, key)).catch(() => {});
			if (value) localStorage.setItem(key, text); else localStorage.removeItem(key);
		},
		// all gives what is kept, by its word.
		async all() {
			const sure = await read(), out = new Map(), texts = new Map(sure);
			for (let i = 0; i < localStorage.length; i++) {
				const key = localStorage.key(i);
				if (!key.startsWith(name)) continue;
				const text = localStorage.getItem(key), old = texts.get(key);
				if (!old || JSON.parse(old).at < JSON.parse(text).at) texts.set(key, text);
			}
			for (const [key, text] of texts) {
				const kept = JSON.parse(text);
				if (!("at" in kept)) { out.set(key.slice(name.length), kept); continue; } // of an older page
				if (kept.value) { out.set(key.slice(name.length), kept.value); continue; }
				localStorage.removeItem(key);
				write(s => s.delete(key)).catch(() => {});
			}
			return out;
		},
	};
};
