package evidence

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/quantity"
)

// peeled is an amount without what stood around it.
type peeled struct {
	hedge          *hedge // the one that says how near, or where there is none the one that bounds
	bound          *hedge // a bound about a hedge that says how near: "at most about"; nil where there is none
	prefix, suffix string // as written
	rest           string
}

// claim is what is claimed of an amount in all.
func (p peeled) claim(a amount) Claim {
	c := p.hedge.claim(a)
	if p.bound != nil {
		c = p.bound.about(c)
	}
	return c
}

// ish is the end of 40-ish, 40ish and an hour-ish.
var ish = lazily(`(?i)(\d|\pL)[- ]ish\b|(\d)ish\b`)

// oddOnes is twenty-odd: some more than twenty.
var oddOnes = lazily(`(?i)(\d|\pL)[- ]odd\b`)

// peel takes the hedges off words, before and behind.
func peel(words string, s Subject) (peeled, error) {
	p := peeled{hedge: plainHedge}
	var found []*hedge
	add := func(h *hedge) {
		if h == plainHedge {
			return
		}
		for _, f := range found {
			if f == h {
				return
			}
		}
		found = append(found, h)
	}
	rest := words
	for again := true; again; {
		again = false
		if h, prefix, after := hedgeBefore(rest, s); h != nil {
			add(h)
			p.prefix, rest, again = joined(p.prefix, prefix), after, true
		} else if lead, after := led(rest, s); lead != "" {
			p.prefix, rest, again = joined(p.prefix, lead), after, true
		}
	}
	for again := true; again; {
		again = false
		if h, before, suffix := hedgeAfter(rest, s); h != nil {
			add(h)
			p.suffix, rest, again = joined(suffix, p.suffix), before, true
		}
	}
	if m := ish().FindString(rest); m != "" {
		add(hedgeNamed("about"))
		rest = ish().ReplaceAllString(rest, "$1$2")
		p.prefix = joined("about", p.prefix)
	}
	if m := oddOnes().FindString(rest); m != "" && s.Form != Date {
		add(hedgeNamed("odd"))
		rest = oddOnes().ReplaceAllString(rest, "$1")
		p.suffix = joined("odd", p.suffix)
	}
	p.rest = rest
	switch {
	case len(found) == 1:
		p.hedge = found[0]
	case len(found) == 2 && found[0].about != nil && found[1].name == "about":
		p.bound, p.hedge = found[0], found[1]
	case len(found) == 2 && found[1].about != nil && found[0].name == "about":
		p.bound, p.hedge = found[1], found[0]
	case len(found) > 1:
		return p, fmt.Errorf("%q hedges twice", words)
	}
	return p, nil
}

func joined(a, b string) string { return strings.TrimSpace(a + " " + b) }

func hedgeNamed(name string) *hedge {
	for i := range hedges {
		if hedges[i].name == name {
			return &hedges[i]
		}
	}
	return plainHedge
}

// hedgeBefore finds the longest hedge that stands before words.
func hedgeBefore(words string, s Subject) (h *hedge, prefix, rest string) {
	lower := strings.ToLower(words)
	best := 0
	for i := range hedges {
		if hedges[i].dates && s.Form != Date {
			continue
		}
		for _, w := range hedges[i].before {
			if len(w) <= best || !strings.HasPrefix(lower, w) || len(lower) == len(w) {
				continue
			}
			if lower[len(w)] == ' ' || strings.ContainsAny(w, "≈~<>≤≥") {
				best, h = len(w), &hedges[i]
			}
		}
	}
	for word, of := range paces { // what is faster takes less time, and has more speed
		if len(word) > best && strings.HasPrefix(lower, word+" ") {
			name := of[0]
			if s.Dimension == quantity.Time {
				name = of[1]
			}
			best, h = len(word), hedgeNamed(name)
		}
	}
	if h == nil {
		return nil, "", words
	}
	return h, words[:best], strings.TrimSpace(words[best:])
}

// paces are the hedges that speak of how fast: of a speed, and of a time.
var paces = map[string][2]string{
	"faster than": {"over", "under"}, "quicker than": {"over", "under"}, "slower than": {"under", "over"},
	"no faster than": {"at most", "at least"}, "not faster than": {"at most", "at least"}, "never faster than": {"at most", "at least"},
	"no slower than": {"at least", "at most"}, "not slower than": {"at least", "at most"}, "never slower than": {"at least", "at most"},
}

// hedgeAfter finds the longest hedge that stands behind words.
func hedgeAfter(words string, s Subject) (h *hedge, rest, suffix string) {
	lower := strings.ToLower(words)
	best := 0
	for i := range hedges {
		if hedges[i].dates && s.Form != Date {
			continue
		}
		for _, w := range hedges[i].after {
			if len(w) > best && (strings.HasSuffix(lower, " "+w) || strings.HasSuffix(lower, ","+w)) {
				best, h = len(w), &hedges[i]
			}
		}
	}
	if h == nil {
		return nil, words, ""
	}
	return h, strings.TrimRight(words[:len(words)-best], " ,"), words[len(words)-best:]
}

// The bounds about an amount that is itself about so much.
func aboutLow(c Claim) Claim  { return Claim{Low: c.Low, High: math.Inf(1), LowOpen: c.LowOpen} }
func aboutHigh(c Claim) Claim { return Claim{Low: math.Inf(-1), High: c.High, HighOpen: c.HighOpen} }
