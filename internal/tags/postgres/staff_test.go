package postgres_test

import (
	"fmt"
	"testing"

	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
	"overhang/internal/tags/starter"
)

// TestFirstOwnerShutsTheDoor starts a server three times before anybody opened a
// link: of all who open one at the same moment one comes in, and no link is left.
// A link that the operator makes later, for another program, stands.
func TestFirstOwnerShutsTheDoor(t *testing.T) {
	store, _ := postgrestest.New(t)
	ctx := t.Context()
	invite := func() string {
		secret, err := store.Invite(ctx, staff.Invitation{Role: staff.Owner})
		if err != nil {
			t.Fatal(err)
		}
		return secret
	}
	links := []string{invite(), invite(), invite()}
	join := func(link string, i int) error {
		_, err := store.Accept(ctx, link, fmt.Sprint("head", i), "Invented head", "correct horse battery staple",
			&postgres.Founding{Program: tags.Program{Code: fmt.Sprint("fresh", i), Name: "Fresh", Level: "high_school",
				Invented: true}, Fill: starter.Fill})
		return err
	}
	answers := make(chan error, len(links))
	for i, link := range links {
		go func() { answers <- join(link, i) }()
	}
	in := 0
	for range links {
		err := <-answers
		if err == nil {
			in++
		} else if e := tags.As(err); e == nil || e.Kind != tags.NotFound {
			t.Errorf("a link that came too late: %v, want not found", err)
		}
	}
	if in != 1 {
		t.Errorf("%d came in by the links of a fresh server, want 1", in)
	}
	for _, link := range links {
		if _, err := store.Invitation(ctx, link); err == nil {
			t.Error("a link is left over")
		}
	}
	later := []string{invite(), invite()}
	for i, link := range later {
		if err := join(link, 10+i); err != nil {
			t.Errorf("a link made for a later program: %v", err)
		}
	}
}
