package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"text/tabwriter"
	"time"

	"github.com/google/uuid"

	"overhang/internal/database/setup"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// access lists the links and tokens that let somebody into a program, with who made each, or
// ends one: for the administrator. Secrets are kept nowhere and are not shown.
func access(ctx context.Context, args []string, out io.Writer) error {
	fs := flag.NewFlagSet("api access", flag.ContinueOnError)
	code := fs.String("program", "", "code of the program")
	end := fs.String("end", "", "id of a link or token to end")
	if err := fs.Parse(args); err != nil {
		return err
	}
	if *code == "" {
		return fmt.Errorf("api access -program CODE [-end ID]")
	}
	store, p, closeStore, err := programOf(ctx, *code)
	if err != nil {
		return err
	}
	defer closeStore()
	if *end == "" {
		return listAccess(ctx, store, p.ID, out)
	}
	id, err := uuid.Parse(*end)
	if err != nil {
		return fmt.Errorf("-end %q is no id: api access -program %s lists them", *end, *code)
	}
	if err = endAccess(ctx, store, p.ID, id); err == nil {
		fmt.Fprintln(out, id, "is ended")
	}
	return err
}

// programOf opens the store and finds a program in it; closeStore closes it.
func programOf(ctx context.Context, code string) (store *postgres.Store, p tags.Program, closeStore func(), err error) {
	store, closeStore, err = setup.Store(ctx, setup.Log(io.Discard))
	if err != nil {
		return nil, p, nil, err
	}
	if p, err = store.Program(ctx, code); err != nil {
		closeStore()
		return nil, p, nil, err
	}
	return store, p, closeStore, nil
}

func endAccess(ctx context.Context, store *postgres.Store, program, id uuid.UUID) error {
	err := store.Uninvite(ctx, program, id)
	if e := tags.As(err); e != nil && e.Kind == tags.NotFound {
		return store.Revoke(ctx, program, id, uuid.NullUUID{})
	}
	return err
}

func listAccess(ctx context.Context, store *postgres.Store, program uuid.UUID, out io.Writer) error {
	links, err := store.Invitations(ctx, program)
	if err != nil {
		return err
	}
	tokens, err := store.Tokens(ctx, program, uuid.NullUUID{})
	if err != nil {
		return err
	}
	members, err := store.Members(ctx, program)
	if err != nil {
		return err
	}
	login := map[uuid.UUID]string{}
	for _, m := range members {
		login[m.ID] = m.Login
	}
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "what\tid\tmade by\tfor\trole\tuntil")
	for _, l := range links {
		maker, guest := "the administrator", "anyone with the link"
		if l.Maker != nil {
			maker = *l.Maker
		}
		if l.Login != nil {
			guest = *l.Login
		}
		fmt.Fprintf(w, "link\t%s\t%s\t%s\t%s\t%s\n", l.ID, maker, guest, l.Role, l.ExpiresAt.Format(time.DateTime))
	}
	for _, t := range tokens {
		if stands(&t) {
			fmt.Fprintf(w, "token\t%s\t%s\t%q\t%s\t%s\n", t.ID, login[t.Person], t.Label, t.Role,
				t.ExpiresAt.Format(time.DateTime))
		}
	}
	return w.Flush()
}

// stands reports whether a token lets anybody in still.
func stands(t *staff.Token) bool { return t.RevokedAt == nil && t.ExpiresAt.After(time.Now()) }
