package picture

import (
	_ "embed"
	"encoding/csv"
	"slices"
	"strings"
	"sync"
)

//go:embed library.csv
var libraryCSV string

// An Entry is a concept of the built-in picture library, with its source.
type Entry struct {
	Concept, Also, Set, Family, Routes string
	Rest                               string // what those run whom the concept does not name: common practice, no source
	Source                             string
	// Everybody says that every offense is taken to have it in its book: one of each part of
	// the field. Common practice, no source.
	Everybody bool
}

// Library returns the built-in concepts in the order of their file.
func Library() []Entry { return slices.Clone(library()) }

// library is read once: an import asks for it with every play.
var library = sync.OnceValue(func() []Entry {
	rows, err := csv.NewReader(strings.NewReader(libraryCSV)).ReadAll()
	if err != nil {
		panic("picture: library.csv: " + err.Error())
	}
	var out []Entry
	for _, r := range rows[1:] {
		out = append(out, Entry{r[0], r[1], r[2], r[3], r[4], r[5], r[6], r[7] != ""})
	}
	return out
})
