package pages

import (
	"net/http"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"overhang/internal/tags"
)

// A Failure is what a page says when something could not be done: what happened,
// what is safe, what to do.
type Failure struct {
	Status int
	Detail string
	Errors []tags.FieldError
	ID     string // of the request, for the administrator
	Wrote  bool   // something was to be stored
	Back   string
}

// Title names it in a word or two.
func (f *Failure) Title() string {
	switch f.Status {
	case http.StatusNotFound:
		return "Nothing here"
	case http.StatusForbidden, http.StatusUnauthorized:
		return "Not yours to do"
	case http.StatusTooManyRequests, http.StatusServiceUnavailable:
		return "Busy right now"
	case http.StatusInternalServerError:
		return "Our mistake"
	}
	return "That didn't work"
}

// What says what happened, as a sentence.
func (f *Failure) What() string {
	if f.Status == http.StatusBadRequest && len(f.Errors) > 0 {
		return "The address of this page asks for something there can't be."
	}
	if f.Detail != "" {
		return Sentence(f.Detail)
	}
	switch f.Status {
	case http.StatusNotFound:
		return "This page doesn't exist, or it's gone."
	case http.StatusMethodNotAllowed:
		return "This page cannot do that."
	case http.StatusInternalServerError:
		return "Something broke on the server. It was written down for the administrator."
	}
	return "The server said: " + strings.ToLower(http.StatusText(f.Status)) + "."
}

// Safe says what of the visitor's work stands.
func (f *Failure) Safe() string {
	switch {
	case f.Status >= 500 && f.Wrote:
		return "It may not be saved. Look before you try again: everything saved earlier is safe."
	case f.Wrote:
		return "Nothing was saved. Everything saved earlier is safe."
	}
	return "Everything you saved is safe."
}

// BackTo names the way on.
func (f *Failure) BackTo() string {
	if f.Back == "/" {
		return "Back to the front page"
	}
	return "Back to the week"
}

// Sentence begins with a capital letter and ends with a full stop.
func Sentence(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	s = string(unicode.ToUpper(r)) + s[n:]
	if !strings.ContainsAny(s[len(s)-1:], ".!?") {
		s += "."
	}
	return s
}

// Whole writes a whole number.
func Whole(n int) string { return strconv.Itoa(n) }
