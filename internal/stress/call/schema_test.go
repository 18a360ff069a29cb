package call

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// TestSchema validates the built-in book against schema.json with an
// independent validator (JSON Schema 2020-12).
func TestSchema(t *testing.T) {
	s, err := jsonschema.NewCompiler().Compile("schema.json")
	if err != nil {
		t.Fatal(err)
	}
	files, _ := filepath.Glob("book/*.json")
	if len(files) < 22 {
		t.Fatalf("%d calls in the book", len(files))
	}
	for _, f := range files {
		raw, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		v, err := jsonschema.UnmarshalJSON(strings.NewReader(string(raw)))
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Validate(v); err != nil {
			t.Errorf("%s: %v", f, err)
		}
		c, err := Decode(strings.NewReader(string(raw)))
		if err != nil {
			t.Fatal(err)
		}
		written, err := c.Encode()
		if err != nil {
			t.Fatal(err)
		}
		v, _ = jsonschema.UnmarshalJSON(strings.NewReader(string(written)))
		if err := s.Validate(v); err != nil {
			t.Errorf("%s written again: %v", f, err)
		}
	}
}
