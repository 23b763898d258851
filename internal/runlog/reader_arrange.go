package runlog

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// arrange turns the layout and the head into columns, time and signs.
func (s *Scanner) arrange(l layout, lines []sniffLine) {
	h := findHead(lines, l)
	h.joinBrackets(l)
	s.layout, s.head = l, h
	d := &s.dialect
	d.Separator, d.Decimal = separatorWord(l.separator), "point"
	if l.decimal == ',' {
		d.Decimal = "comma"
	}
	d.HeadRows, d.Preamble, d.Comments, d.FirstData = h.rows, h.preamble, h.comments, lines[l.first].number
	s.separator, s.decimal = l.separator, l.decimal
	s.skip = l.first
	s.maxFields = max(l.fields, len(h.names))
	span := s.linePlace(lines[l.first])
	if h.line > 0 {
		span = s.linePlace(lines[h.line-1])
		if !h.commentHead {
			s.headText = string(lines[h.line-1].text)
		}
	}
	s.rowsAbove(l, lines)
	rows := gatherRows(l, lines)
	for _, line := range lines[l.first:] {
		d.Quoted = d.Quoted || bytes.IndexByte(line.text, '"') >= 0
	}
	a := assigner{layout: l, options: s.options, rows: &rows, window: rows.values, report: s.report, headSpan: span}
	if !s.headFits(l, h, span) {
		return
	}
	plan := a.assign(h)
	s.plan = plan
	if s.refuseTable(&a, span) || !s.setTime(plan, rows, h, span) {
		return
	}
	for _, src := range plan.sources {
		r := roleValue
		switch {
		case src.channel == State:
			r = roleState
		case src.channel == StepTime && plan.inStep != timeUnknown:
			r, s.inStep = roleStepClock, plan.inStep
		}
		s.columns = append(s.columns, target{source: src, role: r, plain: src.unit.plain()})
	}
	if src := plan.back; src != nil {
		s.joined = true
		s.columns = append(s.columns, target{source: *src, role: roleBack, plain: src.unit.plain()})
	}
	for i, src := range plan.place {
		s.columns = append(s.columns, target{source: src, role: roleLatitude + role(i), plain: true})
	}
	slices.SortFunc(s.columns, func(x, y target) int { return x.index - y.index })
	s.describeColumns(&a, h)
	if !s.checkChannels(&a, span) {
		return
	}
	if s.times[0].form != timeStep {
		s.dialect.NamedStep, _ = stepInText(h.above)
	}
	s.usable = true
	s.settle(plan, span)
}

// sniffRows are the values of the sniffed rows: numbers, and the texts of the
// columns that hold written times.
type sniffRows struct {
	values [][]float64
	texts  [][][]byte // by column: the written times …
	at     [][]int    // … and the row of each
	words  [][]string // by column: texts that are neither number nor time

	settings map[string]string // what stands beside the data in columns of its own, by its label in lower case
}

func gatherRows(l layout, lines []sniffLine) sniffRows {
	r := sniffRows{texts: make([][][]byte, l.fields), at: make([][]int, l.fields), words: make([][]string, l.fields), settings: map[string]string{}}
	var splitter fieldSplitter
	for _, line := range lines[l.first:] {
		if len(trimBlank(line.text)) == 0 || isComment(line.text, l.separator) {
			continue
		}
		fields := splitter.split(line.text, l.separator)
		if len(fields) < l.fields-1 {
			continue
		}
		row := make([]float64, l.fields)
		for j := range row {
			row[j] = math.NaN()
			if j >= len(fields) {
				continue
			}
			if v, _, state := parseField(fields[j].text, l.decimal); state == fieldValue {
				row[j] = v
			}
			switch t := trimBlank(fields[j].text); {
			case len(t) == 0:
			case l.kinds[j] == kindTime:
				r.texts[j], r.at[j] = append(r.texts[j], t), append(r.at[j], len(r.values))
			case l.kinds[j] == kindText:
				r.words[j] = append(r.words[j], string(t))
			}
		}
		for j := 0; j+1 < len(row) && j+1 < len(fields); j++ {
			if l.kinds[j] == kindText && len(r.values) < mostSettings {
				if label, value := trimBlank(fields[j].text), trimBlank(fields[j+1].text); len(label) > 0 && len(value) > 0 {
					r.settings[strings.ToLower(string(label))] = string(value)
				}
			}
		}
		r.values = append(r.values, row)
	}
	return r
}

// mostSettings is among how many rows settings are looked for that stand beside the data.
const mostSettings = 64

// filled is the part of the rows in which a column holds a number.
func (r *sniffRows) filled(i int) float64 {
	return float64(len(r.column(i))) / float64(max(1, len(r.values)))
}

func (r *sniffRows) column(i int) []float64 {
	var out []float64
	for _, row := range r.values {
		if i < len(row) && !math.IsNaN(row[i]) {
			out = append(out, row[i])
		}
	}
	return out
}

// describeColumns fills in what the dialect says of the columns.
func (s *Scanner) describeColumns(a *assigner, h headRows) {
	d := &s.dialect
	for _, c := range s.columns {
		if c.slot > 0 || c.channel == ByPosition || c.role == roleBack {
			continue
		}
		column := Column{Channel: c.channel, Number: c.index + 1, Name: c.name, From: c.from}
		if c.named {
			column.Unit = c.unit.Symbol()
		}
		if c.from == "head" && h.namesFromPreamble != "" {
			column.From = "named in a line above"
		}
		if c.channel.evidence() {
			d.Compared = append(d.Compared, column)
			continue
		}
		d.Columns = append(d.Columns, column)
	}
	slices.SortStableFunc(d.Columns, func(x, y Column) int { return int(x.Channel) - int(y.Channel) })
	if len(a.plan.place) > 0 {
		d.Positions = true
	}
	for i, name := range a.plan.names {
		used := slices.ContainsFunc(s.columns, func(c target) bool { return c.index == i })
		if !used && name != "" {
			d.Unused = append(d.Unused, name)
		}
	}
}

// checkChannels says what is missing.
func (s *Scanner) checkChannels(a *assigner, span finding.Span) bool {
	s.dialect.HasCurrent = a.has(Current)
	missing, level := "", finding.Warning
	switch v, i := a.has(Voltage), a.has(Current); {
	case v && i:
		return true
	case v:
		missing, level = "no current is recognised", finding.Note
	case i:
		missing = "no voltage is recognised"
	case len(a.plan.sources) == 0:
		missing, level = "neither a voltage nor a current is recognised", finding.Error
	default:
		missing = "neither a voltage nor a current is recognised"
	}
	s.report.add(finding.Finding{Rule: "log-columns-missing", Level: level, Span: span,
		Text:   fmt.Sprintf("%s; the log has %s", missing, a.columnList()),
		Remedy: "if a column holds it, state it by head or number: `columns: {voltage: U_pack, current: \"#3\"}`"})
	return level != finding.Error
}

// setTime chooses the form of the time and its columns, and those of the second time.
func (s *Scanner) setTime(plan columnPlan, rows sniffRows, h headRows, span finding.Span) bool {
	if plan.time == nil {
		return s.setStep(h, span)
	}
	stated, isStated := parseTimeForm(s.options.TimeFormat)
	choice := s.addTime(plan.time, 0, &rows)
	if t := plan.time.columns[0]; t.from == "it only rises" && choice.form == timeSeconds {
		choice.from = fmt.Sprintf("assumed: column %d only rises", t.index+1)
	}
	if isStated && choice.form != timeSplit {
		if stated.numeric() != s.hasRole(roleNumericTime) {
			s.refuse("log-time-form", fmt.Sprintf("the time is stated as %s, but the column is not written so", stated.word()), "take `time:` out to have the form found, or name another column", span)
			return false
		}
		choice = timeChoice{form: stated, from: "stated"}
	}
	if choice.problem != "" {
		s.refuse("log-time-form", choice.problem, choice.remedy, span)
		return false
	}
	s.times[0].form, s.times[0].fields, s.times[0].either = choice.form, len(s.columns), choice.either
	s.doubt = choice.suspicious
	s.minutes = wholeMinutes(plan.time, &rows)
	s.unitOpen = !isStated && choice.unitOpen
	d := &s.dialect
	d.TimeForm, d.Time, d.TimeFrom = choice.form.word(), timeFormFacts[choice.form].description, choice.from
	if s.hasRole(roleClock) {
		d.Time = strings.Replace(d.Time, "date and clock", "date and clock in two columns", 1)
	}
	if plan.second != nil {
		first := len(s.columns)
		second := s.addTime(plan.second, 1, &rows)
		if second.problem != "" || second.form == timeSplit {
			s.columns = s.columns[:first]
			return true
		}
		s.times[1].form, s.times[1].fields, s.times[1].either = second.form, len(s.columns)-first, second.either
		d.SecondTime = timeFormFacts[second.form].description
	}
	return true
}

// addTime adds the columns of a time and finds out how it is written.
func (s *Scanner) addTime(t *timeSource, slot int, rows *sniffRows) timeChoice {
	add := func(i int, r role) {
		s.columns = append(s.columns, target{source: t.columns[i], role: r, plain: true, slot: slot})
	}
	text := func(i int) [][]byte {
		if n := t.columns[i].index; n < len(rows.texts) {
			return rows.texts[n]
		}
		return nil
	}
	switch t.kind {
	case timeParts:
		add(0, roleWhole)
		add(1, roleNanos)
		return timeChoice{form: timeSplit}
	case timeDay:
		dateFirst, c, _ := chooseDayTime(text(0), text(1))
		if dateFirst {
			add(0, roleDate)
			add(1, roleClock)
		} else {
			add(0, roleClock)
			add(1, roleDate)
		}
		return c
	case timeWritten:
		add(0, roleWrittenTime)
		return chooseWrittenTime(text(0))
	}
	add(0, roleNumericTime)
	return chooseNumericTime(rows.column(t.columns[0].index), t.columns[0].unit, t.columns[0].named)
}

func (f timeForm) word() string { return timeFormFacts[f].word }

// setStep finds the sample interval of a log without a time column.
func (s *Scanner) setStep(h headRows, span finding.Span) bool {
	step, from := float64(s.options.Step), "stated"
	if !(step > 0) {
		var text string
		step, text = stepInText(h.above)
		from = fmt.Sprintf("found above the data: %q", text)
	}
	if !(step > 0) {
		s.refuse("log-no-time", "the log has no time column and names no sample interval", "state the interval, such as `step: 1 s`, or name the column: `columns: {time: \"#1\"}`", span)
		return false
	}
	s.times[0].form, s.step, s.dialect.Step = timeStep, step, step
	s.dialect.Time = fmt.Sprintf("no time column, a row every %s", quantity.Quantity{Dimension: quantity.Time, Value: step, Decimals: -1})
	s.dialect.TimeFrom = from
	return true
}
