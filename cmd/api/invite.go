package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"slices"

	"github.com/google/uuid"

	"overhang/internal/database/setup"
	"overhang/internal/staff"
	"overhang/internal/tags/postgres"
)

// welcome prints a link for the first owner while nobody can sign in.
func welcome(ctx context.Context, store *postgres.Store, address string, out io.Writer) error {
	none, err := store.Nobody(ctx)
	if err != nil || !none {
		return err
	}
	secret, err := store.Invite(ctx, staff.Invitation{Role: staff.Owner})
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(out,
		"Nobody can sign in yet. The first owner opens this link, once, within three days:\n%s/join?invitation=%s\n", address,
		secret)
	return err
}

// invite prints a link for somebody, whatever they lost: for the administrator.
func invite(ctx context.Context, args []string, out io.Writer) error {
	fs := flag.NewFlagSet("api invite", flag.ContinueOnError)
	code := fs.String("program", "",
		"code of the program; default: the guest makes a new one; using the first such link cancels the rest")
	login := fs.String("login", "", "the login of who is invited; absent: chosen when the link is opened")
	reset := fs.Bool("new-password", false, "the login exists: the guest chooses a new password")
	role := fs.String("role", "owner", "reader, analyst, coordinator or owner")
	if err := fs.Parse(args); err != nil {
		return err
	}
	if !slices.Contains(staff.Roles, staff.Role(*role)) {
		return fmt.Errorf("-role %q: reader, analyst, coordinator or owner", *role)
	}
	if *reset && *login == "" {
		return errors.New("-new-password: say whose with -login")
	}
	store, closeStore, err := setup.Store(ctx, setup.Log(io.Discard))
	if err != nil {
		return err
	}
	defer closeStore()
	inv := staff.Invitation{Role: staff.Role(*role), Resets: *reset}
	if *login != "" {
		inv.Login = login
	}
	if *code != "" {
		p, err := store.Program(ctx, *code)
		if err != nil {
			return err
		}
		inv.Program = uuid.NullUUID{UUID: p.ID, Valid: true}
	}
	secret, err := store.Invite(ctx, inv)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, "/join?invitation=%s\nBehind the server's address, once, within three days.\n", secret)
	return err
}
