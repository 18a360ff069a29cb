package tally

// sums are the numbers of one cell while it is added up, used again for the next.
type sums struct {
	kinds []int // of plays by kind of outcome
	gains []int // of plays by gain, from the least
}

// cell adds a pile up.
func (q *question) cell(p *pile, s *sums) (out Cell) {
	im := q.im
	s.of(im, p)
	out.Keys = q.keys(p.key)
	for k, n := range s.kinds {
		if n > 0 {
			out.add(&im.kinds[k], n)
		}
	}
	for g, n := range s.gains {
		out.GainSum += (g + im.least) * n
	}
	out.MedianGain = s.median(im.least, out.GainKnown)
	out.DepthKnown, out.DepthSum = unpack(p.depths)
	out.TimeKnown, out.TimeSum = int(p.timesOf), float64(p.times)/1e6
	return out
}

// of adds up the outcomes of a pile.
func (s *sums) of(im *Image, p *pile) {
	clear(s.kinds)
	clear(s.gains)
	for _, c := range p.few {
		s.add(im, int(c), 1)
	}
	for c, n := range p.many {
		if n > 0 {
			s.add(im, c, int(n))
		}
	}
}

func (s *sums) add(im *Image, code, n int) {
	s.kinds[im.kindOf[code]] += n
	if o := &im.outcomes[code]; o.known {
		s.gains[int(o.gain)-im.least] += n
	}
}

func (x *Cell) add(o *outcome, n int) {
	x.Plays += n
	if o.known {
		x.GainKnown += n
	}
	for _, c := range [...]struct {
		is bool
		to *int
	}{{o.run, &x.Runs}, {o.pass, &x.Passes}, {o.judged && o.success, &x.Successes}, {o.judged, &x.SuccessKnown},
		{o.first, &x.FirstDowns}, {o.touchdown, &x.Touchdowns}, {o.explosive, &x.Explosives},
		{o.explosiveKnown, &x.ExplosiveKnown}, {o.throw, &x.Throws}, {o.complete, &x.Completions},
		{o.intercepted, &x.Interceptions}, {o.sack, &x.Sacks}, {o.scramble, &x.Scrambles}, {o.unsituated, &x.Unsituated}} {
		if c.is {
			*c.to += n
		}
	}
}

// median is half of the two middle gains of n, or the middle one, as percentile_cont(0.5) has it.
func (s *sums) median(least, n int) *float64 {
	if n == 0 {
		return nil
	}
	at := func(k int) float64 { // the k-th, from 0
		for g, of := range s.gains {
			if k -= of; k < 0 {
				return float64(g + least)
			}
		}
		return 0
	}
	m := (at((n-1)/2) + at(n/2)) / 2
	return &m
}
