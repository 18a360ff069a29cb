package handout

import (
	"slices"
	"strconv"
	"strings"

	"overhang/internal/reports/ink"
	"overhang/internal/reports/paper"
	"overhang/internal/stress/field"
)

// A callPage is what some calls ask of a man alike.
type callPage struct {
	orders
	heads    []string
	vertical string // the yards past which the first of them calls a receiver vertical
}

// calls are the orders by call; calls that ask the same of him stand together, and what is
// played as in a call above is not said twice. His usual run fits stand first.
func (x *packet) calls() (out []paper.Block) {
	var all []callPage
	told := x.told()
	usual := x.usualFits(told)
	for _, p := range x.men {
		o := p.orders(told)
		if slices.Equal(o.fits, usual) {
			o.fits = nil
		} else if len(o.fits) == 0 && len(usual) > 0 && len(p.Fits) > 0 {
			o.fits = []string{"Run: " + passFirst + "."}
		}
		i := slices.IndexFunc(all, func(y callPage) bool { return y.orders.equal(&o) })
		if i < 0 {
			i, all = len(all), append(all, callPage{orders: o, vertical: yards(p.of.Vertical)})
		}
		all[i].heads = append(all[i].heads, x.head(p))
	}
	line := func(words string) {
		look := paper.Order
		if strings.HasPrefix(words, checked) {
			look = paper.Strong
		}
		out = append(out, &paper.Paragraph{Text: words, Look: look})
	}
	if len(usual) > 0 {
		out = append(out, paper.H3("Run fits, unless the call says otherwise"))
		for _, words := range usual {
			line(words)
		}
	}
	for i := range all {
		out = append(out, paper.H3(x.headed(all[i].heads)))
		for _, words := range slices.Concat(all[i].said(all[:i]), all[i].fits, all[i].check) {
			line(words)
		}
	}
	return out
}

// headed is the head of calls that stand together; a man's all calls are not listed.
func (x *packet) headed(heads []string) string {
	_, man, named := strings.Cut(heads[0], ", ")
	of := 0
	for _, p := range x.men {
		if ink.Name(p.Defender) == man {
			of++
		}
	}
	if named && len(heads) > 2 && len(heads) == of && !slices.ContainsFunc(heads, func(h string) bool {
		return !strings.HasSuffix(h, ", "+man)
	}) {
		return ink.Capital(man) + ", every call"
	}
	return strings.Join(heads, "; ")
}

// said are the lines of a call without its run fits and checks; what it shares with one of
// those above is said by that one's name.
func (o *callPage) said(above []callPage) []string {
	if len(o.rules) < 3 {
		return slices.Concat(o.lineup, o.rules)
	}
	for k := range above {
		a := &above[k]
		like := "lay it like " + a.heads[0]
		if first := o.base.beyond(&a.base); len(first) > 0 {
			return append(append(slices.Clone(o.lineup), first...), "Anything else: p"+like+".")
		}
		if !slices.Equal(a.rules, o.rules) {
			if !slices.Equal(deepened(a.rules, a.vertical), deepened(o.rules, o.vertical)) {
				continue
			}
			like += ", with " + o.vertical + " yards for " + a.vertical
		}
		if slices.Equal(a.lineup, o.lineup) {
			return []string{"P" + like + "."}
		}
		return append(slices.Clone(o.lineup), "Then p"+like+".")
	}
	return slices.Concat(o.lineup, o.rules)
}

// deepened are rules with a word in the place of the yards past which a receiver is vertical.
func deepened(rules []string, vertical string) []string {
	out := slices.Clone(rules)
	for i := range out {
		for _, way := range []string{"past ", "under ", "short of "} {
			out[i] = strings.ReplaceAll(out[i], way+vertical, way+"vertical")
		}
	}
	return out
}

func yards(y field.Yards) string { return strconv.FormatFloat(y, 'g', -1, 64) }
