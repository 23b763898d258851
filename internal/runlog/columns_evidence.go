package runlog

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/finding"
)

// byEvidence looks at the values where the heads say too little.
func (a *assigner) byEvidence() {
	if !a.has(Time) && !(a.options.Step > 0) {
		known := a.has(Voltage) || a.has(Current)
		if i, ok := a.risingColumn(); ok && (!known || len(trimEmpty(a.plan.names)) == 0) {
			a.take(Time, i, "it only rises")
			if known {
				a.report.add(finding.Finding{Rule: "log-columns-guessed", Level: finding.Note, Span: a.headSpan,
					Text:   fmt.Sprintf("no column is named as the time; #%d only rises and is taken for it", i+1),
					Remedy: fmt.Sprintf("state it: `columns: {time: \"#%d\"}`", i+1)})
			}
		}
	}
	if a.has(Voltage) || a.has(Current) {
		return
	}
	v, i, p, ok := a.productColumns()
	if !ok {
		a.bySetting()
		return
	}
	a.take(Voltage, v, fmt.Sprintf("column %d is the product of columns %d and %d", p+1, min(v, i)+1, max(v, i)+1))
	a.take(Current, i, "the factor that is zero or negative")
	a.take(Power, p, "the product")
	a.followers(i, p)
	if c, ok := a.temperatureColumn(); ok {
		a.take(Temperature, c, "its values change as a temperature does")
		if c, ok := a.temperatureColumn(); ok {
			a.take(Ambient, c, "a second column like a temperature")
		}
	}
	var said []string
	for _, s := range a.plan.all() {
		said = append(said, fmt.Sprintf("%s = #%d", s.channel, s.index+1))
	}
	a.report.add(finding.Finding{Rule: "log-columns-guessed", Level: finding.Warning, Span: a.headSpan,
		Text: fmt.Sprintf("the heads do not say what the columns are; going by the values, %s (#%d is the product of #%d and #%d in every row)",
			strings.Join(said, ", "), p+1, min(v, i)+1, max(v, i)+1),
		Remedy: "if that is wrong, state the columns: `columns: {voltage: \"#3\", current: \"#2\"}`"})
}

// followers finds, beside a time, a current and a power, the columns that follow from them: the time in the step, which
// rises as the time does and starts anew, and counters, which rise as the current or the power flows.
func (a *assigner) followers(current, power int) {
	if a.plan.time == nil || a.plan.time.kind != timeNumbers {
		return
	}
	t := a.plan.time.columns[0].index
	for z := range a.layout.fields {
		if !a.free(z) {
			continue
		}
		rises, same, moved, charge, energy := 0, 0, 0.0, 0.0, 0.0
		up, along := 0.0, 0.0 // what it moved upwards, and as the current flows
		for k := 1; k < len(a.window); k++ {
			was, is := a.window[k-1], a.window[k]
			d, dt := is[z]-was[z], is[t]-was[t]
			if math.IsNaN(d) || math.IsNaN(dt) {
				continue
			}
			rises++
			if dt > 0 && math.Abs(d-dt) <= 0.01*dt {
				same++
			}
			if math.Abs(is[z]) >= math.Abs(was[z])/2 {
				moved += math.Abs(d)
				up += d
				along += math.Copysign(d, d*is[current])
			}
			charge += math.Abs(is[current]+was[current]) / 2 * dt / secondsPerHour
			energy += math.Abs(is[power]+was[power]) / 2 * dt / secondsPerHour
		}
		const within = 0.05 // a counter and the integral of the same rows
		if oneWay := max(math.Abs(up), math.Abs(along)); oneWay < 0.9*moved {
			continue // it goes to and fro
		}
		switch {
		case rises < 20:
		case same*10 > 8*rises && !a.has(StepTime):
			a.take(StepTime, z, "it rises as the time does")
		case math.Abs(moved-charge) < within*charge && !a.has(ChargeCounter):
			a.take(ChargeCounter, z, "it counts the current")
		case math.Abs(moved-energy) < within*energy && !a.has(EnergyCounter):
			a.take(EnergyCounter, z, "it counts the power")
		}
	}
}

// bySetting takes the one column that is left where the settings beside the data, as an oscilloscope writes them, name the
// unit of what it drew.
func (a *assigner) bySetting() {
	u := findUnit(a.rows.settings["vertical units"])
	if u == nil {
		u = findUnit(a.rows.settings["y units"])
	}
	pick := -1
	for i := range a.layout.fields {
		if a.free(i) && a.rows.filled(i) > 0.9 {
			if pick >= 0 {
				return
			}
			pick = i
		}
	}
	if u == nil || pick < 0 {
		return
	}
	if c, ok := unitChannel[u.Dimension()]; ok && (c == Voltage || c == Current) {
		a.plan.units[pick] = u
		a.take(c, pick, fmt.Sprintf("the settings beside the data name its unit, %s", u.Symbol()))
	}
}

// all are the sources of the log's time and of its channels.
func (p *columnPlan) all() []source {
	var out []source
	if p.time != nil {
		out = append(out, p.time.columns...)
	}
	return append(out, p.sources...)
}

// free says whether a column of numbers has not been given to a channel.
func (a *assigner) free(i int) bool { return !a.taken[i] && a.kind(i) == kindNumber }

// risingColumn finds the first column that never falls and mostly rises.
func (a *assigner) risingColumn() (int, bool) {
	for i := range a.layout.fields {
		if !a.free(i) || len(a.window) < 3 || a.rows.filled(i) < 0.5 || a.plan.heads[i].hasAny(otherMatters) || a.plan.heads[i].foreign {
			continue
		}
		rises, falls := 0, 0
		for j := 1; j < len(a.window); j++ {
			switch d := a.window[j][i] - a.window[j-1][i]; {
			case d > 0:
				rises++
			case d < 0:
				falls++
			}
		}
		if falls == 0 && rises*10 >= 9*(len(a.window)-1) {
			return i, true
		}
	}
	return 0, false
}

// mostProductColumns bounds the search for a product, which tries every three columns.
const mostProductColumns = 24

// leastProductRows is how many rows must agree before a product is believed.
const leastProductRows = 5

// productColumns finds a voltage, a current and their product, the power. The
// voltage is the factor that is always well above zero; the current is one that
// also comes near zero or below it. If both could be either, there is no answer.
func (a *assigner) productColumns() (v, i, p int, ok bool) {
	if a.layout.fields > mostProductColumns {
		return 0, 0, 0, false
	}
	for x := range a.layout.fields {
		for y := x + 1; y < a.layout.fields; y++ {
			for z := range a.layout.fields {
				if z == x || z == y || !a.free(x) || !a.free(y) || !a.free(z) || !a.isProduct(x, y, z) {
					continue
				}
				sx, sy := a.alwaysPositive(x), a.alwaysPositive(y)
				switch {
				case sx && !sy:
					return x, y, z, true
				case sy && !sx:
					return y, x, z, true
				}
			}
		}
	}
	return 0, 0, 0, false
}

func (a *assigner) largest(i int) float64 {
	m := 0.0
	for _, row := range a.window {
		m = max(m, math.Abs(row[i]))
	}
	return m
}

// isProduct says whether column z is x·y within 3 % in nearly all rows where
// it is not small. Constant columns are no evidence.
func (a *assigner) isProduct(x, y, z int) bool {
	top := a.largest(z)
	agree, differ := 0, 0
	for _, row := range a.window {
		want := row[x] * row[y]
		switch {
		case math.IsNaN(want) || math.IsNaN(row[z]) || math.Abs(row[z]) < 0.02*top || row[z] == 0:
		case math.Abs(want-row[z]) <= 0.03*math.Abs(row[z]):
			agree++
		default:
			differ++
		}
	}
	varied := false
	for _, row := range a.window {
		varied = varied || row[z] != a.window[0][z]
	}
	return varied && agree >= leastProductRows && agree >= 19*differ
}

func (a *assigner) alwaysPositive(i int) bool {
	top := a.largest(i)
	for _, row := range a.window {
		if row[i] < 0.05*top {
			return false
		}
	}
	return top > 0
}

// temperatureColumn finds a free column between -30 and 120 whose neighbouring
// values differ by little and which is no constant or count.
func (a *assigner) temperatureColumn() (int, bool) {
	for i := range a.layout.fields {
		if !a.free(i) || len(a.window) < leastProductRows {
			continue
		}
		fits, varied, size := true, false, 0.0
		for j, row := range a.window {
			x := row[i]
			fits = fits && x > -30 && x < 120
			size = max(size, math.Abs(x))
			if j > 0 {
				d := math.Abs(x - a.window[j-1][i])
				fits = fits && !(d > 2)
				varied = varied || d > 0
			}
		}
		if fits && varied && size > 5 {
			return i, true
		}
	}
	return 0, false
}
