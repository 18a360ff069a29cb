package stress

import (
	"flag"
	"reflect"
	"strconv"
	"strings"

	"overhang/internal/stress/motion"
)

var tuneFlag = flag.String("tune", "", "NAME=VALUE,... over the engine's parameters, for sensitivity")

func tuneParams(p *motion.Params) {
	for _, kv := range strings.Split(*tuneFlag, ",") {
		k, v, ok := strings.Cut(kv, "=")
		if !ok {
			continue
		}
		x, err := strconv.ParseFloat(v, 64)
		if err != nil {
			panic(err)
		}
		if k == "speed" {
			for b, s := range p.Body {
				s.Max *= x
				p.Body[b] = s
			}
			continue
		}
		if f, ok := strings.CutPrefix(k, "Sticks."); ok {
			reflect.ValueOf(&p.Sticks).Elem().FieldByName(f).SetFloat(x)
			continue
		}
		if at, end, ok := strings.Cut(k, "."); ok { // a clock: quick.First
			for f, c := range p.Family {
				if f.String() == at {
					reflect.ValueOf(&c).Elem().FieldByName(end).SetFloat(x)
					p.Family[f] = c
				}
			}
			continue
		}
		f := reflect.ValueOf(p).Elem().FieldByName(k)
		if !f.IsValid() {
			f = reflect.ValueOf(&defaultTuning).Elem().FieldByName(k)
		}
		if !f.IsValid() {
			f = reflect.ValueOf(&DefaultPasser).Elem().FieldByName(k)
		}
		if !f.IsValid() {
			f = reflect.ValueOf(&DefaultCurve).Elem().FieldByName(k)
		}
		f.SetFloat(x)
	}
}
