package postgres_test

import (
	"testing"

	"github.com/google/uuid"

	"overhang/internal/tags"
)

// TestCallVersions: every save of a call is kept with who made it; what was deleted keeps
// its versions, comes back with them, and a purge leaves none.
func TestCallVersions(t *testing.T) {
	d := newDesk(t)
	s, ana := d.s.Calls(), d.s.By("ana")
	v := must[tags.Call](t)(s.Create(ctx, d.p.ID, tags.Call{Name: "two", Active: true, Body: []byte(`{"name": "two"}`)}))
	v.Active = false
	v = must[tags.Call](t)(ana.Calls().Replace(ctx, d.p.ID, v.ID, 1, v))
	v.Body = []byte(`{"name": "two", "title": "press"}`)
	v = must[tags.Call](t)(s.Replace(ctx, d.p.ID, v.ID, 2, v))
	vs := must[[]tags.CallVersion](t)(d.s.CallVersions(ctx, d.p.ID, v.ID, 9, 0))
	if len(vs) != 3 || vs[0].Version != 3 || vs[1].Active || !vs[2].Active || vs[1].Who == nil || *vs[1].Who != "ana" {
		t.Fatalf("three saves, the latest first: %+v", vs)
	}
	if page := must[[]tags.CallVersion](t)(d.s.CallVersions(ctx, d.p.ID, v.ID, 1, 3)); page[0].Version != 2 {
		t.Errorf("the page before version 3: %+v", page)
	}
	_, err := d.s.CallVersions(ctx, d.p.ID, uuid.New(), 9, 0)
	wantKind(t, "versions of nothing", err, tags.NotFound, "call")
	if err := d.remove("calls", v.ID, v.Version); err != nil {
		t.Fatal(err)
	}
	gone := d.deletions()[0].ID
	if vs = must[[]tags.CallVersion](t)(d.s.CallVersions(ctx, d.p.ID, v.ID, 9, 0)); len(vs) != 3 {
		t.Errorf("deleted: %d versions", len(vs))
	}
	must[tags.Deletion](t)(d.s.Restore(ctx, d.p.ID, gone))
	back := must[tags.Call](t)(s.Get(ctx, d.p.ID, v.ID))
	if vs = must[[]tags.CallVersion](t)(d.s.CallVersions(ctx, d.p.ID, v.ID, 9, 0)); vs[0].Version != back.Version {
		t.Errorf("restored as version %d, the latest kept is %d", back.Version, vs[0].Version)
	}
	if err := d.remove("calls", v.ID, back.Version); err != nil {
		t.Fatal(err)
	}
	must[int](t)(d.s.Purge(ctx, d.p.ID, d.deletions()[0].ID))
	if n := d.strings(`SELECT count(*)::text FROM call_versions`)[0]; n != "0" {
		t.Errorf("%s versions stay after a purge", n)
	}
}

// TestFormerNames: a name that a call had leads to the one it has, unless another call has it.
func TestFormerNames(t *testing.T) {
	d := newDesk(t)
	s := d.s.Calls()
	one := must[tags.Call](t)(s.Create(ctx, d.p.ID, tags.Call{Name: "two", Active: true, Body: []byte(`{"name": "two"}`)}))
	for _, name := range []string{"cloud", "rain"} {
		one.Name = name
		one = must[tags.Call](t)(s.Replace(ctx, d.p.ID, one.ID, one.Version, one))
	}
	got := must[map[string]string](t)(d.s.FormerNames(ctx, d.p.ID))
	if len(got) != 2 || got["two"] != "rain" || got["cloud"] != "rain" {
		t.Errorf("renamed twice: %v", got)
	}
	must[tags.Call](t)(s.Create(ctx, d.p.ID, tags.Call{Name: "two", Active: true, Body: []byte(`{"name": "two"}`)}))
	if got = must[map[string]string](t)(d.s.FormerNames(ctx, d.p.ID)); len(got) != 1 || got["cloud"] != "rain" {
		t.Errorf("another call has the first name: %v", got)
	}
}
