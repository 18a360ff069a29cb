package postgres

import (
	"slices"
	"strings"
	"testing"

	"overhang/internal/tags"
)

// TestEveryDimensionHasSQL: a dimension is a column of plays, or dimensions.go says what
// it is made of; and it is made of columns that plays, or what is joined to them, have.
func TestEveryDimensionHasSQL(t *testing.T) {
	t.Parallel()
	set := tags.DefaultSettings()
	for _, d := range tags.Dimensions {
		sql := dimension(d, &set)
		if sql == "p."+d && !slices.Contains(plays.columns, d) {
			t.Errorf("the dimension %s is no column of plays: say in dimensions.go what it is made of", d)
		}
		if strings.Count(sql, "(") != strings.Count(sql, ")") || strings.Count(sql, "CASE") != strings.Count(sql, "END") {
			t.Errorf("the SQL of %s does not close what it opens: %s", d, sql)
		}
	}
}
