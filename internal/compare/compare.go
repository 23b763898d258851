// Package compare says whether two measured things differ by more than what is not known of them.
//
// Where a thing was measured several times, the spread of the repeats counts (Welch's test); where it was measured once,
// only what its instruments leave open does (JCGM 100). Both go into one combined uncertainty with effective degrees of
// freedom, so that nothing is lost where one side was repeated and the other was not.
//
// What it cannot catch: whether the two were made under the same conditions, and an error that both have in common. Two
// single runs say nothing of how much repeats would differ; a [Difference] says so.
package compare

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"voltwright/internal/finding"
)

// Confidence is that of every interval and verdict: JCGM 100:2008, 6.2.2, common in trade.
const Confidence = 0.95

// Sample is what was measured of one thing, in one unit.
type Sample struct {
	Values []float64
	U      []float64 // standard uncertainty of each by its instruments; NaN or missing: not known
}

// Difference is that of two samples, the second less the first. Where Err is set there are no values.
type Difference struct {
	Value    float64 // of the means
	U        float64 // combined standard uncertainty
	DoF      float64 // effective degrees of freedom; +Inf where no spread of repeats is in U
	Expanded float64 // half the interval of [Confidence]
	P        float64 // probability of a difference as great if there is none, two-sided
	Larger   bool    // the difference is larger than Expanded
	Repeated bool    // both sides were measured more than once
	Err      string  // why nothing can be said, a clause
}

// Between compares two samples. It needs a value on each side, and on a side with one value its uncertainty.
func Between(a, b Sample) Difference {
	if len(a.Values) == 0 || len(b.Values) == 0 {
		return none("nothing was measured on one side")
	}
	var parts []component
	for _, s := range []Sample{a, b} {
		more, err := s.components()
		if err != "" {
			return none(err)
		}
		parts = append(parts, more...)
	}
	u, dof := combined(parts)
	d := Difference{Value: mean(b.Values) - mean(a.Values), U: u, DoF: dof, Repeated: len(a.Values) > 1 && len(b.Values) > 1}
	if !(u > 0) {
		return none("no uncertainty is known on either side")
	}
	d.Expanded = Student(Confidence, dof) * u
	d.P = 2 * survival(math.Abs(d.Value)/u, dof)
	d.Larger = math.Abs(d.Value) > d.Expanded
	return d
}

func none(why string) Difference {
	nan := math.NaN()
	return Difference{Value: nan, U: nan, DoF: nan, Expanded: nan, P: nan, Err: why}
}

// component is one part of a combined uncertainty.
type component struct{ u, dof float64 }

// components are what is not known of a sample's mean: the spread of repeats over √n, with n − 1 degrees of freedom, and
// what the instruments leave open, which repeats with the same instruments do not average out (JCGM 100:2008, 4.2 and
// 4.3; its greatest, as all repeats share it).
func (s Sample) components() ([]component, string) {
	var out []component
	instruments := math.NaN()
	for i, u := range s.U {
		if i < len(s.Values) && u >= 0 && !(instruments > u) {
			instruments = u
		}
	}
	n := float64(len(s.Values))
	if len(s.Values) > 1 {
		m, sum := mean(s.Values), 0.0
		for _, x := range s.Values {
			sum += (x - m) * (x - m)
		}
		out = append(out, component{math.Sqrt(sum / (n - 1) / n), n - 1})
	} else if math.IsNaN(instruments) {
		return nil, "one side was measured once, and how well is not known"
	}
	if instruments > 0 {
		out = append(out, component{instruments, math.Inf(1)})
	}
	return out, ""
}

// combined is the root of the sum of squares and its effective degrees of freedom by Welch and Satterthwaite (JCGM
// 100:2008, G.4.1, equation G.2b).
func combined(parts []component) (u, dof float64) {
	var square, fourth float64
	for _, p := range parts {
		square += p.u * p.u
		if !math.IsInf(p.dof, 1) {
			fourth += p.u * p.u * p.u * p.u / p.dof
		}
	}
	if fourth == 0 {
		return math.Sqrt(square), math.Inf(1)
	}
	return math.Sqrt(square), square * square / fourth
}

// Student is the factor by which a standard uncertainty with so many degrees of freedom is multiplied for a two-sided
// interval of a confidence between 0 and 1; with +Inf degrees it is that of the normal distribution (JCGM 100:2008, G.3
// and table G.2).
func Student(confidence, dof float64) float64 {
	if math.IsInf(dof, 1) {
		return distuv.UnitNormal.Quantile(0.5 + confidence/2)
	}
	return distuv.StudentsT{Sigma: 1, Nu: dof}.Quantile(0.5 + confidence/2)
}

func survival(t, dof float64) float64 {
	if math.IsInf(dof, 1) {
		return distuv.UnitNormal.Survival(t)
	}
	return distuv.StudentsT{Sigma: 1, Nu: dof}.Survival(t)
}

func mean(values []float64) float64 {
	sum := 0.0
	for _, x := range values {
		sum += x - values[0]
	}
	return values[0] + sum/float64(len(values))
}

// Verdict says in a clause whether the difference is larger than what is not known of it.
func (d Difference) Verdict() string {
	switch {
	case d.Err != "":
		return "cannot be said: " + d.Err
	case d.Larger && d.Repeated:
		return "larger than the spread of the repeats and the instruments explain"
	case d.Larger:
		return "larger than the instruments explain"
	case d.Repeated:
		return "not larger than the spread of the repeats and the instruments explain"
	}
	return "not larger than the instruments explain"
}

// Docs explains how two versions are compared.
func Docs() []finding.Doc {
	return []finding.Doc{{
		Kind: finding.FormulaDoc, Name: "difference", Title: "Whether a difference is larger than its uncertainty",
		What: "The difference of two means against its expanded uncertainty. On a side with repeats the spread of their mean counts and what the instruments leave open, on a side with one run the instruments alone. " +
			"With repeats on both sides and no other uncertainty this is Welch's test. Two single runs can differ by more than their instruments explain and still be alike: how much repeats would differ is not known from them.",
		Why:     "A second version that ran two minutes longer once has not been shown to be better.",
		Formula: "d = x̄₂ − x̄₁\nu² = s₁²/n₁ + s₂²/n₂ + u₁² + u₂²\nν = u⁴ / Σ(uᵢ⁴/νᵢ), νᵢ = nᵢ − 1 for a spread, ∞ for an instrument\nlarger if |d| > t₉₅(ν)·u",
		Units:   "those of the figure",
		Range:   fmt.Sprintf("runs under like conditions; repeats that scatter normally; confidence %.0f %%", 100*Confidence),
		Source:  "Welch 1947, Biometrika 34, 28–35; JCGM 100:2008, G.4.1 and table G.2. Held against SciPy's ttest_ind and against the example of JCGM 100, H.1.",
	}}
}
