package runlog

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// PartKind is what a part of a log is.
type PartKind string

// The kinds of parts.
const (
	PartDischarge PartKind = "discharge"
	PartCharge    PartKind = "charge"
	PartRest      PartKind = "rest"
)

// Part is one discharge, charge or rest of a log. The parts of a log follow each other without a hole, and their charges
// sum to that of the log.
type Part struct {
	Name string // the kind and its number: "discharge 2"
	Kind PartKind

	FirstLine, LastLine int // of its first and its last row; the next part begins with the last
	Rows                int // rows that it alone holds

	Start, Length quantity.Seconds // of the log's own clock
	ChargeOut     quantity.AmpereHours
	ChargeIn      quantity.AmpereHours
	EnergyOut     quantity.WattHours // NaN without a voltage
	EnergyIn      quantity.WattHours

	// StartVoltage is that of the first row, which of a discharge after a rest is still at rest; EndVoltage that of the last
	// row in which the current flows, of a rest the last row. NaN without a voltage.
	StartVoltage, EndVoltage      quantity.Volts
	LowestVoltage, HighestVoltage quantity.Volts

	// RestVoltage is the voltage at the end of the rest before it, RestLength how long that rest was; NaN and 0 where
	// there was none. It tells the state of charge at which the part begins.
	RestVoltage quantity.Volts
	RestLength  quantity.Seconds

	Offset int64 // of its first row, in bytes
}

// parts cuts the log. more says that it holds more than one flow, so that it is no single run.
func (c *cutter) parts() (list []Part, more bool) {
	c.settle()
	swings := c.swings()
	if len(swings) == 0 {
		if len(c.legs) > 0 {
			list = append(list, c.part(PartRest, 0, len(c.legs)-1))
		}
		return number(list), false
	}
	begin := 0
	for _, s := range swings {
		// Legs from begin to s.first are the rest before, if there is one.
		if begin < s.first && c.legs[begin].kind == legRest {
			if rest := c.part(PartRest, begin, s.first-1); float64(rest.Length) >= partRest {
				list = append(list, rest)
				begin = s.first
			}
		}
		end := s.last
		if next := s.last + 1; next < len(c.legs) && c.legs[next].kind == legRest && c.legs[next].length() < partRest {
			end = next // a short rest goes with the flow before it
		}
		kind := PartDischarge
		if sum := c.sum(begin, end); sum.net() < 0 {
			kind = PartCharge
		}
		list = append(list, c.part(kind, begin, end))
		begin = end + 1
	}
	if begin < len(c.legs) {
		list = append(list, c.part(PartRest, begin, len(c.legs)-1))
	}
	for k := range list {
		list[k].RestVoltage = quantity.Volts(math.NaN())
		if k > 0 && list[k-1].Kind == PartRest {
			list[k].RestVoltage, list[k].RestLength = list[k-1].EndVoltage, list[k-1].Length
		}
	}
	return number(list), len(swings) > 1
}

func (c *cutter) sum(from, to int) leg {
	sum := c.legs[from]
	for k := from + 1; k <= to; k++ {
		sum.join(&c.legs[k])
	}
	return sum
}

func (c *cutter) part(kind PartKind, from, to int) Part {
	l := c.sum(from, to)
	p := Part{
		Kind: kind, FirstLine: l.from.line, LastLine: l.to.line, Rows: l.rows, Offset: l.from.offset,
		Start: quantity.Seconds(l.from.t), Length: quantity.Seconds(l.length()),
		ChargeOut: quantity.AmpereHours(l.chargeOut / secondsPerHour), ChargeIn: quantity.AmpereHours(l.chargeIn / secondsPerHour),
		EnergyOut: quantity.WattHours(l.energyOut / secondsPerHour), EnergyIn: quantity.WattHours(l.energyIn / secondsPerHour),
		StartVoltage: quantity.Volts(l.from.v), EndVoltage: quantity.Volts(l.to.v),
		LowestVoltage: quantity.Volts(l.low), HighestVoltage: quantity.Volts(l.high),
		RestVoltage: quantity.Volts(math.NaN()),
	}
	if kind != PartRest {
		p.EndVoltage = quantity.Volts(l.last.v)
	}
	if math.IsNaN(l.high) {
		p.EnergyOut, p.EnergyIn = quantity.WattHours(math.NaN()), quantity.WattHours(math.NaN())
	}
	if from == 0 {
		p.Rows++ // the row that the log begins with
	}
	return p
}

// number names the parts: each kind is counted by itself.
func number(list []Part) []Part {
	counts := map[PartKind]int{}
	for k := range list {
		counts[list[k].Kind]++
		list[k].Name = string(list[k].Kind) + " " + strconv.Itoa(counts[list[k].Kind])
	}
	return list
}

// chosenRows finds the rows that a maker means by the name of a part, or by two names with "to" between them. ok is false
// where a name is none of the parts.
func chosenRows(parts []Part, name string) (first, last int, ok bool) {
	from, to, several := strings.Cut(name, " to ")
	if !several {
		to = from
	}
	find := func(name string) int {
		name = strings.Join(strings.Fields(strings.ToLower(name)), " ")
		return slices.IndexFunc(parts, func(p Part) bool { return p.Name == name })
	}
	a, b := find(from), find(to)
	if a < 0 || b < a {
		return 0, 0, false
	}
	return parts[a].FirstLine, parts[b].LastLine, true
}

// String says what the part is in a few words: "discharge 2, 58 min, 2.8 Ah out".
func (p *Part) String() string {
	text := p.Name + ", " + quantity.Clock(p.Length, 1)
	for _, flow := range []struct {
		charge quantity.AmpereHours
		way    string
	}{{p.ChargeOut, "out"}, {p.ChargeIn, "in"}} {
		if p.Kind != PartRest && float64(flow.charge) > 0.005*max(float64(p.ChargeOut), float64(p.ChargeIn)) {
			text += ", " + plain(float64(flow.charge), quantity.Charge) + " " + flow.way
		}
	}
	return text
}

const (
	ruleSeveralParts = "log-several-parts"
	ruleUnknownPart  = "log-part-unknown"
)

// listParts names the parts, the first and the last ones where there are many.
func listParts(parts []Part) string {
	const shown = 8
	var names []string
	for k := range parts {
		if len(parts) > shown+1 && k == shown-1 {
			names = append(names, fmt.Sprintf("%d more", len(parts)-shown))
		}
		if len(parts) <= shown+1 || k < shown-1 || k == len(parts)-1 {
			names = append(names, parts[k].String())
		}
	}
	return strings.Join(names, "; ")
}

// greatestFlow is the name of the part in which most charge flows.
func greatestFlow(parts []Part) string {
	name, most := "", -1.0
	for k := range parts {
		if q := max(float64(parts[k].ChargeOut), float64(parts[k].ChargeIn)); parts[k].Kind != PartRest && q > most {
			name, most = parts[k].Name, q
		}
	}
	return name
}

// severalParts says that a log is no single run.
func severalParts(parts []Part, source *finding.Source, oneRun bool) finding.Finding {
	f := finding.Finding{Rule: ruleSeveralParts, Level: finding.Note, Span: place(source, parts[0].FirstLine, parts[0].Offset),
		Text:   fmt.Sprintf("the log holds %s, and none of them is taken for the run: %s", plural(len(parts), "part"), listParts(parts)),
		Remedy: fmt.Sprintf("measure one of them, such as `--part %q`, or several that follow each other, such as `--part \"%s to %s\"`", greatestFlow(parts), parts[0].Name, parts[1].Name)}
	if oneRun {
		f.Level = finding.Error
		f.Remedy = fmt.Sprintf("say under `log:` which one the run is, such as `part: %s`, or `part: %s to %s` for several that follow each other", greatestFlow(parts), parts[0].Name, parts[1].Name)
	}
	return f
}

func unknownPart(parts []Part, name string, source *finding.Source) finding.Finding {
	f := finding.Finding{Rule: ruleUnknownPart, Level: finding.Error, Span: finding.Span{Source: source},
		Text: fmt.Sprintf("the log has no part %q", name), Remedy: "leave the part out: nothing is cut where no current is read"}
	if len(parts) > 0 {
		f.Text = fmt.Sprintf("the log has no part %q; it has %s", name, listParts(parts))
		f.Remedy = "name one of them, or a first and a last one with `to` between them"
	}
	return f
}

// missSeveral takes away what only a single run has.
func (r *Result) missSeveral() {
	why := fmt.Sprintf("The log holds %s, and none of them is taken for the run.", plural(len(r.Parts), "part"))
	none := newResult(EvidenceLog)
	r.Running, r.Stopped, r.MeanCurrent, r.P95Current, r.MeanVoltage, r.Sag = none.Running, none.Stopped, none.MeanCurrent, none.P95Current, none.MeanVoltage, none.Sag
	r.Cutout, r.ReboundTraces, r.Stops, r.StopCount = nil, nil, nil, 0
	for _, name := range append([]string{"running-time", "stopped-time", "mean-current", "p95-current", "mean-voltage", "sag"}, cutoutFigures...) {
		r.missing[name] = why
		delete(r.notes, name)
	}
}

// partDocs documents how a log is cut.
func partDocs() []finding.Doc {
	return []finding.Doc{
		formula("log-parts", "The parts of a log",
			"The charge that has flowed in all rises and falls as the pack is discharged and charged. A log is cut at the extremes of that curve which stand a tenth of the greatest flow apart, so that the brakes of a vehicle that feed back and the pulses of a test are no charge; a flow the other way of a hundredth is a part as well where it goes on for ten minutes all one way, as a topping up does. A rest at a border that lasts a minute or more is a part of its own, a shorter one goes with the flow before it. A rest is a current of at most half a per cent of the greatest. A log with one flow is one run, with the rests at its ends.",
			"Q(k+1) − Q(k) ≥ 0.1·max |Q(j+1) − Q(j)| at every cut", "A, s, Ah", "Logs with a current. At most 1024 flows and rests are held; beyond that the shortest are joined.", ownRule),
		{Kind: finding.RuleDoc, Name: ruleSeveralParts, Level: finding.Error, Title: "A log of several runs",
			What: "A log that holds more than one discharge or charge, by the formula log-parts. In a journal the run says which part it is; `measure` lists the parts, and gives only what the whole log has: time, charge, energy, greatest current, voltages.",
			Why:  "A running time, a mean current or an opening of the cutout over a discharge and the charge after it are numbers of nothing.", Source: ownRule, Example: "  log: {file: bench.csv, part: discharge 1 to rest 1}"},
		{Kind: finding.RuleDoc, Name: ruleUnknownPart, Level: finding.Error, Title: "A part that the log does not have",
			What: "Looks a stated part up among the parts of the log.", Why: "Nothing was measured of it.", Source: ownRule, Example: "  log: {file: bench.csv, part: discharge 2}"},
	}
}
