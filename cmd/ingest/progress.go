package main

import (
	"fmt"
	"io"
	"os"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// progress says how far a file is, counted in what: a bar with the rate and the time left where somebody can
// see it, else a line every ten seconds.
func progress(errs io.Writer, name, what string) func(done, of int) {
	if file, ok := errs.(*os.File); ok && term.IsTerminal(int(file.Fd())) {
		var bar *progressbar.ProgressBar
		return func(done, of int) {
			if bar == nil {
				bar = progressbar.NewOptions(of, progressbar.OptionSetWriter(errs), progressbar.OptionSetDescription(what),
					progressbar.OptionShowCount(), progressbar.OptionShowIts(), progressbar.OptionSetItsString(what),
					progressbar.OptionSetPredictTime(true), progressbar.OptionOnCompletion(func() { fmt.Fprintln(errs) }))
			}
			bar.Set(done)
		}
	}
	return lines(errs, name, what, time.Now)
}

// everyLine is how often a line says how far it is.
const everyLine = 10 * time.Second

func lines(errs io.Writer, name, what string, now func() time.Time) func(done, of int) {
	began := now()
	said := began
	return func(done, of int) {
		at := now()
		if at.Sub(said) < everyLine || done == 0 {
			return
		}
		said = at
		rate := float64(done) / at.Sub(began).Seconds()
		left := time.Duration(float64(of-done) / rate * float64(time.Second)).Round(time.Second)
		fmt.Fprintf(errs, "%s: %d of %d %s, %.0f a second, %s left\n", name, done, of, what, rate, left)
	}
}
