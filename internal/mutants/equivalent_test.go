//go:build mutate

package mutants

// equivalent are changes that change nothing that could be told, each with why. A change is named by the beginning of
// what it is called.
var equivalent = []struct{ mutant, why string }{
	// Whole numbers that are held as fractions, and ends that both ways give the same.
	{"quantity/gauge.go: `thickestGauge` as `thickestGauge *", "the gauge beside it is rounded: no whole number lies between"},
	{"quantity/gauge.go: `thinnestGauge` as `thinnestGauge *", "the gauge beside it is rounded: no whole number lies between"},
	{"quantity/convert.go: `c >= 0x80` as `c > 0x80`", "a byte 0x80 never stands without one above it before it"},
	{"quantity/convert.go: `len(digits) <= exponent+1` as `len(digits) < exponent+1`", "with as many digits as places both ways write the same"},
	{"quantity/unit.go: `0` as `0 + 1` in Base", "a factor of one divides by ten to the nought"},
	{"quantity/unit.go: `u.s.shift < 0` as `u.s.shift <= 0`", "a factor of one divides by ten to the nought"},
	{"compare/compare.go: `instruments > 0` as `instruments >= 0`", "a component of nothing adds nothing"},
	{"compare/compare.go: `return math.Sqrt(square), math.Inf(1)` as `nothing`", "a square over nothing is infinite all the same"},
	{"compare/compare.go: `return distuv.UnitNormal.Survival(t)` as `nothing`", "Student's distribution with infinite degrees is the normal one, and the library computes it so"},
	{"compare/compare.go: `x - m` as `x + m`", "the deviations add up to nothing, so the sum of (x − m)·(x + m) is that of the squares"},
	{"circuit/ampacity.go: `r.insulation > best.insulation` as `r.insulation >=", "no table has two rows of one size and insulation"},
	{"circuit/conductor.go: `math.Abs(area-best.area) > 1e-9*area` as `math.Abs(area-best.area) >= 1e-9*area`", "of one area with itself the difference is nought and the slack is not"},
	{"circuit/verdict.go: `float64(v) <= float64(limit)*(1+1e-9)` as `float64(v) <", "the slack is there so that the bound itself is never hit"},
	{"drive/setup.go: `force < 0` as `force <= 0`", "nothing over an efficiency is nothing"},
	{"drive/setup.go: `source < emf` as `source <= emf`", "where both are alike no current flows in either branch"},
	{"evidence/claim.go: `x >= c.Low-slack` as `x > c.Low-slack`", "the slack is there so that the bound itself is never hit"},
	{"evidence/claim.go: `x <= c.High+slack` as `x < c.High+slack`", "the slack is there so that the bound itself is never hit"},
	// How a result is come to, and not what it is: it is held to its own tolerance whatever the way.
	{"drive/operate.go: `2` as `2 *", "how fast the bracket of a root grows: the root is where it is"},
	{"drive/root.go: `200` as", "a bound that no function here comes to"},
	{"drive/root.go: `2*p < math.Min(3*half*q-math.Abs(tolerance*q), math.Abs(last*q))` as `2*p <=", "whether a step that is just as good is taken"},
	{"battery/charge.go: `r.t < r.until-1e-9` as `r.t <= r.until-1e-9`", "a slack in time below any step"},
	{"battery/simulate.go: `0.9` as", "how long the next step is tried; its error is held to the tolerance all the same"},
	{"battery/simulate.go: `0.3` as", "how much shorter a step is tried again"},
	{"battery/simulate.go: `0.2` as", "how much shorter a step is tried again"},
	{"battery/simulate.go: `x > a` as", "where the chord leaves the bracket it is halved: either way it ends at the crossing"},
	{"battery/simulate.go: `x < b` as", "where the chord leaves the bracket it is halved: either way it ends at the crossing"},
	{"battery/simulate.go: `fx > 0` as `fx >= 0`", "which side an exact hit is counted to"},
	{"battery/simulate.go: `r.h < 1 || r.Demand.Parts[r.part].For > 1` as", "how long the first step of a part is tried"},
	{"battery/simulate.go: `r.h = max(r.h/8, min(1, float64(r.Demand.Parts[r.part].For)))` as", "how long the first step of a part is tried"},
	{"battery/compare.go: `3` as `3 *", "how long a replay goes on past its end, which it does not come to"},
	{"battery/fit.go: `h` as `h *", "the step of a numerical derivative"},
	{"battery/sample.go: `cov.At(i, i) * (1 + 1e-9)` as", "what keeps a matrix positive"},
	{"battery/sample.go: `cov.SetSym(i, i,", "what keeps a matrix positive"},
}
