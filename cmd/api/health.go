package main

import (
	"context"
	"flag"
	"fmt"
	"net/http"
	"time"
)

// health asks a running server whether it is well, for a container that has no
// other program to ask with:
//
//	api health [-url http://127.0.0.1:8080/healthz]
func health(ctx context.Context, args []string) error {
	fs := flag.NewFlagSet("api health", flag.ContinueOnError)
	url := fs.String("url", "http://127.0.0.1:8080/healthz", "what to ask; /readyz asks for the database too")
	if err := fs.Parse(args); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, 5*time.Second)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, *url, nil)
	if err != nil {
		return err
	}
	resp, err := http.DefaultTransport.RoundTrip(req) // being sent elsewhere is no answer
	if err != nil {
		return err
	}
	defer resp.Body.Close()
	if resp.StatusCode != http.StatusOK {
		return fmt.Errorf("%s answers %s", *url, resp.Status)
	}
	return nil
}
