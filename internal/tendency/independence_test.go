package tendency

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestFisherExact(t *testing.T) {
	for _, tt := range []struct {
		a, b, c, d int
		want, tol  float64
		src        string
	}{
		{3, 1, 1, 3, 34.0 / 70, 1e-9, "lady tasting tea: Fisher 1935, ch. II (CALC)"},
		{4, 0, 0, 4, 2.0 / 70, 1e-9, "lady tasting tea, all right: P(k=4) = P(k=0) = 1/70 (Fisher 1935, CALC)"},
		{2, 15, 10, 3, .000536724, 1e-8, "convictions of twins: Fisher 1962, R fisher.test help (SEEN-code)"},
		{37, 30, 227, 299, .06808, 5e-6, thirdDownSource},
		{0, 0, 3, 5, 1, 0, "an empty row says nothing"},
	} {
		if p := FisherExact(tt.a, tt.b, tt.c, tt.d); !near(p, tt.want, tt.tol) {
			t.Errorf("FisherExact(%d, %d, %d, %d) = %v; want %v (%s)", tt.a, tt.b, tt.c, tt.d, p, tt.want, tt.src)
		}
	}
}

func TestFisherTable(t *testing.T) {
	for _, tt := range []struct {
		table     [][]int
		want, tol float64
		src       string
	}{
		{[][]int{{1, 3, 10, 6}, {2, 3, 10, 7}, {1, 6, 14, 12}, {0, 1, 9, 11}}, .7827, 5e-5,
			"job satisfaction: Agresti 2002 p. 57, R fisher.test help (SEEN-code)"},
		{[][]int{{1, 2, 2, 1, 1, 0, 1}, {2, 0, 0, 2, 3, 0, 0}, {0, 1, 1, 1, 2, 7, 3}, {1, 1, 2, 0, 0, 0, 1},
			{0, 1, 1, 1, 1, 0, 0}}, .03929, 5e-6,
			"Mehta & Patel's sixth example, R fisher.test (SEEN-code: a port's test quotes R's value)"},
		{[][]int{{4, 1}, {7, 9}, {197, 292}, {5, 13}}, .21791900681103576, 1e-9,
			"run and pass by distance of one offense of the open season; every table visited in whole numbers by another " +
				"program (CALC)"},
		{[][]int{{2, 15}, {10, 3}}, .000536724, 1e-8, "convictions of twins: Fisher 1962, R fisher.test help (SEEN-code)"},
	} {
		p, ok := fisherTable(tt.table, 5_000_000) // far past the usual limit: seconds
		if !ok || !near(p, tt.want, tt.tol) {
			t.Errorf("FisherTable = %v, %v; want %v (%s)", p, ok, tt.want, tt.src)
		}
		if len(tt.table) > 4 {
			continue
		}
		if q, _ := fisherTable(transposed(tt.table), 5_000_000); !near(p, q, 1e-9) {
			t.Errorf("FisherTable of the transposed table = %v; want %v", q, p)
		}
	}
	if _, ok := FisherTable([][]int{{600, 2}, {500, 1}, {1, 9}}); ok {
		t.Error("FisherTable took more plays than it can; want ok = false")
	}
}

// byHand is the dumb oracle: visit every table with the same margins.
func byHand(table [][]int) float64 {
	rows, cols := margins(table)
	weight := func(t [][]int) float64 {
		w := 0.0
		for _, r := range t {
			for _, v := range r {
				w -= logFactorial(v)
			}
		}
		return w
	}
	seen, all, less := weight(table), 0.0, 0.0
	try := make([][]int, len(rows))
	for i := range try {
		try[i] = make([]int, len(cols))
	}
	var fill func(i, j int)
	fill = func(i, j int) {
		if i == len(rows) {
			for _, c := range cols {
				if c != 0 {
					return
				}
			}
			w := weight(try)
			all += math.Exp(w)
			if w <= seen+tie {
				less += math.Exp(w)
			}
			return
		}
		if j == len(cols)-1 {
			if v := rows[i]; v <= cols[j] {
				try[i][j], cols[j] = v, cols[j]-v
				fill(i+1, 0)
				cols[j] += v
			}
			return
		}
		for v := 0; v <= min(rows[i], cols[j]); v++ {
			try[i][j] = v
			rows[i], cols[j] = rows[i]-v, cols[j]-v
			fill(i, j+1)
			rows[i], cols[j] = rows[i]+v, cols[j]+v
		}
	}
	fill(0, 0)
	return less / all
}

func TestFisherTableByHand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, c := rapid.IntRange(2, 4).Draw(t, "rows"), rapid.IntRange(2, 3).Draw(t, "cols")
		table := make([][]int, r)
		for i := range table {
			table[i] = rapid.SliceOfN(rapid.IntRange(0, 4), c, c).Draw(t, "row")
		}
		p, ok := FisherTable(table)
		if !ok {
			t.Fatalf("%v: too large", table)
		}
		if f := filled(table); len(f) >= 2 && len(f[0]) >= 2 {
			if want := byHand(f); !near(p, want, 1e-9) {
				t.Fatalf("FisherTable(%v) = %v; every table visited: %v", table, p, want)
			}
			if len(f) == 2 && len(f[0]) == 2 && !near(p, FisherExact(f[0][0], f[0][1], f[1][0], f[1][1]), 1e-9) {
				t.Fatalf("FisherTable(%v) = %v differs from FisherExact", table, p)
			}
		}
	})
}

func TestChiSquare(t *testing.T) {
	for _, tt := range []struct {
		table     [][]int
		x2, tol   float64
		df        int
		p, ptol   float64
		least, lt float64
		src       string
	}{
		{[][]int{{762, 327, 468}, {484, 239, 477}}, 30.0701, 5e-5, 2, 2.954e-7, 5e-11, 246.3547, 5e-5,
			"party by gender: Agresti 2007 p. 39 (SEEN-code + CALC)"},
		{[][]int{{83, 3}, {90, 3}, {129, 7}, {70, 12}}, 12.6004, 5e-5, 3, .005585, 1e-6, 5.16, .01,
			"smokers: Fleiss 1981 p. 139 (MEM+CALC)"},
		{[][]int{{131, 79}, {6521, 6592}, {98, 151}, {418, 184}, {407, 418}, {952, 1556}, {511, 208}, {46, 521}, {50, 579},
			{112, 492}}, 1361.1766, 5e-5, 9, 0, 1e-200, 0, math.Inf(1),
			"run and pass by down and distance, NFL 2016 (counts SEEN, statistic CALC)"},
		{[][]int{{418, 130}, {129, 74}}, 12.1337, 5e-5, 1, .000495, 5e-7, 0, math.Inf(1), "3rd and 1: " + thirdDownSource},
		{[][]int{{37, 30}, {227, 299}}, 3.5042, 5e-5, 1, .0612, 5e-5, 0, math.Inf(1), "3rd and 6: " + thirdDownSource},
	} {
		x2, df, p, least := ChiSquare(tt.table)
		if !near(x2, tt.x2, tt.tol) || df != tt.df || !near(p, tt.p, tt.ptol) || !near(least, tt.least, tt.lt) {
			t.Errorf("ChiSquare = %v, %d, %v, least %v; want %v, %d, %v, %v (%s)", x2, df, p, least, tt.x2, tt.df, tt.p,
				tt.least, tt.src)
		}
		if wider := append([][]int{make([]int, len(tt.table[0]))}, tt.table...); true {
			if y2, dg, q, _ := ChiSquare(wider); y2 != x2 || dg != df || q != p {
				t.Errorf("an empty row changes ChiSquare to %v, %d, %v (%s)", y2, dg, q, tt.src)
			}
		}
	}
	for _, tt := range []struct {
		x2   float64
		df   int
		want float64
	}{{3.841, 1, .05}, {5.991, 2, .05}, {7.815, 3, .05}, {6.635, 1, .01}} {
		if p := upperTail(tt.x2, tt.df); !near(p, tt.want, 2e-5) {
			t.Errorf("upper tail of %v at %d = %v; want %v (any chi-square table, CALC)", tt.x2, tt.df, p, tt.want)
		}
	}
	for _, tt := range []struct {
		table [][]int
		want  bool
	}{{[][]int{{83, 3}, {90, 3}, {129, 7}, {70, 12}}, true}, {[][]int{{3, 1}, {1, 3}}, false},
		{[][]int{{40, 40}, {40, 40}, {4, 3}}, false}} {
		if got := expectedAllow(tt.table); got != tt.want {
			t.Errorf("expected counts of %v allow chi-square: %v; want %v (Cochran 1954: none below 1, at most a fifth below "+
				"5; MEM)", tt.table, got, tt.want)
		}
	}
}

func TestIndependence(t *testing.T) {
	for _, tt := range []struct {
		name   string
		table  [][]int
		method string
		effect float64
		src    string
	}{
		{"two by two is exact", [][]int{{37, 30}, {227, 299}}, "exact", math.Sqrt(3.5042 / 593),
			"phi = sqrt(X2/n), X2 from published.md 5.5 (CALC)"},
		{"large is chi-square", [][]int{{762, 327, 468}, {484, 239, 477}}, "chi-square", math.Sqrt(30.0701 / 2757),
			"V = sqrt(X2/n), X2 from Agresti 2007 (SEEN-code)"},
		{"thin and small is exact", [][]int{{1, 3, 0}, {0, 2, 4}}, "exact", -1, "Cochran 1954 (MEM)"},
		{"the row settles the column", [][]int{{9, 0}, {0, 7}}, "exact", 1, "V is 1 by definition"},
		{"one row", [][]int{{5, 6, 7}}, "none", 0, "nothing to compare"},
		{"nothing", nil, "none", 0, "nothing to compare"},
		{"thin and large", [][]int{{400, 300, 300}, {2, 0, 1}, {1, 1, 0}, {0, 2, 0}}, "none", -1,
			"1007 plays are past the exact test's limit"},
	} {
		got := Independence(tt.table)
		if got.Method != tt.method || tt.effect >= 0 && !near(got.Effect, tt.effect, 1e-5) ||
			(tt.method == "none") != (got.P == 1) {
			t.Errorf("%s: %+v; want %s, effect %v (%s)", tt.name, got, tt.method, tt.effect, tt.src)
		}
	}
}
