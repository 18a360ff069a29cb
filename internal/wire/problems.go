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
	{"not-understood", http.StatusBadRequest, "Bad request",
		"A parameter has a value the API document doesn't allow, or the body isn't JSON.",
		"errors names each parameter and what is wrong with it; the API document says what each can be."},
	{"who-are-you", http.StatusUnauthorized, "Nobody is signed in",
		"The request carries no session and no token, or one that has ended.",
		"Sign in, or send Authorization: Bearer with a token of the program."},
	{"not-yours", http.StatusForbidden, "Not allowed for your role",
		"This takes a role that you or your token don't have, or a sign-in instead of a token, or it came from a page of " +
			"another site.", "Ask an owner of the program for the role; the detail names it."},
	{"not-here", http.StatusNotFound, "Not found",
		"The address doesn't exist, belongs to another program, or was deleted.",
		"Get the list it should be in. Deleted items are under deletions."},
	{"no-such-method", http.StatusMethodNotAllowed, "Wrong method for this address",
		"The address exists, but not for this method.", "The Allow header lists the methods it takes."},
	{"no-such-form", http.StatusNotAcceptable, "No such format",
		"The Accept header takes none of the formats this answer comes in.",
		"The detail lists the formats. Send Accept: */* to take any of them."},
	{"in-the-way", http.StatusConflict, "It conflicts with what is saved",
		"The same thing exists already, a plan is locked, or a play has changed since.",
		"The detail and errors say which. Nothing was saved."},
	{"changed-since", http.StatusPreconditionFailed, "Someone else saved first",
		"If-Match has an old version.",
		"current is what is there now, and ETag is its version: look at it, then send your change again with that ETag."},
	{"too-large", http.StatusRequestEntityTooLarge, "The body is too large",
		"A body can have 1 MB, a spreadsheet 16 MB.", "Send it in parts."},
	{"wrong-kind-of-body", http.StatusUnsupportedMediaType, "Wrong kind of body",
		"This operation doesn't read bodies of this Content-Type.",
		"The detail lists the kinds it reads."},
	{"not-valid", http.StatusUnprocessableEntity, "Not valid",
		"The body could be read, but says something that can't be: a down of five, a word that isn't in the vocabulary, " +
			"a call that leaves a receiver open.", "errors names each field, and the row of a sheet; faults, the place in a " +
			"call. Nothing was saved."},
	{"version-needed", http.StatusPreconditionRequired, "Say which version you have",
		"Changing or deleting this takes an If-Match header, so nobody's change is overwritten.",
		"Read it first, and send its ETag as If-Match."},
	{"too-often", http.StatusTooManyRequests, "Too many requests",
		"You or your program ask too often, or have enough requests like this running already.",
		"Retry-After says how many seconds to wait. Nothing was done."},
	{"our-fault", http.StatusInternalServerError, "Something broke on the server",
		"A fault in the program. It is in the log, with the request's X-Request-Id.",
		"Tell the administrator the X-Request-Id."},
	{"later", http.StatusServiceUnavailable, "Not now",
		"The server is busy, its database is down, its disk is full, or the answer took too long.",
		"Retry-After says how many seconds to wait. Nothing was done, unless the detail of a write leaves that open."},
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
