package wire

import (
	"net/http"
	"slices"
)

// A ProblemType is a kind of problem: what its page says (RFC 9457, 3.1.1 and 4).
type ProblemType struct {
	Name   string // at the end of its address
	Status int
	Title  string
	About  string // what happened
	Do     string // what to do
}

// ProblemsPath is where the pages of the types are.
const ProblemsPath = "/docs/problems"

// Address is the type's URI, relative to the server.
func (p ProblemType) Address() string { return ProblemsPath + "/" + p.Name }

// Problems are the types there are, by status.
var Problems = []ProblemType{
	{"not-understood", http.StatusBadRequest, "The request is not understood",
		"A parameter has a value that the document does not allow, or the body is not JSON at all.",
		"errors names each parameter with what is wrong; the document of the API says what each may be."},
	{"who-are-you", http.StatusUnauthorized, "Nobody is signed in",
		"The request carries no session and no token, or one that has ended.",
		"Sign in, or send Authorization: Bearer with a token of the program."},
	{"not-yours", http.StatusForbidden, "Your role does not allow it",
		"What was asked takes a role that the caller or the token does not have, or a session instead of a token, or it " +
			"came from a page of another site.", "Ask an owner of the program for the role; the detail names it."},
	{"not-here", http.StatusNotFound, "There is no such thing",
		"The address leads nowhere, or to something of another program, or to what was deleted.",
		"Ask for the list it should be in. What was deleted is among the deletions."},
	{"no-such-method", http.StatusMethodNotAllowed, "The address does not take this method",
		"There is such an address, but nothing that this method does to it.", "The header Allow names the methods it takes."},
	{"no-such-form", http.StatusNotAcceptable, "The answer has no such form",
		"The header Accept takes none of the forms this answer comes in.",
		"The detail names the forms. Send Accept: */* to take whatever comes."},
	{"in-the-way", http.StatusConflict, "Something stands in the way",
		"What is saved does not allow it: the same is there already, a plan is locked, a play was changed since.",
		"The detail and errors say what. Nothing was saved."},
	{"changed-since", http.StatusPreconditionFailed, "Somebody was faster",
		"If-Match names a version that is not the present one.",
		"current is what is there now, ETag its version: look at it, and send the change again with that."},
	{"too-large", http.StatusRequestEntityTooLarge, "The body is too large",
		"A body may have 1 MB, a spreadsheet 16 MB.", "Send it in parts."},
	{"wrong-kind-of-body", http.StatusUnsupportedMediaType, "The body is of a kind that is not taken here",
		"The header Content-Type names a kind of body that this operation does not read.",
		"The detail names the kinds it reads."},
	{"not-valid", http.StatusUnprocessableEntity, "What was sent does not hold",
		"The body could be read, and says something that cannot be: a down of five, a word that is not in the vocabulary, " +
			"a call whose men have nobody.", "errors names each field, and the row of a sheet; faults the place in a call. " +
			"Nothing was saved."},
	{"version-needed", http.StatusPreconditionRequired, "Say which version you saw",
		"Changing or deleting this takes the header If-Match, so that nobody's change is overwritten.",
		"Read it first, and send its ETag as If-Match."},
	{"too-often", http.StatusTooManyRequests, "Too much at once",
		"The same person or program asks too often, or has enough such requests here already.",
		"Retry-After says after how many seconds to ask again. Nothing was done."},
	{"our-fault", http.StatusInternalServerError, "Something broke on the server",
		"A fault of the program. It is in the log, with the request's X-Request-Id.",
		"Tell the administrator the X-Request-Id."},
	{"later", http.StatusServiceUnavailable, "Not now",
		"The server is busy, its database does not answer, its disk is full, or the answer took too long.",
		"Retry-After says after how many seconds to ask again. Nothing was done, unless the detail of a write leaves it " +
			"open."},
}

// ProblemOf is the type and title of a status; about:blank and the status's own phrase where
// there is none of ours.
func ProblemOf(status int) (address, title string) {
	i := slices.IndexFunc(Problems, func(p ProblemType) bool { return p.Status == status })
	if i < 0 {
		return "about:blank", http.StatusText(status)
	}
	return Problems[i].Address(), Problems[i].Title
}

// Problem finds a type by name.
func Problem(name string) (ProblemType, bool) {
	i := slices.IndexFunc(Problems, func(p ProblemType) bool { return p.Name == name })
	if i < 0 {
		return ProblemType{}, false
	}
	return Problems[i], true
}
