package runlog

import (
	"fmt"
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
	sources []source    // without the times
	time    *timeSource // nil if there is no column
	second  *timeSource // the log's other time, if it has one
	place   []source    // latitude and longitude
	back    *source     // the current that goes in, where the log has a column for each way
	inStep  timeForm    // of a time in the step that is written as a clock
	names   []string    // of all columns, for messages
	heads   []head
	units   []*unit // from the unit row or the head
}

// assigner holds what assigning needs.
type assigner struct {
	layout   layout
	options  Options
	rows     *sniffRows
	window   [][]float64 // the values of rows, NaN for holes
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
				a.plan.heads[i].initial = initials[strings.TrimSpace(h.units[i])]
			}
		}
	}
	a.stated()
	a.times()
	a.states()
	a.positions()
	a.pair()
	a.stepClock()
	a.byHead()
	a.byEvidence()
	a.seconds()
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
		a.plan.time = &timeSource{columns: []source{s}, kind: a.timeKind(index)}
		return
	}
	a.plan.sources = append(a.plan.sources, s)
}

func baseUnit(c Channel) *unit {
	if c == Duty || c.Dimension() == quantity.Plain { // a part of one, or a number
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
	return c == Time && a.plan.time != nil
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
	for i, name := range a.plan.names { // with its unit behind it
		if open := strings.LastIndexByte(name, '['); open > 0 && findUnit(name[open:]) != nil && strings.TrimSpace(name[:open]) == want && want != "" {
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
	best := map[Channel]int{}
	scores := map[Channel]int{}
	ties := map[Channel][]int{}
	for i := range a.plan.heads {
		if a.taken[i] || a.kind(i) != kindNumber {
			continue
		}
		c, score := a.plan.heads[i].channel()
		switch {
		case len(a.plan.place) > 0 && a.plan.heads[i].unit == nil && a.plan.heads[i].only(heading): // beside positions it is no capacity
		case score < leastScore, c == Time, c == State:
		case score > scores[c]:
			best[c], scores[c] = i, score
			ties[c] = nil
		case score == scores[c]:
			ties[c] = append(ties[c], i)
		}
	}
	a.settleSymbols(best)
	for _, c := range Channels() {
		if i, ok := best[c]; ok && !a.has(c) && !a.taken[i] {
			a.take(c, i, "head")
			if !ofCourse(c) {
				a.several(c, i, ties[c])
			}
		}
	}
}

// seconds takes, of a voltage, a current and a temperature, the likeliest column beside the one that is measured with.
func (a *assigner) seconds() {
	for _, pair := range [][2]Channel{{Voltage, SecondVoltage}, {Current, SecondCurrent}, {Temperature, SecondTemperature}} {
		if !a.has(pair[0]) {
			continue
		}
		best, most := -1, leastScore-1
		for i := range a.plan.heads {
			if a.taken[i] || a.kind(i) != kindNumber {
				continue
			}
			if c, score := a.plan.heads[i].channel(); c == pair[0] && score > most {
				best, most = i, score
			}
		}
		if best >= 0 {
			a.take(pair[1], best, "head")
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
func (a *assigner) settleSymbols(best map[Channel]int) {
	if i, ok := best[Speed]; ok && a.plan.heads[i].letter == "v" && a.plan.heads[i].unit == nil {
		if _, other := best[Voltage]; !other && !a.has(Voltage) {
			best[Voltage] = i
			delete(best, Speed)
		}
	}
	for i, h := range a.plan.heads {
		_, other := best[Distance]
		if h.letter == "s" && len(h.words) == 1 && h.unit == nil && !a.taken[i] && a.kind(i) == kindNumber && a.has(Time) && !other {
			best[Distance] = i
		}
	}
}

// positions takes a latitude and a longitude. They give a way and are kept nowhere.
func (a *assigner) positions() {
	lat, long := -1, -1
	for i := range a.plan.heads {
		if a.taken[i] || a.kind(i) != kindNumber {
			continue
		}
		isLat, isLong := a.plan.heads[i].position()
		if isLat && lat < 0 {
			lat = i
		}
		if isLong && long < 0 {
			long = i
		}
	}
	if lat < 0 || long < 0 {
		return
	}
	for _, i := range []int{lat, long} {
		a.taken[i] = true
		a.plan.place = append(a.plan.place, source{channel: ByPosition, index: i, unit: baseUnit(State), name: a.plan.names[i], from: "head"})
	}
}
