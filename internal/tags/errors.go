package tags

import (
	"errors"
	"fmt"
	"strings"
)

// Kind is what a caller can do about an Error.
type Kind int

const (
	Invalid     Kind = iota + 1 // mend the input
	NotFound                    // ask for something that exists
	Conflict                    // something else is in the way
	Stale                       // read again: somebody changed it since
	Unavailable                 // try again later
)

// A FieldError is one thing that is wrong with the input.
type FieldError struct {
	Row   int    `json:"row,omitempty"` // of a list or a file, 0: there is one
	Field string `json:"field"`
	Msg   string `json:"message"`
}

// A Fault is something wrong with a call that was to be saved: where it stands in the
// document, which defender it is.
type Fault struct {
	Path     string `json:"path"` // JSON Pointer (RFC 6901) into the call
	Defender string `json:"defender"`
	Rule     string `json:"rule,omitempty"`
	Message  string `json:"message"`
	Severity string `json:"severity"` // refused or warning
}

// An Error is the caller's mistake, in words for the caller. Everything that
// is not one is ours: logged once and never shown.
type Error struct {
	Kind    Kind
	Msg     string
	Fields  []FieldError
	Faults  []Fault // of a call
	Current any     // with Stale: the thing as it is now
}

// Error says it as it is shown to the caller.
func (e *Error) Error() string {
	parts := []string{e.Msg}
	for _, f := range e.Fields {
		parts = append(parts, f.Field+": "+f.Msg)
	}
	return strings.Join(parts, "; ")
}

// Errorf makes an Error without fields.
func Errorf(k Kind, format string, args ...any) error {
	return &Error{Kind: k, Msg: fmt.Sprintf(format, args...)}
}

// Fieldf makes an Error about one field.
func Fieldf(k Kind, field, format string, args ...any) error {
	msg := fmt.Sprintf(format, args...)
	return &Error{Kind: k, Msg: "the " + field + " cannot be used", Fields: []FieldError{{Field: field, Msg: msg}}}
}

// As returns the caller's mistake in err, or nil.
func As(err error) *Error {
	var e *Error
	if errors.As(err, &e) {
		return e
	}
	return nil
}

// invalid turns a list of field errors into an error, nil when it is empty.
func invalid(what string, fs []FieldError) error {
	if len(fs) == 0 {
		return nil
	}
	return &Error{Kind: Invalid, Msg: what + " is not valid", Fields: fs}
}
