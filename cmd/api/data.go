package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"time"
)

// data makes, lists and ends logins at the database that read one program with tools of
// their own: for the administrator.
func data(ctx context.Context, args []string, out io.Writer) error {
	fs := flag.NewFlagSet("api data", flag.ContinueOnError)
	code := fs.String("program", "", "code of the program")
	login := fs.String("login", "", "make this login; its address with the password is shown once")
	end := fs.String("end", "", "end this login")
	if err := fs.Parse(args); err != nil {
		return err
	}
	if *code == "" || *login != "" && *end != "" {
		return errors.New("api data -program CODE [-login NAME | -end NAME]")
	}
	store, p, closeStore, err := programOf(ctx, *code)
	if err != nil {
		return err
	}
	defer closeStore()
	switch {
	case *login != "":
		address, err := store.AddDataLogin(ctx, p.ID, *login)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintln(out, address)
		return err
	case *end != "":
		if err := store.EndDataLogin(ctx, p.ID, *end); err != nil {
			return err
		}
		_, err = fmt.Fprintln(out, *end, "is ended")
		return err
	}
	logins, err := store.DataLogins(ctx, p.ID)
	for _, l := range logins {
		fmt.Fprintf(out, "%s  since %s\n", l.Login, l.CreatedAt.Format(time.DateOnly))
	}
	return err
}
