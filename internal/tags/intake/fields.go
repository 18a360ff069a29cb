package intake

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"overhang/internal/tags"
)

// setters put a text value into a play's field, by field name; assumed routes are
// nothing that a sheet says.
var setters = settersOf[tags.Play]("routes_assumed")

var routeSetters = settersOf[tags.Route]()

// settersOf makes a setter of every field of a noun that holds one value, by its name in
// JSON; a new tag has one without a line here.
func settersOf[T any](without ...string) map[string]func(*T, string) error {
	out := map[string]func(*T, string) error{}
	of := reflect.TypeFor[T]()
	for i := range of.NumField() {
		name, _, _ := strings.Cut(of.Field(i).Tag.Get("json"), ",")
		if put := putInto(of.Field(i).Type); put != nil && !slices.Contains(without, name) {
			out[name] = func(x *T, v string) error { return put(reflect.ValueOf(x).Elem().Field(i), v) }
		}
	}
	return out
}

// putInto returns what reads a text value into a field of a type, behind a pointer where
// it may be unknown; nil where the type is no single value.
func putInto(t reflect.Type) func(reflect.Value, string) error {
	if t.Kind() == reflect.Pointer {
		put := putInto(t.Elem())
		return func(at reflect.Value, v string) error {
			known := reflect.New(t.Elem())
			if err := put(known.Elem(), v); err != nil {
				return err
			}
			at.Set(known)
			return nil
		}
	}
	switch t.Kind() {
	case reflect.String:
		return func(at reflect.Value, v string) error { at.SetString(v); return nil }
	case reflect.Int:
		return func(at reflect.Value, v string) error { return whole(v, func(n int) { at.SetInt(int64(n)) }) }
	case reflect.Float64:
		return func(at reflect.Value, v string) error { return decimal(v, at.SetFloat) }
	case reflect.Bool:
		return func(at reflect.Value, v string) error { return truth(v, at.SetBool) }
	}
	return nil
}

func decimal(v string, set func(float64)) error {
	f, err := strconv.ParseFloat(v, 64)
	if err != nil {
		return fmt.Errorf("%q is not a number", v)
	}
	set(f)
	return nil
}

// whole reads a whole number; "7.0", as spreadsheets write it, is one.
func whole(v string, set func(int)) error {
	f, err := strconv.ParseFloat(v, 64)
	if err != nil || f != float64(int(f)) {
		return fmt.Errorf("%q is not a whole number", v)
	}
	set(int(f))
	return nil
}

func truth(v string, set func(bool)) error {
	switch v {
	case "1", "true", "yes", "TRUE":
		set(true)
	case "0", "false", "no", "FALSE":
		set(false)
	default:
		return fmt.Errorf("%q is neither yes nor no", v)
	}
	return nil
}
