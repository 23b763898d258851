package runlog

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// source is a column that is read: where it stands and what becomes of it.
type source struct {
	channel Channel
	index   int // from 0
	unit    *unit
	name    string
	from    string // "head", "stated" or the evidence
	named   bool   // the head or the maker names the unit
}

// columnPlan is the outcome of assigning channels to columns.
type columnPlan struct {
	sources []source // without the time
	time    []source // one column, or two that make a time together; none if there is no column
	split   bool     // time is whole seconds and nanoseconds
	dayTime bool     // time is a date and a clock
	names   []string // of all columns, for messages
	heads   []head
	units   []*unit // from the unit row or the head
}

// assigner holds what assigning needs.
type assigner struct {
	layout   layout
	options  Options
	window   [][]float64 // the values of the sniffed rows, NaN for holes
	report   *tally
	headSpan finding.Span
	plan     columnPlan
	taken    []bool
}

func (a *assigner) assign(h headRows) columnPlan {
	n := max(a.layout.fields, len(h.names))
	a.taken = make([]bool, n)
	a.plan.names = make([]string, n)
	a.plan.heads = make([]head, n)
	a.plan.units = make([]*unit, n)
	for i := range n {
		if i < len(h.names) {
			a.plan.names[i] = validText(h.names[i])
		}
		a.plan.heads[i] = parseHead(a.plan.names[i])
		a.plan.units[i] = a.plan.heads[i].unit
		if i < len(h.units) {
			if u := findUnit(validText(h.units[i])); u != nil {
				a.plan.units[i], a.plan.heads[i].unit = u, u
			}
		}
	}
	a.stated()
	a.byHead()
	a.byEvidence()
	return a.plan
}

// validText reads a head that is no UTF-8 as Latin-1, where every byte is a character.
func validText(s string) string {
	if strings.ToValidUTF8(s, "") == s {
		return s
	}
	runes := make([]rune, 0, len(s))
	for i := range len(s) {
		runes = append(runes, rune(s[i]))
	}
	return string(runes)
}

// take gives a column to a channel.
func (a *assigner) take(c Channel, index int, from string) {
	u := a.plan.units[index]
	s := source{channel: c, index: index, unit: u, name: a.plan.names[index], from: from, named: u != nil && u.Dimension() == c.Dimension()}
	if !s.named {
		s.unit = baseUnit(c)
	}
	a.taken[index] = true
	if c == Time {
		a.plan.time = append(a.plan.time, s)
		return
	}
	if !s.named && c == Speed {
		a.report.add(finding.Finding{Rule: "log-unit-assumed", Level: finding.Warning, Span: a.headSpan,
			Text:   fmt.Sprintf("the speed column %s names no unit; metres per second are assumed", a.describe(index)),
			Remedy: "write the unit into the head, such as `speed (km/h)`, or state it with the column: `speed: v [km/h]`"})
	}
	a.plan.sources = append(a.plan.sources, s)
}

func baseUnit(c Channel) *unit {
	if c == Duty { // a part of one, without a unit
		one, _ := quantity.FindUnit("")
		return &unit{Unit: one}
	}
	return unitOf(channelFacts[c].unit)
}

func (a *assigner) describe(index int) string {
	if name := a.plan.names[index]; name != "" {
		return strconv.Quote(name)
	}
	return fmt.Sprintf("#%d", index+1)
}

func (a *assigner) has(c Channel) bool {
	for _, s := range a.plan.sources {
		if s.channel == c {
			return true
		}
	}
	return c == Time && len(a.plan.time) > 0
}

// stated takes the columns that the maker names.
func (a *assigner) stated() {
	for _, c := range Channels() {
		want, ok := a.options.Columns[c]
		if !ok {
			continue
		}
		index, found := a.lookUp(want)
		if !found {
			if open := strings.LastIndexByte(want, '['); open > 0 {
				if u := findUnit(want[open:]); u != nil {
					if index, found = a.lookUp(strings.TrimSpace(want[:open])); found {
						a.plan.units[index] = u
					}
				}
			}
		}
		if !found {
			a.unknown(c, want)
			continue
		}
		a.take(c, index, "stated")
	}
}

// lookUp finds a column by its head, letter case aside, or by "#2".
func (a *assigner) lookUp(want string) (int, bool) {
	want = strings.TrimSpace(want)
	if number, ok := strings.CutPrefix(want, "#"); ok {
		if n, err := strconv.Atoi(number); err == nil {
			return n - 1, n >= 1 && n <= len(a.plan.names)
		}
	}
	for i, name := range a.plan.names {
		if name == want && want != "" {
			return i, true
		}
	}
	for i, name := range a.plan.names {
		if strings.EqualFold(name, want) && want != "" {
			return i, true
		}
	}
	return 0, false
}

func (a *assigner) unknown(c Channel, want string) {
	f := finding.Finding{Rule: "log-unknown-column", Level: finding.Error, Span: a.headSpan,
		Text:   fmt.Sprintf("no column %q for the %s; the log has %s", want, c, a.columnList()),
		Remedy: "name one of these columns, or give its number, such as `#2`"}
	if near, ok := finding.Nearest(want, a.plan.names); ok && near != "" {
		f.Remedy = fmt.Sprintf("did you mean %q? A column may also be given by its number, such as `#2`", near)
	}
	a.report.add(f)
}

// columnList lists the heads, or the numbers where there are no heads.
func (a *assigner) columnList() string {
	var list []string
	for i := range a.plan.names {
		if a.plan.names[i] != "" {
			list = append(list, strconv.Quote(a.plan.names[i]))
		}
	}
	switch {
	case len(list) == 0:
		return plural(a.layout.fields, "column") + " without a head"
	case len(list) > 24:
		return strings.Join(list[:24], ", ") + fmt.Sprintf(" and %d more", len(list)-24)
	}
	return strings.Join(list, ", ")
}

// kind is the kind of a column; one that only the head has is empty.
func (a *assigner) kind(i int) fieldKind {
	if i < len(a.layout.kinds) {
		return a.layout.kinds[i]
	}
	return kindEmpty
}

// byHead takes the columns whose heads say what they are.
func (a *assigner) byHead() {
	if !a.has(Time) {
		a.splitTime()
	}
	if !a.has(Time) {
		a.writtenTime()
	}
	best := map[Channel]int{}
	scores := map[Channel]int{}
	ties := map[Channel][]int{}
	for i := range a.plan.heads {
		if a.taken[i] || a.kind(i) != kindNumber {
			continue
		}
		c, score := a.plan.heads[i].channel()
		switch {
		case score < leastScore:
		case score > scores[c]:
			best[c], scores[c] = i, score
			ties[c] = nil
		case score == scores[c]:
			ties[c] = append(ties[c], i)
		}
	}
	a.settleSymbols(best, scores)
	for _, c := range Channels() {
		if i, ok := best[c]; ok && !a.has(c) && !a.taken[i] {
			a.take(c, i, "head")
			a.several(c, i, ties[c])
		}
	}
}

// several says which of several columns that could be the channel was taken.
func (a *assigner) several(c Channel, taken int, others []int) {
	if len(others) == 0 {
		return
	}
	var names []string
	for _, i := range others {
		names = append(names, a.describe(i))
	}
	a.report.add(finding.Finding{Rule: "log-columns-several", Level: finding.Note, Span: a.headSpan,
		Text:   fmt.Sprintf("%s is taken for the %s; %s could be it as well", a.describe(taken), c, strings.Join(names, ", ")),
		Remedy: fmt.Sprintf("state the one that is meant: `columns: {%s: \"#%d\"}`", c, taken+1)})
}

// settleSymbols settles the letters that mean two things: v is a speed beside
// a voltage and a voltage alone; s is a distance beside a time.
func (a *assigner) settleSymbols(best, scores map[Channel]int) {
	if i, ok := best[Speed]; ok && a.plan.heads[i].letter == "v" && a.plan.heads[i].unit == nil {
		if _, other := best[Voltage]; !other && !a.has(Voltage) {
			best[Voltage] = i
			delete(best, Speed)
		}
	}
	for i, h := range a.plan.heads {
		_, other := best[Distance]
		timed := a.has(Time) || (scores[Time] > 0 && best[Time] != i)
		if h.letter == "s" && h.unit == nil && !a.taken[i] && a.kind(i) == kindNumber && timed && !other {
			best[Distance] = i
		}
	}
}

// splitTime finds whole seconds and nanoseconds in two neighbouring columns.
func (a *assigner) splitTime() {
	for i := 0; i+1 < len(a.plan.names); i++ {
		s, ns := findUnit(a.plan.names[i]), findUnit(a.plan.names[i+1])
		if s != nil && ns != nil && s.Symbol() == "s" && ns.Symbol() == "ns" && a.kind(i) == kindNumber && a.kind(i+1) == kindNumber {
			a.take(Time, i, "head")
			a.take(Time, i+1, "head")
			a.plan.split = true
			return
		}
	}
}

// writtenTime finds a column of written times, or a date and a clock in two columns.
func (a *assigner) writtenTime() {
	var columns []int
	for i := range a.plan.names {
		if a.kind(i) == kindTime && !a.taken[i] {
			columns = append(columns, i)
		}
	}
	if len(columns) == 0 {
		return
	}
	pick := columns[0]
	for _, i := range columns {
		c, score := a.plan.heads[i].channel()
		_, best := a.plan.heads[pick].channel()
		if c == Time && score > best {
			pick = i
		}
	}
	a.take(Time, pick, "head")
	for _, i := range columns {
		if i == pick+1 || i == pick-1 {
			a.plan.time = append(a.plan.time, source{channel: Time, index: i, unit: baseUnit(Time), name: a.plan.names[i], from: "head"})
			a.plan.dayTime = true // the reader checks that one is a date and the other a clock
			return
		}
	}
}

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
		return
	}
	a.take(Voltage, v, fmt.Sprintf("column %d is the product of columns %d and %d", p+1, min(v, i)+1, max(v, i)+1))
	a.take(Current, i, "the factor that is zero or negative")
	a.take(Power, p, "the product")
	if c, ok := a.temperatureColumn(); ok {
		a.take(Temperature, c, "its values change as a temperature does")
		if c, ok := a.temperatureColumn(); ok {
			a.take(Ambient, c, "a second column like a temperature")
		}
	}
	var said []string
	for _, s := range append(append([]source(nil), a.plan.time...), a.plan.sources...) {
		said = append(said, fmt.Sprintf("%s = #%d", s.channel, s.index+1))
	}
	a.report.add(finding.Finding{Rule: "log-columns-guessed", Level: finding.Warning, Span: a.headSpan,
		Text: fmt.Sprintf("the heads do not say what the columns are; going by the values, %s (#%d is the product of #%d and #%d in every row)",
			strings.Join(said, ", "), p+1, min(v, i)+1, max(v, i)+1),
		Remedy: "if that is wrong, state the columns: `columns: {voltage: \"#3\", current: \"#2\"}`"})
}

// free says whether a column of numbers has not been given to a channel.
func (a *assigner) free(i int) bool { return !a.taken[i] && a.kind(i) == kindNumber }

// risingColumn finds the first column that never falls and mostly rises.
func (a *assigner) risingColumn() (int, bool) {
	for i := range a.layout.fields {
		if !a.free(i) || len(a.window) < 3 {
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
