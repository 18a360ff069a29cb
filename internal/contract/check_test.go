package contract

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"

	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/wire"
)

// small is a document of three operations, by OpenAPI 3.0.3.
const small = `
openapi: 3.0.3
info: {title: small, version: "1"}
paths:
  /plays/{number}:
    parameters:
    - {name: number, in: path, required: true, schema: {type: integer, minimum: 1}}
    - {name: verbose, in: query, schema: {type: boolean}}
    get:
      parameters:
      - {name: limit, in: query, schema: {type: integer, minimum: 1, maximum: 500}}
      - name: filters
        in: query
        style: form
        explode: true
        schema:
          type: object
          properties: {down: {type: string}, hash: {type: string}}
      responses:
        "200":
          description: a play
          content: {text/csv: {schema: {type: string}}, application/json: {schema: {type: object}}}
        "404": {description: none, content: {text/plain: {schema: {type: string}}}}
    put:
      requestBody:
        required: true
        content:
          application/json: {schema: {$ref: "#/components/schemas/Play"}}
      responses: {"204": {description: done}}
    delete:
      x-needs: coordinator
      responses: {"204": {description: gone}}
components:
  schemas:
    Play:
      type: object
      required: [down]
      additionalProperties: false
      properties:
        down: {type: integer, minimum: 1, maximum: 4}
        note: {type: string, maxLength: 5}
        routes:
          type: array
          items:
            type: object
            properties: {side: {type: string, enum: [left, right]}}
`

// ask sends a request through Find and Check, and returns its context with what came of it.
func ask(t *testing.T, method, target, body string, header ...string) (c echo.Context, through bool, err error) {
	t.Helper()
	k, err := New([]byte(small))
	if err != nil {
		t.Fatal(err)
	}
	r := httptest.NewRequest(method, target, strings.NewReader(body))
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	e := echo.New()
	for _, method := range []string{"GET", "PUT", "DELETE"} {
		e.Add(method, "/plays/:number", nil)
	}
	c = e.NewContext(r, httptest.NewRecorder())
	e.Router().Find(method, r.URL.Path, c)
	err = k.Find(k.Check(func(c echo.Context) error {
		through = true
		if got, _ := io.ReadAll(c.Request().Body); string(got) != strings.ReplaceAll(body, "1.0", "1") {
			t.Errorf("the handler reads %q of %q", got, body)
		}
		return nil
	}))(c)
	return c, through, err
}

// named are the fields of a refusal, sorted.
func named(err error) string {
	e := tags.As(err)
	if e == nil || e.Kind != tags.Invalid {
		return ""
	}
	var out []string
	for _, f := range e.Fields {
		out = append(out, f.Field)
	}
	slices.Sort(out)
	return strings.Join(out, " ")
}

func status(err error) int {
	var e *echo.HTTPError
	if errors.As(err, &e) {
		return e.Code
	}
	return 0
}

// TestCheckNamesEveryBadField of the path, the query and the body, wherever it stands, and
// lets nothing through.
func TestCheckNamesEveryBadField(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct{ method, target, body, fields string }{
		"a number that is none":        {"GET", "/plays/x", "", "number"},
		"a number below the least":     {"GET", "/plays/0", "", "number"},
		"a limit below the least":      {"GET", "/plays/1?limit=0", "", "limit"},
		"a limit above the most":       {"GET", "/plays/1?limit=501", "", "limit"},
		"a limit in words":             {"GET", "/plays/1?limit=many", "", "limit"},
		"a misspelt parameter":         {"GET", "/plays/1?dwon=3", "", "dwon"},
		"two misspelt parameters":      {"GET", "/plays/1?zz=1&aa=1&down=3", "", "aa zz"},
		"a limit twice":                {"GET", "/plays/1?limit=3&limit=4", "", "limit"},
		"another operation's":          {"PUT", "/plays/1?limit=3", `{"down":1}`, "limit"},
		"a yes that is none":           {"GET", "/plays/1?verbose=maybe", "", "verbose"},
		"a missing field":              {"PUT", "/plays/1", `{}`, "down"},
		"a field below the least":      {"PUT", "/plays/1", `{"down":0}`, "down"},
		"a field of another kind":      {"PUT", "/plays/1", `{"down":"one"}`, "down"},
		"a text that is too long":      {"PUT", "/plays/1", `{"down":1,"note":"123456"}`, "note"},
		"a field deep inside":          {"PUT", "/plays/1", `{"down":1,"routes":[{},{"side":"up"}]}`, "routes.1.side"},
		"all bad fields of a body":     {"PUT", "/plays/1", `{"down":9,"note":"123456"}`, "down note"},
		"a list where an object is":    {"PUT", "/plays/1", `[]`, "body"},
		"both a parameter and a field": {"PUT", "/plays/0", `{"down":9}`, "down number"},
	} {
		_, through, err := ask(t, tt.method, tt.target, tt.body)
		if got := named(err); got != tt.fields || through {
			t.Errorf("%s: %q (%v), through %v; want %q", name, got, err, through, tt.fields)
		}
	}
	if _, _, err := ask(t, "PUT", "/plays/1", `{"down":1,"extra":1}`); err == nil || !strings.Contains(err.Error(),
		"extra") {
		t.Errorf("a field there is not: %v", err)
	}
}

// TestCheckLetsThrough what the document allows, with the body as it came, and what is no
// operation of it: a page.
func TestCheckLetsThrough(t *testing.T) {
	t.Parallel()
	for _, r := range [][3]string{{"GET", "/plays/1", ""}, {"GET", "/plays/7?limit=1&down=3&hash=left&verbose=true", ""},
		{"GET", "/plays/7?limit=500", ""}, {"PUT", "/plays/1", `{"down":4,"note":"12345","routes":[{"side":"left"}]}`},
		{"PUT", "/plays/1", `{"down":1.0}`}, // JSON Schema core 6.3: a float without a fraction is an integer
		{"GET", "/plays/7?down=3&down=4", ""},
		{"DELETE", "/plays/1", ""}, {"GET", "/programs/us?anything=1", ""}, {"POST", "/sign-in", "{"}} {
		if _, through, err := ask(t, r[0], r[1], r[2]); err != nil || !through {
			t.Errorf("%v: %v, through %v", r, err, through)
		}
	}
}

// TestCheckAnswersByStatus: no JSON is 400, another kind of body 415, a form there is not 406
// (RFC 9110, 15.5).
func TestCheckAnswersByStatus(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		method, body string
		header       []string
		want         int
		says         string
	}{
		"half of an object": {"PUT", `{"down":`, nil, 400, "JSON"},
		"a word":            {"PUT", `down`, nil, 400, "JSON"},
		"Latin-1":           {"PUT", "{\"down\":1,\"note\":\"\xe9\"}", nil, 400, "not UTF-8"}, // RFC 8259, 8.1
		"gzip":              {"PUT", `{"down":1}`, []string{"Content-Encoding", "gzip"}, 415, "not as gzip"},
		"XML":               {"PUT", `<down/>`, []string{"Content-Type", "application/xml"}, 415, "application/json"},
		"no kind of body":   {"PUT", `{"down":1}`, []string{"Content-Type", ""}, 415, "application/json"},
		"a picture, please": {"GET", "", []string{"Accept", "image/png"}, 406, "application/json or text/csv"},
		"refused by weight": {"GET", "", []string{"Accept", "*/*;q=0"}, 406, "text/csv"},
	} {
		_, through, err := ask(t, tt.method, "/plays/1", tt.body, tt.header...)
		if status(err) != tt.want || through || !strings.Contains(fmt.Sprint(err), tt.says) {
			t.Errorf("%s: %v, through %v; want %d that says %q", name, err, through, tt.want, tt.says)
		}
	}
}

// TestUnreadQueries: what of a query is no name with a value is refused, not left out (a semicolon parts
// none: the URL Standard's application/x-www-form-urlencoded parser, 5.1).
func TestUnreadQueries(t *testing.T) {
	t.Parallel()
	for _, q := range []string{"down=1&hash=%zz", "down=1;hash=left", "down=%"} {
		for _, path := range []string{"/plays/1?", "/programs/us?"} {
			if _, through, err := ask(t, "GET", path+q, ""); status(err) != 400 || through {
				t.Errorf("%s%s: %v, through %v; want 400", path, q, err, through)
			}
		}
	}
}

// TestWhole: numbers of a body without a fraction come to integers, and nothing else changes.
func TestWhole(t *testing.T) {
	t.Parallel()
	for body, want := range map[string]string{`[1.0,-2.0, 1e0 ,5E+1]`: `[1,-2, 1 ,50]`, `{"a":1.5,"b":"1.0"}`: "",
		`[1e300,1e16,0.1,-0.0]`: `[1e300,1e16,0.1,0]`, `{"a": 3`: "", `1.0`: "1"} {
		if want == "" {
			want = body
		}
		if why, got := excess([]byte(body)); string(got) != want || why != "" {
			t.Errorf("%s became %s (%q), want %s", body, got, why, want)
		}
	}
}

// TestTheFormOfAnAnswer: JSON is the most usual whatever order the document has; what a
// refusal comes as is no form of the answer.
func TestTheFormOfAnAnswer(t *testing.T) {
	t.Parallel()
	for accept, want := range map[string]string{"": "application/json", "*/*": "application/json", "text/csv": "text/csv",
		"text/*": "text/csv"} {
		c, _, err := ask(t, "GET", "/plays/1", "", "Accept", accept)
		if got := wire.Chosen(c); err != nil || got != want {
			t.Errorf("Accept: %s: %s, %v; want %s", accept, got, err, want)
		}
	}
	if _, _, err := ask(t, "GET", "/plays/1", "", "Accept", "text/plain"); status(err) != 406 {
		t.Errorf("the form of a refusal is taken: %v", err)
	}
	if c, _, err := ask(t, "DELETE", "/plays/1", "", "Accept", "image/png"); err != nil || wire.Chosen(c) != "" {
		t.Errorf("an answer without a body has the form %q, %v", wire.Chosen(c), err)
	}
}

// TestRoles: the one an operation names, else a reader's to read and an analyst's to write;
// known before the body is looked at.
func TestRoles(t *testing.T) {
	t.Parallel()
	for method, want := range map[string]staff.Role{"GET": staff.Reader, "PUT": staff.Analyst,
		"DELETE": staff.Coordinator} {
		c, _, _ := ask(t, method, "/plays/1", `{"down":`)
		if got := c.Get("needs"); got != want {
			t.Errorf("%s needs %v, want %s", method, got, want)
		}
		k, err := New([]byte(small))
		if err != nil || k.Needs(method, "/plays/{number}") != want {
			t.Errorf("%s by its path needs %s, %v", method, k.Needs(method, "/plays/{number}"), err)
		}
	}
	for _, odd := range []string{"/plays/7%2F8", "/plays/7/8"} {
		if c, _, _ := ask(t, "DELETE", odd, ""); c.Get("needs") != staff.Coordinator {
			t.Errorf("DELETE %s needs %v, want %s", odd, c.Get("needs"), staff.Coordinator)
		}
	}
	if _, through, err := ask(t, "DELETE", "/plays/7%2F8", ""); through || err == nil {
		t.Error("a number with a slash is not refused")
	}
	if c, _, _ := ask(t, "GET", "/", ""); c.Get("needs") != nil {
		t.Errorf("a page needs %v", c.Get("needs"))
	}
}

// TestMembers are what a schema allows, in order.
func TestMembers(t *testing.T) {
	t.Parallel()
	k, err := New([]byte(small))
	if err != nil || strings.Join(k.Members("Play"), " ") != "down note routes" {
		t.Errorf("%v, %v", k.Members("Play"), err)
	}
}

// TestADocumentThatIsNone is no contract.
func TestADocumentThatIsNone(t *testing.T) {
	t.Parallel()
	for name, doc := range map[string]string{"nothing": "", "no YAML": "\t:",
		"no paths":               "openapi: 3.0.3\ninfo: {title: x, version: y}",
		"a reference to nothing": strings.Replace(small, "schemas/Play", "schemas/Game", 1),
		"no description":         strings.Replace(small, "{description: done}", "{}", 1)} {
		if k, err := New([]byte(doc)); err == nil {
			t.Errorf("%s: %v", name, k.doc)
		}
	}
}

// TestExcessAtItsBounds: one less is taken, one more is refused with the bound in words; what
// is no JSON is another's to tell.
func TestExcessAtItsBounds(t *testing.T) {
	t.Parallel()
	deep := func(n int) string { return strings.Repeat("[", n) + strings.Repeat("]", n) }
	wide := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, `,"k%d":%d`, i, i)
		}
		return "{" + strings.TrimPrefix(b.String(), ",") + "}"
	}
	many := func(objects, keys int) string {
		return "[" + strings.TrimSuffix(strings.Repeat(wide(keys)+",", objects), ",") + "]"
	}
	text := func(n int) string { return `"` + strings.Repeat("x", n) + `"` }
	for name, tt := range map[string]struct{ body, says string }{
		"as deep as may be":      {deep(mostDeep), ""},
		"one deeper":             {deep(mostDeep + 1), "nested more than 24 deep"},
		"as many keys in one":    {wide(mostInOne), ""},
		"one key more in one":    {wide(mostInOne + 1), "an object with more than 256 keys"},
		"as many keys in all":    {many(200, 100), ""},
		"one key more in all":    {"[" + many(200, 100) + `,{"x":1}]`, "more than 20000 keys"},
		"as long a key":          {"{" + text(longestKey) + ":1}", ""},
		"a longer key":           {"{" + text(longestKey+1) + ":1}", "a key of more than 200 bytes"},
		"as long a text":         {text(longestStr), ""},
		"a longer text":          {text(longestStr + 1), "a text of more than 64000 bytes"},
		"a longer text in a key": {"{" + text(longestStr+1) + ":1}", "a key of more than 200 bytes"},
		"a longer value":         {`{"a":` + text(longestStr+1) + "}", "a text of more than 64000 bytes"},
		"an object in an object": {`{"a":` + wide(mostInOne) + `,"b":` + wide(mostInOne) + "}", ""},
		"no JSON":                {"{{{{", ""},
		"nothing":                {"", ""},
		"two bodies":             {`{"a":1} {"a":2}`, "goes on after its end"},
		"a word after its end":   {`{"a":1} x`, "goes on after its end"},
		"a blank after its end":  {"{\"a\":1} \r\n", ""},
		"a list of many numbers": {"[" + strings.Repeat("1,", 30_000) + "1]", ""},
	} {
		if got, _ := excess([]byte(tt.body)); tt.says == "" && got != "" || !strings.Contains(got, tt.says) {
			t.Errorf("%s: %q, want %q", name, got, tt.says)
		}
	}
}

type broken struct{}

func (broken) Read([]byte) (int, error) { return 0, io.ErrUnexpectedEOF }

// TestBoundedBody: JSON alone is looked at, whatever it is called; one that breaks off is 400,
// and one that is too large is named before the document is asked.
func TestBoundedBody(t *testing.T) {
	t.Parallel()
	of := func(kind string, body io.Reader) error {
		r := httptest.NewRequest(http.MethodPut, "/", body)
		r.Header.Set("Content-Type", kind)
		return boundedBody(r)
	}
	deep := strings.Repeat("[", mostDeep+1)
	for kind, fields := range map[string]string{"application/json": "body", "application/json; charset=utf-8": "body",
		"application/merge-patch+json": "body", "text/csv": "", "": ""} {
		if got := named(of(kind, strings.NewReader(deep))); got != fields {
			t.Errorf("%q: %q, want %q", kind, got, fields)
		}
	}
	if err := of("application/json", broken{}); status(err) != 400 {
		t.Errorf("a body that breaks off: %v", err)
	}
	if err := of("application/json", http.NoBody); err != nil {
		t.Errorf("no body: %v", err)
	}
}
