package main

import (
	"encoding/csv"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// script asks R's data.table the same questions, timed by R itself. It is given a file,
// how many answers to time and for how many seconds.
const script = `
suppressMessages(library(data.table))
a <- commandArgs(TRUE); setDTthreads(2)
x <- fread(a[1], stringsAsFactors = TRUE); setkey(x, down)
most <- as.integer(a[2]); limit <- as.numeric(a[3])
measures <- function(d, by) d[, .(plays = .N, runs = sum(called == "run"), passes = sum(called == "pass"),
  gain = sum(gain), known = sum(!is.na(gain)), median = median(as.numeric(gain)), successes = sum(success),
  first = sum(first), td = sum(touchdown), explosive = sum(explosive),
  throws = sum(result %in% c("complete", "incomplete", "intercepted")), complete = sum(result == "complete"),
  picked = sum(result == "intercepted"), sacks = sum(result == "sack"), scrambles = sum(result == "scramble"),
  depth = sum(depth, na.rm = TRUE), depths = sum(!is.na(depth)), 
  s = sum(throw_s, na.rm = TRUE), ss = sum(!is.na(throw_s))),
  by = by]
ask <- list(function() measures(x[down == 3 & band == "7-10"], "concept"),
  function() measures(x[zone == "RED"], c("down", "band", "called")), 
  function() measures(x, c("down", "band", "family")))
for (q in ask) {
  for (i in 1:2) q()
  took <- c(); began <- proc.time()[["elapsed"]]
  while (length(took) < most && (length(took) < 5 || proc.time()[["elapsed"]] - began < limit)) {
    at <- Sys.time(); r <- q(); took <- c(took, as.numeric(Sys.time() - at, units = "secs") * 1000)
  }
  took <- sort(took); n <- length(took)
  cat(sprintf("%-52s %10.3f %10.3f %6d   plays %d, gain %d\n", paste("R data.table", packageVersion("data.table")),
    took[n %/% 2 + 1], took[min(n, (n * 99) %/% 100 + 1)], n, sum(r$plays), sum(r$gain)))
}
`

// askR prints what R's data.table takes, or that it is not here.
func askR(plays []play, most int, seconds float64) error {
	if exec.Command("Rscript", "-e", "stopifnot(requireNamespace('data.table'))").Run() != nil {
		fmt.Println("\nR data.table: not on this machine (Debian: r-cran-data.table)")
		return nil
	}
	dir, err := os.MkdirTemp("", "overhang-peers-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	file, by := filepath.Join(dir, "plays.csv"), filepath.Join(dir, "ask.R")
	if err := os.WriteFile(by, []byte(script), 0o600); err != nil {
		return err
	}
	f, err := os.Create(file)
	if err != nil {
		return err
	}
	defer f.Close()
	w := csv.NewWriter(f)
	w.Write(strings.Split("down,band,zone,called,family,concept,result,gain,touchdown,"+
		"success,first,explosive,depth,throw_s", ","))
	for i := range plays {
		p := &plays[i]
		depth, throw := "", ""
		if p.depth != noDepth {
			depth, throw = fmt.Sprint(p.depth), fmt.Sprint(p.throwS)
		}
		w.Write([]string{fmt.Sprint(p.down), p.band, p.zone, p.called, p.family, p.concept, p.result, fmt.Sprint(p.gain),
			fmt.Sprint(p.touchdown), fmt.Sprint(p.success), fmt.Sprint(p.first), fmt.Sprint(p.explosive), depth, throw})
	}
	if w.Flush(); w.Error() != nil {
		return w.Error()
	}
	fmt.Printf("\n%d plays, R, questions a, b and c\n", len(plays))
	c := exec.Command("Rscript", by, file, fmt.Sprint(most), fmt.Sprint(seconds))
	c.Stdout, c.Stderr = os.Stdout, os.Stderr
	return c.Run()
}
