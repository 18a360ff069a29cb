package contract

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"sort"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/labstack/echo/v4"

	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/wire"
)

// A Contract checks requests against the document.
type Contract struct {
	doc *openapi3.T
	ops map[string]*operation // by method and route of the router, as "GET /v1/programs/:program"
}

// New reads a document.
func New(document []byte) (*Contract, error) {
	loader := openapi3.NewLoader()
	doc, err := loader.LoadFromData(document)
	if err != nil {
		return nil, err
	}
	if err := doc.Validate(context.Background()); err != nil {
		return nil, err
	}
	doc.Security = nil // the door's business; the checker would read every body for it
	k := &Contract{doc, map[string]*operation{}}
	route := strings.NewReplacer("{", ":", "}", "")
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			k.ops[method+" "+route.Replace(path)] = &operation{
				&routers.Route{Spec: doc, Path: path, PathItem: item, Method: method, Operation: op},
				RoleFor(method, op), params(item, op), formsOf(op)}
		}
	}
	return k, nil
}

// Members lists what a schema of the document allows, by name.
func (k *Contract) Members(schema string) []string {
	return slices.Sorted(maps.Keys(k.doc.Components.Schemas[schema].Value.Properties))
}

// An operation is what the document says of a route.
type operation struct {
	route *routers.Route
	needs staff.Role
	known map[string]bool // parameters: whether one may be there more than once
	forms []string        // of an answer, the most usual first
}

// Find looks up in the document what the router has found, so that its role is known before its
// body is looked at. A path that is not in it is a page or a 404 of the router's.
func (k *Contract) Find(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		// What cannot be read of a query is left out of it without a word, and another question answered.
		if q := c.Request().URL.RawQuery; strings.ContainsAny(q, ";%") {
			if _, err := url.ParseQuery(q); err != nil {
				return echo.NewHTTPError(http.StatusBadRequest, "the query cannot be read: "+err.Error())
			}
		}
		op := k.ops[c.Request().Method+" "+c.Path()]
		if op == nil {
			return next(c)
		}
		c.Set("needs", op.needs)
		// The router also takes nothing, or several names, for the last name of a path: no such thing is there.
		if !slices.Contains(c.ParamValues(), "") &&
			strings.Count(c.Request().URL.EscapedPath(), "/") == strings.Count(c.Path(), "/") {
			c.Set("operation", op)
		}
		return next(c)
	}
}

// asIs are the checker's choices: every fault is told, and who asks is the door's business.
var asIs = &openapi3filter.Options{MultiError: true, AuthenticationFunc: openapi3filter.NoopAuthenticationFunc}

// Check refuses a request that breaks the document, naming every bad field. It runs
// last: only someone who may do what they ask for is told what is wrong with it.
func (k *Contract) Check(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		op, ok := c.Get("operation").(*operation)
		if !ok {
			return next(c)
		}
		req, query := c.Request(), c.QueryParams()
		if bad := op.unknown(query); len(bad) > 0 {
			return &tags.Error{Kind: tags.Invalid, Msg: "the query is not valid", Fields: bad}
		}
		if err := chosen(c, op.forms); err != nil {
			return err
		}
		if err := boundedBody(req); err != nil {
			return err
		}
		in := &openapi3filter.RequestValidationInput{Request: req, PathParams: map[string]string{}, QueryParams: query,
			Route: op.route, Options: asIs}
		for i, name := range c.ParamNames() {
			in.PathParams[name] = c.ParamValues()[i]
		}
		if err := openapi3filter.ValidateRequest(req.Context(), in); err != nil {
			return refused(op.route, err)
		}
		return next(c)
	}
}

// usual are the forms that answers come in where nobody says which, the first that there is.
var usual = []string{"application/json", "image/svg+xml", "text/vtt"}

// formsOf are the media types that an operation answers in, the most usual first.
func formsOf(op *openapi3.Operation) (offers []string) {
	for status, r := range op.Responses.Map() {
		if strings.HasPrefix(status, "2") {
			offers = slices.AppendSeq(offers, maps.Keys(r.Value.Content))
		}
	}
	slices.Sort(offers)
	offers = slices.Compact(offers)
	slices.SortStableFunc(offers, func(a, b string) int { return place(a) - place(b) })
	return offers
}

// chosen finds the form of an answer that Accept asks for. A parameter format goes first.
func chosen(c echo.Context, offers []string) error {
	if len(offers) == 0 || c.QueryParam("format") != "" || wire.Choose(c, offers) {
		return nil
	}
	return echo.NewHTTPError(http.StatusNotAcceptable, "this comes as "+strings.Join(offers, " or "))
}

// place is how usual a form is, the more usual the less.
func place(kind string) int {
	if i := slices.Index(usual, kind); i >= 0 {
		return i
	}
	return len(usual)
}

// RoleFor is the role an operation names, else a reader's to read and an
// analyst's to write.
func RoleFor(method string, op *openapi3.Operation) staff.Role {
	if name, ok := op.Extensions["x-needs"].(string); ok {
		return staff.Role(name)
	}
	if method == http.MethodGet || method == http.MethodHead {
		return staff.Reader
	}
	return staff.Analyst
}

// Needs is RoleFor an operation of the document.
func (k *Contract) Needs(method, path string) staff.Role {
	return RoleFor(method, k.doc.Paths.Value(path).GetOperation(method))
}

// params are the query parameters of an operation, and of its path, by name.
func params(item *openapi3.PathItem, op *openapi3.Operation) map[string]bool {
	known := map[string]bool{}
	for _, ps := range []openapi3.Parameters{item.Parameters, op.Parameters} {
		for _, p := range ps {
			s := p.Value.Schema
			if s != nil && s.Value.Type.Is("object") { // each member is a parameter of its own
				for name := range s.Value.Properties {
					known[name] = true
				}
				continue
			}
			known[p.Value.Name] = s != nil && s.Value.Type.Is("array")
		}
	}
	return known
}

// unknown finds query parameters that are misspelt, or there again where one counts: silently
// ignored, they would answer another question.
func (op *operation) unknown(query url.Values) []tags.FieldError {
	var bad []tags.FieldError
	for name, values := range query {
		if many, ok := op.known[name]; !ok {
			bad = append(bad, tags.FieldError{Field: name, Msg: "unknown parameter"})
		} else if !many && len(values) > 1 {
			bad = append(bad, tags.FieldError{Field: name, Msg: fmt.Sprintf("is there %d times: send it once", len(values))})
		}
	}
	sort.Slice(bad, func(i, j int) bool { return bad[i].Field < bad[j].Field })
	return bad
}

// refused turns what the validator says into the caller's words.
func refused(route *routers.Route, err error) error {
	var he *echo.HTTPError
	if errors.As(err, &he) {
		return he // the body limit, met while the body was read
	}
	if wrongKind(err) {
		kinds := slices.Sorted(maps.Keys(route.Operation.RequestBody.Value.Content))
		return echo.NewHTTPError(http.StatusUnsupportedMediaType, "send "+strings.Join(kinds, " or "))
	}
	e := &tags.Error{Kind: tags.Invalid, Msg: "the request is not valid"}
	gather(e, "", err)
	for i := range e.Fields {
		if e.Fields[i].Field == "body" && strings.Contains(e.Fields[i].Msg, "JSON") {
			return echo.NewHTTPError(http.StatusBadRequest, e.Fields[i].Msg)
		}
	}
	return e
}

// wrongKind says that the body's media type is none of the operation's. It reads the
// reasons alone: the validator's whole text holds schema and value for every fault.
func wrongKind(err error) bool {
	var multi openapi3.MultiError
	if errors.As(err, &multi) {
		return slices.ContainsFunc(multi, wrongKind)
	}
	var re *openapi3filter.RequestError
	return errors.As(err, &re) && strings.Contains(re.Reason, "header Content-Type has unexpected value")
}

// gather walks the validator's tree of errors.
func gather(e *tags.Error, at string, err error) {
	var (
		multi  openapi3.MultiError
		re     *openapi3filter.RequestError
		parse  *openapi3filter.ParseError
		schema *openapi3.SchemaError
	)
	if m, ok := err.(openapi3.MultiError); ok {
		multi = m
		for _, x := range multi {
			gather(e, at, x)
		}
		return
	}
	if x, ok := err.(*openapi3filter.RequestError); ok {
		re = x
		at = "body"
		if re.Parameter != nil {
			at = re.Parameter.Name
		}
		if re.Err == nil {
			e.Fields = append(e.Fields, tags.FieldError{Field: at, Msg: re.Reason})
			return
		}
		gather(e, at, re.Err)
		return
	}
	switch {
	case errors.As(err, &schema):
		field := strings.Join(schema.JSONPointer(), ".")
		if at != "body" && at != "" {
			field = strings.Trim(at+"."+field, ".")
		}
		if field == "" {
			field = "body"
		}
		e.Fields = append(e.Fields, tags.FieldError{Field: field, Msg: schema.Reason})
	case errors.As(err, &parse):
		msg := parse.Reason
		if at == "body" {
			msg = "the body is not valid JSON"
			if parse.Cause != nil {
				msg += ": " + parse.Cause.Error()
			}
		} else if msg == "" {
			msg = parse.Error()
		}
		e.Fields = append(e.Fields, tags.FieldError{Field: at, Msg: msg})
	default:
		e.Fields = append(e.Fields, tags.FieldError{Field: at, Msg: err.Error()})
	}
}
