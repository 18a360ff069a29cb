package tags

import "time"

// A Share lets an association count a program's plays together with those of others.
type Share struct {
	Code    string    `json:"code"`
	Name    string    `json:"name"`
	GivenAt time.Time `json:"given_at"`
}

// Shares are what a program gave and was given.
type Shares struct {
	Association bool    `json:"association"` // takes shares
	Given       []Share `json:"given"`       // to whom
	Received    []Share `json:"received"`    // from whom
}
