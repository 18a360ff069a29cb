package wire

import (
	"mime"
	"slices"
	"strconv"
	"strings"
)

// Accepted chooses what a client likes best of the media types that there are, by its
// Accept header (RFC 9110, 12.5.1): the quality of the range that names a type most
// closely counts, and of types it likes alike the first. A type offered may itself be a
// range, video/*. Without a header the first is sent; "" where it takes none of them.
func Accepted(header string, offers []string) string {
	ranges := accepts(header)
	if len(ranges) == 0 && len(offers) > 0 {
		return offers[0]
	}
	best, quality := "", 0.0
	for _, o := range offers {
		if q := liked(ranges, o); q > quality {
			best, quality = o, q
		}
	}
	return best
}

// A liking is one range of an Accept header.
type liking struct {
	kind    string
	quality float64
}

// accepts reads a header, the closest ranges first. What cannot be read is left out.
func accepts(header string) (out []liking) {
	for _, part := range strings.Split(header, ",") {
		kind, params, err := mime.ParseMediaType(part)
		if err != nil || !strings.Contains(kind, "/") {
			continue
		}
		l := liking{kind, 1}
		if q, ok := params["q"]; ok {
			if l.quality, err = strconv.ParseFloat(q, 64); err != nil || !(l.quality >= 0 && l.quality <= 1) {
				continue
			}
		}
		out = append(out, l)
	}
	slices.SortStableFunc(out, func(a, b liking) int { return strings.Count(a.kind, "*") - strings.Count(b.kind, "*") })
	return out
}

// liked is how much a type is liked, 0 for not at all.
func liked(ranges []liking, offer string) float64 {
	for _, l := range ranges {
		if covers(l.kind, offer) || covers(offer, l.kind) {
			return l.quality
		}
	}
	return 0
}

// covers reports whether a range holds a type.
func covers(r, kind string) bool {
	if r == "*/*" || r == kind {
		return true
	}
	whole, ok := strings.CutSuffix(r, "/*")
	return ok && strings.HasPrefix(kind, whole+"/")
}

// takesGzip reports whether an Accept-Encoding header lets an answer be compressed by gzip
// (RFC 9110, 12.5.3).
func takesGzip(header string) bool {
	any := false
	for _, part := range strings.Split(header, ",") {
		name, param, _ := strings.Cut(strings.TrimSpace(part), ";")
		_, q, _ := strings.Cut(strings.ToLower(strings.ReplaceAll(param, " ", "")), "q=")
		quality, err := strconv.ParseFloat(q, 64)
		wanted := q == "" || err == nil && quality > 0
		switch strings.ToLower(strings.TrimSpace(name)) {
		case "gzip", "x-gzip":
			return wanted
		case "*":
			any = wanted
		}
	}
	return any
}
