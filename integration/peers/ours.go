package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// ours is the store's own answer in this process.
func ours(s *postgres.Store, p tags.Program) peer {
	return peer{name: "ours, the store", ask: func(q question) (func() ([]cell, error), error) {
		filters := map[string][]string{}
		for _, f := range q.filters {
			filters[f[0]] = []string{f[1]}
		}
		t, err := s.Tendencies(context.Background(), p, tags.TendencyQuery{By: q.by, Filters: filters})
		if err != nil {
			return nil, err
		}
		out := make([]cell, len(t.Cells))
		for i := range t.Cells {
			c := &t.Cells[i]
			var keys []string
			for _, k := range c.Keys {
				keys = append(keys, *k)
			}
			out[i] = cell{strings.Join(keys, " "), c.Plays, c.Runs, c.GainSum, c.Successes, *c.MedianGain, c.Throws, c.DepthSum}
		}
		return given(out, nil)
	}}
}

// overHTTP is the API's answer, asked over one connection, as it is or compressed.
func overHTTP(address, program string, zipped bool) peer {
	name := "ours over HTTP, one connection"
	if zipped {
		name += ", compressed"
	}
	client := &http.Client{Transport: &http.Transport{DisableCompression: !zipped}}
	return peer{name: name, ask: func(q question) (func() ([]cell, error), error) {
		v := url.Values{"by": {strings.Join(q.by, ",")}}
		for _, f := range q.filters {
			v.Set(f[0], f[1])
		}
		r, err := client.Get(address + "/v1/programs/" + program + "/tendencies?" + v.Encode())
		if err != nil {
			return nil, err
		}
		defer r.Body.Close()
		body, err := io.ReadAll(r.Body)
		if err != nil || r.StatusCode != http.StatusOK {
			return nil, fmt.Errorf("status %d: %s %w", r.StatusCode, body, err)
		}
		return func() ([]cell, error) { return readAnswer(body, q.by) }, nil
	}}
}

func readAnswer(body []byte, by []string) ([]cell, error) {
	var a struct {
		Cells []struct {
			Keys      map[string]*string `json:"keys"`
			Plays     int                `json:"plays"`
			Runs      int                `json:"runs"`
			GainSum   int                `json:"gain_sum_yd"`
			Successes int                `json:"successes"`
			Median    *float64           `json:"median_gain_yd"`
			Throws    int                `json:"throws"`
			MeanDepth *float64           `json:"mean_throw_depth_yd"`
			Depths    int                `json:"throw_depth_known"`
		} `json:"cells"`
	}
	if err := json.Unmarshal(body, &a); err != nil {
		return nil, err
	}
	var out []cell
	for i := range a.Cells {
		c := &a.Cells[i]
		var keys []string
		for _, d := range by {
			keys = append(keys, *c.Keys[d])
		}
		x := cell{strings.Join(keys, " "), c.Plays, c.Runs, c.GainSum, c.Successes, *c.Median, c.Throws, 0}
		if c.MeanDepth != nil { // an answer has the mean
			sum := *c.MeanDepth * float64(c.Depths)
			x.depthSum = int(sum + map[bool]float64{true: .5, false: -.5}[sum >= 0])
		}
		out = append(out, x)
	}
	return out, nil
}
