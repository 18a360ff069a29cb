package httpapi_test

import (
	"archive/zip"
	"bytes"
	"io"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"overhang/internal/archive"
	"overhang/internal/staff"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

// unpacked is a zip's files, one after the other.
func unpacked(t *testing.T, raw string) string {
	t.Helper()
	z, err := zip.NewReader(strings.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.Copy(&out, r); err != nil {
			t.Fatal(err)
		}
	}
	return out.String()
}

// TestExport: an owner gets everything of the program, through the walls, and
// nothing of another; what comes can be imported.
func TestExport(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	owner, other := c.person(s, "ours", "head", staff.Owner), c.person(s, "theirs", "ben", staff.Owner)
	game := owner.season()
	play := owner.must(201, "POST", ours+"/plays", `{"game_id":"`+game+`","number":7,`+smash+`}`)["location"].(string)
	owner.deleteAt(play)
	for _, r := range []staff.Role{staff.Reader, staff.Analyst, staff.Coordinator} {
		c.person(s, "ours", string(r), r).must(403, "GET", ours+"/export", "")
	}
	other.must(404, "GET", ours+"/export", "")
	resp, raw := owner.do("GET", ours+"/export", "")
	if resp.StatusCode != 200 ||
		!regexp.MustCompile(`^attachment; filename="?ours-\d{4}-\d\d-\d\d\.zip"?$`).
			MatchString(resp.Header.Get("Content-Disposition")) {
		t.Fatalf("export: %d %v", resp.StatusCode, resp.Header)
	}
	if resp, raw := owner.do("GET", ours+"/export?format=parquet", ""); resp.StatusCode != 200 ||
		strings.Count(unpacked(t, raw), "PAR1") < 2*len(postgres.Exported()) {
		t.Errorf("as Parquet: %d, not a file a table (each begins and ends with PAR1)", resp.StatusCode)
	}
	all := unpacked(t, raw)
	for _, want := range []string{"Invented opponent", "week 1", "smash", `"play 7, week 1"`, "api import"} {
		if !strings.Contains(all, want) {
			t.Errorf("the export has no %s", want)
		}
	}
	if _, raw := other.do("GET", "/v1/programs/theirs/export", ""); strings.Contains(unpacked(t, raw), "smash") {
		t.Error("another program's export has what is ours")
	}
	elsewhere, err := postgres.Open(t.Context(), postgrestest.URL(t))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(elsewhere.Close)
	made, err := archive.Import(t.Context(), elsewhere, strings.NewReader(raw), int64(len(raw)), "")
	if err != nil || made.Code != "ours" || made.Rows["deleted_rows"] != 1 {
		t.Errorf("imported: %+v, %v", made, err)
	}
}

// TestExportBreaksOff: an export that fails on the way does not end as if it were whole.
func TestExportBreaksOff(t *testing.T) {
	t.Parallel()
	store, _ := postgrestest.New(t)
	c := clientFor(t, store)
	c.season()
	w := &deaf{ResponseRecorder: httptest.NewRecorder()}
	defer func() {
		if recover() == nil {
			t.Error("the export ended well though nobody could hear it")
		}
	}()
	c.server.Config.Handler.ServeHTTP(w, httptest.NewRequest("GET", "http://localhost"+ours+"/export", nil))
}

// deaf takes the beginning of an answer.
type deaf struct{ *httptest.ResponseRecorder }

func (d *deaf) Write(p []byte) (int, error) {
	if d.Body.Len() > 0 {
		return 0, io.ErrClosedPipe
	}
	return d.ResponseRecorder.Write(p)
}
