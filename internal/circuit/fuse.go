package circuit

import (
	"cmp"
	"math"
	"slices"

	"voltwright/internal/quantity"
)

// Gate is when a fuse opens at one current: not before Shortest and not after
// Longest. NaN: not given by its table at this current; +Inf: never.
type Gate struct {
	Shortest, Longest quantity.Seconds
	Ratio             float64 // current over rating
	Quoted
}

// GateAt finds when a fuse of a kind and rating opens. Between the points of the
// table the gate is the widest that they allow: the shortest time is that of the
// next higher point, the longest that of the next lower, since a fuse opens
// sooner the more it carries. A table that was read goes before one that was not,
// if it is for this rating; below its lowest current another table's, if that
// goes lower. For a kind or rating that no table holds, and where a table says
// nothing at this current, the error is an *UnjudgedError.
func GateAt(kind string, rating, current quantity.Amperes) (Gate, error) {
	if kind == "" || !(rating > 0) {
		return Gate{}, unjudged("the kind or the rating of the fuse is not stated")
	}
	rows := gatesFor(kind, float64(rating), 100*float64(current)/float64(rating))
	if len(rows) == 0 {
		return Gate{}, unjudged("no table of opening times is at hand for a %s fuse of %v A", kind, float64(rating))
	}
	g := Gate{Ratio: float64(current) / float64(rating), Shortest: quantity.Seconds(math.NaN()), Longest: quantity.Seconds(math.NaN())}
	percent := g.Ratio * 100 * (1 - 1e-12)
	for _, r := range rows {
		if r.percent >= percent && math.IsNaN(float64(g.Shortest)) && !math.IsNaN(r.shortest) {
			g.Shortest = quantity.Seconds(r.shortest)
			g.Quoted = g.also(r.quoted)
		}
		if r.percent <= g.Ratio*100*(1+1e-12) && !math.IsNaN(r.longest) {
			g.Longest = quantity.Seconds(r.longest)
			g.Quoted = g.also(r.quoted)
		}
	}
	if math.IsNaN(float64(g.Shortest)) && math.IsNaN(float64(g.Longest)) {
		return g, unjudged("the table of opening times of a %s fuse says nothing at %.3g times its rating", kind, g.Ratio)
	}
	return g, nil
}

// gatesFor gives the rows for one rating from a single source, in rising
// percentage: the most trusted source that holds the rating. Where a current, in percent of the
// rating, lies below all that a source has, one that goes lower takes its place.
func gatesFor(kind string, rating, percent float64) []gateRow {
	var best []gateRow
	rank, lowest := math.MaxInt, math.Inf(1)
	bySource := map[string][]gateRow{}
	var order []string
	for _, r := range tables().gates {
		if r.kind != kind || rating < r.from || rating > r.to {
			continue
		}
		if !slices.Contains(order, r.quoted.Source) {
			order = append(order, r.quoted.Source)
		}
		bySource[r.quoted.Source] = append(bySource[r.quoted.Source], r)
	}
	for _, source := range order {
		rows := bySource[source]
		slices.SortStableFunc(rows, func(a, b gateRow) int { return cmp.Compare(a.percent, b.percent) })
		this := rows[0].quoted.Status.Rank()
		low := max(rows[0].percent, percent) // what lies below the current makes no difference
		if low < lowest || low == lowest && this < rank {
			rank, lowest, best = this, low, rows
		}
	}
	return best
}

// MeltingShare is the part of a fuse's melting I²t that a pulse may have if the
// fuse is to live through so many pulses: 0.48 for 100, 0.38 for 1000, 0.29 for
// 10 000, 0.22 for 100 000. Other counts take the next greater one; above 100 000
// there is none, and ok is false. Source: electronicscatalogs.littelfuse.com,
// fuse-mounting-accessories/12.php.
func MeltingShare(pulses float64) (share float64, ok bool) {
	for _, s := range []struct{ pulses, share float64 }{{100, 0.48}, {1000, 0.38}, {1e4, 0.29}, {1e5, 0.22}} {
		if pulses <= s.pulses {
			return s.share, true
		}
	}
	return 0, false
}

// GreatestFuse is the greatest rating of a fuse that protects a conductor: 150 %
// of its ampacity in a system below 50 V, 100 % from 50 V. Source: 33 CFR
// 183.455(c); from 50 V it allows the next standard size up to 150 %, which is
// left to the maker.
func GreatestFuse(ampacity quantity.Amperes, system quantity.Volts) quantity.Amperes {
	if system < bundlesFrom {
		return ampacity * 1.5
	}
	return ampacity
}

// LeastFuse is the least rating that carries a lasting current: 125 % of it, so
// that the load is at most 80 % of the fuse. Source: NFPA 70 210.20 and 215.3, as
// told by intrysys.com.
func LeastFuse(lasting quantity.Amperes) quantity.Amperes { return lasting * 1.25 }
