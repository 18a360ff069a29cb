package reports

import (
	"context"
	"slices"

	"overhang/internal/ask"
	"overhang/internal/reports/handout"
	"overhang/internal/tags"
)

// Groups are the position groups of the packet an order would print, and whose calls it is of.
func Groups(ctx context.Context, from ask.Reads, o *ask.Order) (groups []string, whose string, err error) {
	w, f, err := week(ctx, from, o)
	if err != nil {
		return nil, "", err
	}
	return handout.Groups(w), f.Whose, nil
}

// HasGroup reports, as an error that names the field, that a packet has no page for a group.
func HasGroup(ctx context.Context, from ask.Reads, o *ask.Order, group string) error {
	groups, _, err := Groups(ctx, from, o)
	if err == nil && !slices.Contains(groups, group) {
		err = tags.Fieldf(tags.Invalid, "group", "%q is no group of this week's packet", group)
	}
	return err
}

// Phone is what one position group carries: the page of the packet an order would print, and
// its quiz.
func Phone(ctx context.Context, from ask.Reads, o *ask.Order, group string) (*handout.Phone, error) {
	w, f, err := week(ctx, from, o)
	if err != nil {
		return nil, err
	}
	return handout.OnPhone(ctx, f, w, group)
}
