package madeup

import (
	"fmt"
	"slices"

	"github.com/getkin/kin-openapi/openapi3"
)

// Undeclared lists the members of a value that its schema does not tell of, by place: the
// standard lets an object have more than its properties, a document that people write
// programs by should not.
func Undeclared(s *openapi3.Schema, v any) (out []string) {
	if s != nil {
		undeclared([]*openapi3.Schema{s}, v, "", &out)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// undeclared looks at a value that several schemas tell of together.
func undeclared(told []*openapi3.Schema, v any, at string, out *[]string) {
	told = parts(told)
	switch v := v.(type) {
	case []any:
		var items []*openapi3.Schema
		for _, s := range told {
			if s.Items != nil {
				items = append(items, s.Items.Value)
			}
		}
		for _, x := range v {
			undeclared(items, x, at+"[]", out)
		}
	case map[string]any:
		for name, x := range v {
			of, known := members(told, name)
			if !known {
				*out = append(*out, fmt.Sprintf("%s.%s", at, name))
				continue
			}
			undeclared(of, x, at+"."+name, out)
		}
	}
}

// members are the schemas of a member, and whether anything tells of it.
func members(told []*openapi3.Schema, name string) (of []*openapi3.Schema, known bool) {
	for _, s := range told {
		if p := s.Properties[name]; p != nil {
			of, known = append(of, p.Value), true
		} else if a := s.AdditionalProperties; a.Schema != nil {
			of, known = append(of, a.Schema.Value), true
		} else if a.Has != nil && *a.Has {
			known = true
		}
	}
	anything := !slices.ContainsFunc(told, func(s *openapi3.Schema) bool { return s.Type != nil })
	return of, known || anything
}

// parts are schemas with what they are made of. Where one of several may hold, all are taken.
func parts(told []*openapi3.Schema) (out []*openapi3.Schema) {
	for _, s := range told {
		out = append(out, s)
		for _, refs := range []openapi3.SchemaRefs{s.AllOf, s.AnyOf, s.OneOf} {
			for _, r := range refs {
				out = append(out, parts([]*openapi3.Schema{r.Value})...)
			}
		}
	}
	return out
}
