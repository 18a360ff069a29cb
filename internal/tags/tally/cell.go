package tally

// cell adds a pile up; few is a row to be used again.
func (q *question) cell(p *pile, few []uint32) (out Cell) {
	im := q.im
	if p.counts == nil {
		clear(few)
		p.spread(few, &im.row)
	}
	out.Keys = q.keys(p.key)
	for k, n := range p.counts[:im.row[ofGains]] {
		if n > 0 {
			out.add(&im.outcomes[k], int(n))
		}
	}
	gains := p.counts[im.row[ofGains]:im.row[ofDepths]]
	for _, c := range im.byGain {
		out.GainKnown += int(gains[c])
		out.GainSum += im.gains[c] * int(gains[c])
	}
	out.MedianGain = im.median(gains, out.GainKnown)
	for c, n := range p.counts[im.row[ofDepths]:im.row[ofTimes]] {
		if c > 0 {
			out.DepthKnown += int(n)
			out.DepthSum += im.depths[c] * int(n)
		}
	}
	var micros int64
	for c, n := range p.counts[im.row[ofTimes]:] {
		if c > 0 {
			out.TimeKnown += int(n)
			micros += im.times[c] * int64(n)
		}
	}
	out.TimeSum = float64(micros) / 1e6
	return out
}

func (x *Cell) add(o *outcome, n int) {
	x.Plays += n
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
func (im *Image) median(gains []uint32, n int) *float64 {
	if n == 0 {
		return nil
	}
	at := func(k int) float64 { // the k-th, from 0
		for _, c := range im.byGain {
			if k -= int(gains[c]); k < 0 {
				return float64(im.gains[c])
			}
		}
		return 0
	}
	m := (at((n-1)/2) + at(n/2)) / 2
	return &m
}
