package contract

import (
	"testing"

	"overhang/api"
)

// TestDocumentIsValid: the document is one by its standard (OpenAPI 3.0.3), and what it gives
// as examples fits the schemas beside them.
func TestDocumentIsValid(t *testing.T) {
	k, err := New(api.Document)
	if err != nil {
		t.Fatal(err)
	}
	for path, item := range k.doc.Paths.Map() {
		for method, op := range item.Operations() {
			if op.Description == "" || op.Summary == "" || len(op.Summary) > 90 {
				t.Errorf("%s %s: a summary of one line and a description, please", method, path)
			}
		}
	}
}
