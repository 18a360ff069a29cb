package drawing

import "overhang/internal/reports/ink"

// Colors. Vermilion and blue are of the set of Okabe and Ito (2008); the others
// are grays. A test holds their contrast against the grounds they stand on.
const (
	black     = "#111111"
	paper     = "#ffffff"
	chalk     = "#858585" // yard lines, hash marks, numbers
	softInk   = "#5a5a5a" // what is second to look at
	vermilion = "#d55e00"
	blue      = "#0072b2"
	tint      = "#fbe6d6" // the ground of the man in conflict
	endGround = "#ececec"
)

// styles is the one table of looks. Every key that starts with "text" is of text.
var styles = ink.Styles{
	"paper":     {Fill: paper},
	"ground":    {Fill: tint},
	"endzone":   {Fill: endGround},
	"yardline":  {Stroke: chalk, Width: 0.35},
	"tick":      {Stroke: chalk, Width: 0.45},
	"hash":      {Stroke: chalk, Width: 0.6},
	"number":    {Stroke: chalk, Width: 0.6},
	"sideline":  {Stroke: softInk, Width: 1.4},
	"goalline":  {Stroke: softInk, Width: 1.4},
	"scrimmage": {Stroke: softInk, Width: 0.9},

	"eligible": {Stroke: black, Width: 1.1, Fill: paper},
	"lineman":  {Stroke: black, Width: 0.8, Fill: paper},
	"defender": {Stroke: black, Width: 1.1, Fill: paper},
	"rusher":   {Stroke: softInk, Width: 0.9, Fill: paper},
	"conflict": {Stroke: black, Width: 1.1, Fill: black},
	"halo":     {Stroke: vermilion, Width: 1.3},
	"ghost":    {Stroke: vermilion, Width: 1.1, Fill: paper},

	"route":     {Stroke: black, Width: 1.5},
	"route-end": {Stroke: black, Width: 0.5, Fill: black},
	"open":      {Stroke: vermilion, Width: 2.4},
	"open-end":  {Stroke: vermilion, Width: 0.5, Fill: vermilion},
	"other":     {Stroke: blue, Width: 2.2, Dash: []float64{5, 2.6}},
	"other-end": {Stroke: blue, Width: 0.5, Fill: blue},
	"break":     {Fill: black},
	"drop":      {Stroke: softInk, Width: 0.8, Dash: []float64{1, 2}},
	"carry":     {Stroke: black, Width: 2},
	"fake":      {Stroke: black, Width: 1.3, Dash: []float64{2.5, 2}},
	"bend":      {Stroke: black, Width: 1.6, Dash: []float64{4, 2}},
	"block":     {Stroke: black, Width: 1.2},
	"pull":      {Stroke: black, Width: 2},

	"zone":      {Stroke: softInk, Width: 0.9, Dash: []float64{3.5, 2.2}, Fill: paper},
	"zone-help": {Stroke: softInk, Width: 0.9, Dash: []float64{1, 2}, Fill: paper},
	"to-zone":   {Stroke: softInk, Width: 0.9, Dash: []float64{3.5, 2.2}},
	"match":     {Stroke: softInk, Width: 0.9},
	"match-end": {Stroke: softInk, Width: 0.5, Fill: softInk},
	"help":      {Stroke: softInk, Width: 0.9, Dash: []float64{1, 2}},
	"rush":      {Stroke: softInk, Width: 0.9},
	"fit":       {Stroke: black, Width: 0.9, Dash: []float64{6, 1.6, 1, 1.6}},
	"fit-end":   {Stroke: black, Width: 0.5, Fill: black},

	"track":       {Stroke: vermilion, Width: 1, Dash: []float64{1, 1.8}},
	"to-open":     {Stroke: vermilion, Width: 1.1},
	"to-other":    {Stroke: blue, Width: 1.1, Dash: []float64{5, 2.6}},
	"catch-open":  {Stroke: vermilion, Width: 1.6},
	"catch-other": {Stroke: blue, Width: 1.4},

	"here": {Stroke: black, Width: 3},
	"flip": {Stroke: black, Width: 1.1, Dash: []float64{5, 2.6}},

	"span":      {Fill: "#c9c9c9"},
	"span-main": {Fill: "#f0b48a"},

	"text":       {Fill: black},
	"text-bold":  {Fill: black, Bold: true},
	"text-soft":  {Fill: softInk},
	"text-white": {Fill: paper, Bold: true},
	"text-open":  {Fill: "#a34700", Bold: true}, // vermilion is too light for small text
	"text-other": {Fill: "#005d92", Bold: true},
}
