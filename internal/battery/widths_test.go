package battery

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/optimize"
)

// agedAsUsual is Aged where no aged cell tells it, as common practice has it (no source): a cell that is worn out, at 80 %, after 300 to 500 cycles
// has lost 4 % to 7 % in a hundred, and some lose twice that.
const agedAsUsual = 0.1

// labelAsItIs is Label by its meaning: the interval of what a single run says, two standard uncertainties, reaches to what the label says. One run
// does not tell a cell that holds less than its label from one that was not full, ended early or had a bad plug.
const labelAsItIs = 0.5

// found are the widths with which the interval score of 95 % of the logarithm of the time is least (T. Gneiting, A. E. Raftery, J. Am. Stat.
// Assoc. 102 (2007) 359, equation 43), each class counting alike and in it each type, but one of few runs for less; then all times the factor by
// which 95 % of all runs, counted in the same way and the odd ones too, lie inside (a conformal quantile: V. Vovk, A. Gammerman, G. Shafer,
// Algorithmic Learning in a Random World, Springer 2005; from memory). They are drawn a little to where the search begins.
func found(all []foreseen) widths {
	var even []foreseen
	for _, f := range all {
		if !f.odd() && off(f) < math.Inf(1) {
			even = append(even, f)
		}
	}
	begin := widths{Base: 0.02, Typical: 0.05, Alone: 0.03, Rate: 0.01, Cold: 0.003, Chill: 0.01, Warm: 0.002, Label: labelAsItIs, Beyond: 0.4, Misfit: 0.04, Aged: agedAsUsual}
	of := func(x []float64) widths {
		at := func(i int, v float64) float64 { return v * math.Exp(min(max(x[i], -5), 3)) }
		b := begin
		return widths{at(0, b.Base), at(1, b.Typical), at(2, b.Alone), at(3, b.Rate), at(4, b.Cold), at(5, b.Chill), at(6, b.Warm), b.Label, at(7, b.Beyond), at(8, b.Misfit), b.Aged}
	}
	weights := weigh(even)
	score := func(x []float64) float64 {
		w, sum := of(x), 0.0
		for i, f := range even {
			half := 2 * f.part(w)
			sum += weights[i] * (2*half + 2/0.05*max(0, off(f)-half))
		}
		for _, v := range x {
			sum += 1e-3 * v * v
		}
		return sum
	}
	x := make([]float64, 9)
	for range 3 {
		r, err := optimize.Minimize(optimize.Problem{Func: score}, x, &optimize.Settings{MajorIterations: 2500}, &optimize.NelderMead{})
		if r == nil {
			panic(err)
		}
		x = r.X
	}
	return conformal(all, of(x))
}

// times are widths times a factor, but for what is set, Label and Aged, and what goes with the cold.
func (w widths) times(f float64) widths {
	return widths{w.Base * f, w.Typical * f, w.Alone * f, w.Rate * f, w.Cold, w.Chill, w.Warm * f, w.Label, w.Beyond * f, w.Misfit * f, w.Aged}
}

func off(f foreseen) float64 {
	if x := math.Abs(math.Log(f.predicted / f.measured)); !math.IsNaN(x) {
		return x
	}
	return math.Inf(1)
}

// conformal makes widths so wide that 95 % of the runs, by weight, lie inside: first all but those of the cold by runs of cells that had not aged and were
// no colder; then Cold and Chill by the even ones of the cold, of each type, since few types were
// made cold; then Typical by those that nothing taught, not in the cold, and Aged by the even ones
// of those that had aged, but not below what is usual.
func conformal(all []foreseen, w widths) widths {
	var warm, cold, aged, fresh []foreseen
	for _, f := range all {
		if f.typical && f.colder == 0 {
			fresh = append(fresh, f)
		}
		switch {
		case f.class == "aged" && !f.odd():
			aged = append(aged, f)
		case f.class == "aged":
		case f.colder > 5 && !f.odd():
			cold = append(cold, f)
		case f.colder <= 5:
			warm = append(warm, f)
		}
	}
	set := func(f foreseen) float64 { return math.Pow(w.Label*f.label, 2) }
	w = w.times(max(1, quantileOf(warm, func(f foreseen, rest float64) float64 {
		return math.Sqrt(max(0, rest-set(f)) / (math.Pow(w.of(f.doubts), 2) - set(f)))
	})))
	chilled := func(f foreseen) float64 { return math.Pow(w.Cold*f.colder, 2) + math.Pow(w.Chill*f.chill, 2) }
	by, byType := 0.0, map[string][]foreseen{}
	for _, f := range cold {
		byType[f.kind] = append(byType[f.kind], f)
	}
	for _, of := range byType {
		by = max(by, quantileOf(of, func(f foreseen, rest float64) float64 {
			return math.Sqrt(max(0, rest-math.Pow(w.of(f.doubts), 2)+chilled(f)) / chilled(f))
		}))
	}
	w.Cold, w.Chill = by*w.Cold, by*w.Chill
	more := func(f foreseen, rest float64) float64 { return math.Sqrt(max(0, rest-math.Pow(w.of(f.doubts), 2))) }
	w.Typical, w.Aged = 0, 0
	w.Typical = quantileOf(fresh, more)
	w.Aged = max(agedAsUsual, quantileOf(aged, func(f foreseen, rest float64) float64 { return more(f, rest) / f.aged }))
	return w
}

// quantileOf is what 95 % of predictions, by weight, need at most; rest is the square of the width that each needs beside its unknowns.
func quantileOf(all []foreseen, of func(f foreseen, rest float64) float64) float64 {
	weights := weigh(all)
	type need struct{ width, weight float64 }
	var needs []need
	for i, f := range all {
		needs = append(needs, need{of(f, off(f)*off(f)/4-f.u*f.u/f.predicted/f.predicted), weights[i]})
	}
	slices.SortFunc(needs, func(a, b need) int { return cmp.Compare(a.width, b.width) })
	sum := 0.0
	for _, n := range needs {
		if sum += n.weight; sum >= 0.95 {
			return n.width
		}
	}
	return 0
}

// weigh gives each class the same weight, in it each type, but less to a type with fewer than eight runs in it; the sum is 1.
func weigh(all []foreseen) []float64 {
	type cell struct{ class, kind string }
	n := map[cell]float64{}
	types := map[string]float64{}
	for _, f := range all {
		c := cell{f.class, f.kind}
		if n[c] == 0 {
			types[f.class]++
		}
		n[c]++
	}
	out, sum := make([]float64, len(all)), 0.0
	for i, f := range all {
		c := n[cell{f.class, f.kind}]
		out[i] = min(1, c/8) / c / types[f.class]
		sum += out[i]
	}
	for i := range out {
		out[i] /= sum
	}
	return out
}

// The widths in use are those that the recorded predictions give.
func TestWidthsAreFound(t *testing.T) {
	got := found(readForeseen(t, "testdata/reliability.tsv"))
	want := modelWidths
	for _, x := range [][2]float64{{got.Base, want.Base}, {got.Typical, want.Typical}, {got.Alone, want.Alone}, {got.Rate, want.Rate}, {got.Cold, want.Cold}, {got.Chill, want.Chill}, {got.Warm, want.Warm}, {got.Label, want.Label}, {got.Beyond, want.Beyond}, {got.Misfit, want.Misfit}} {
		if math.Abs(x[0]/x[1]-1) > 0.05 {
			t.Errorf("found %+v, in use %+v", got, want)
			break
		}
	}
}
