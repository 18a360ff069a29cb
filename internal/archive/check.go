package archive

import (
	"bytes"
	"encoding/json"
	"errors"
	"slices"

	"github.com/google/uuid"

	"overhang/internal/plan"
	"overhang/internal/stress/call"
	"overhang/internal/tags"
)

// checks hold a row against what the API would accept, where the database alone
// would take more: whatever is imported, the server can serve.
var checks = map[string]func(json.RawMessage) error{
	"programs":      valid[tags.Program],
	"seasons":       valid[tags.Season],
	"opponents":     valid[tags.Opponent],
	"games":         valid[tags.Game],
	"films":         valid[tags.Film],
	"words":         word,
	"calls":         callable,
	"plays":         valid[tags.Play],
	"clips":         valid[tags.Clip],
	"blind_tags":    valid[tags.BlindTag],
	"plans":         readable,
	"play_changes":  change,
	"call_versions": version,
	"link":          link,
}

// A deleted row is checked as one of its kind, which a composite literal may not say.
func init() { checks["deleted_rows"] = deleted }

func check(table string, row json.RawMessage) error {
	if f := checks[table]; f != nil {
		return f(row)
	}
	return nil
}

// decode reads a row as T, naming the field that is none.
func decode(row json.RawMessage, v any) error {
	err := json.Unmarshal(row, v)
	var kind *json.UnmarshalTypeError
	if errors.As(err, &kind) {
		return tags.Fieldf(tags.Invalid, kind.Field, "cannot be a %s", kind.Value)
	}
	if err != nil {
		return bad("%v", err)
	}
	return nil
}

func valid[T any, P interface {
	*T
	Validate() error
}](row json.RawMessage) error {
	var v T
	if err := decode(row, &v); err != nil {
		return err
	}
	return P(&v).Validate()
}

func word(row json.RawMessage) error {
	var w struct {
		tags.Word
		Folded string `json:"folded"`
	}
	if err := decode(row, &w); err != nil {
		return err
	}
	if w.Folded != tags.Fold(w.Word.Word) {
		return tags.Fieldf(tags.Invalid, "folded", "%q is not how %q is found", w.Folded, w.Word.Word)
	}
	return w.Validate()
}

func callable(row json.RawMessage) error {
	var v tags.Call
	if err := decode(row, &v); err != nil {
		return err
	}
	c, err := call.Decode(bytes.NewReader(v.Body))
	if err == nil {
		_, err = call.Compile(c)
	}
	if err != nil {
		return tags.Fieldf(tags.Invalid, "body", "%v", err)
	}
	return v.Validate()
}

// readable checks that a plan can be shown and reviewed.
func readable(row json.RawMessage) error {
	var p tags.Plan
	if err := decode(row, &p); err != nil {
		return err
	}
	if _, err := plan.Read(p.Content); err != nil {
		return err
	}
	return p.Validate()
}

// change checks that the history can be read; plays may have been otherwise then.
func change(row json.RawMessage) error {
	var v struct{ Before, After *tags.Play }
	return decode(row, &v)
}

// version checks that what a call said once can be read; it may have been playable then only.
func version(row json.RawMessage) error {
	var v tags.CallVersion
	if err := decode(row, &v); err != nil {
		return err
	}
	_, err := call.Decode(bytes.NewReader(v.Body))
	return err
}

// undeletable are tables whose rows no deletion keeps.
var undeletable = []string{"programs", "play_changes", "call_versions", "deleted_rows"}

// deleted checks a row as one of its kind, for when it is restored.
func deleted(row json.RawMessage) error {
	var v struct {
		Kind string
		Kept json.RawMessage
	}
	if err := decode(row, &v); err != nil {
		return err
	}
	if checks[v.Kind] == nil || slices.Contains(undeletable, v.Kind) {
		return tags.Fieldf(tags.Invalid, "kind", "%q cannot be deleted", v.Kind)
	}
	return check(v.Kind, v.Kept)
}

func link(row json.RawMessage) error {
	var v struct {
		PlayID uuid.UUID `json:"play_id"`
		Number *int
	}
	return decode(row, &v)
}
