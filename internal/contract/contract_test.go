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
			for status := range op.Responses.Map() {
				if method == "GET" && status == "200" && op.Responses.Value("304") == nil && op.OperationID != "export" {
					t.Errorf("%s: who has it is answered 304, which the document lacks", path)
				}
			}
			if op.Description == "" || op.Summary == "" || len(op.Summary) > 90 {
				t.Errorf("%s %s: a summary of one line and a description, please", method, path)
			}
		}
	}
}
