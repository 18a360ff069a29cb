package call

import (
	"bytes"
	"embed"
	"fmt"
	"sort"
)

//go:embed book/*.json
var bookFiles embed.FS

var book = func() map[string]*Compiled {
	m := map[string]*Compiled{}
	files, err := bookFiles.ReadDir("book")
	if err != nil {
		panic(err)
	}
	for _, f := range files {
		raw, err := bookFiles.ReadFile("book/" + f.Name())
		if err != nil {
			panic(err)
		}
		c, err := Decode(bytes.NewReader(raw))
		if err != nil {
			panic("call: book/" + f.Name() + ": " + err.Error())
		}
		if m[c.Name], err = Compile(c); err != nil {
			panic("call: book/" + f.Name() + ": " + err.Error())
		}
	}
	return m
}()

// Book returns the built-in calls by name, in alphabetical order.
func Book() []*Compiled {
	out := make([]*Compiled, 0, len(book))
	for _, p := range book {
		out = append(out, p)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Call.Name < out[j].Call.Name })
	return out
}

// Lookup finds a call of the built-in book.
func Lookup(name string) (*Compiled, error) {
	if p, ok := book[name]; ok {
		return p, nil
	}
	return nil, fmt.Errorf("no call %q in the built-in book", name)
}
