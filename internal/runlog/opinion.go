package runlog

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"voltwright/internal/finding"
)

// An opinion is something that a log says twice, or says against what a small vehicle and its pack can be. It is a rule:
// a row of this table and a file of its own.
type opinion struct {
	doc  finding.Doc
	hear func() witness
	of   []Channel // it hears only rows of a log that holds one of these; of any log where it names none
}

// opinionTable lists the opinions in the order in which they speak; one that settles what a later one asks stands before it.
var opinionTable = []opinion{
	{rowOrderDoc, func() witness { return &rowOrder{} }, nil},
	{secondTimeDoc, func() witness { return &secondTime{} }, []Channel{SecondTime}},
	{stepTimeDoc, func() witness { return &stepTime{} }, []Channel{StepTime}},
	{namedIntervalDoc, func() witness { return &namedInterval{} }, nil},
	{powerDoc, func() witness { return &powerWitness{} }, []Channel{Power}},
	{chargeCounterDoc, func() witness { return newChargeCounter() }, []Channel{ChargeCounter, ChargeReturned}},
	{slowDoc, func() witness { return slowWitness{} }, nil},
	{energyCounterDoc, func() witness { return newEnergyCounter() }, []Channel{EnergyCounter, EnergyReturned}},
	{distanceDoc, func() witness { return &distanceWitness{} }, []Channel{Distance}},
	{positionDoc, func() witness { return &positionWitness{} }, []Channel{ByPosition}},
	{stateDoc, func() witness { return &stateWitness{} }, []Channel{State}},
	{implausibleDoc, func() witness { return &rangeWitness{} }, nil},
	{secondColumnDoc, func() witness { return &secondWitness{} }, []Channel{SecondVoltage, SecondCurrent, SecondTemperature, Ambient}},
	{exchangedDoc, func() witness { return &exchangedWitness{} }, nil},
	{signDoc, func() witness { return &signWitness{} }, nil},
	{currentMissingDoc, func() witness { return &silentWitness{} }, nil},
	{paceDoc, func() witness { return &paceWitness{} }, nil},
	{packVoltageDoc, func() witness { return &packVoltage{} }, nil},
	{packChargeDoc, func() witness { return &packCharge{} }, nil},
	{jumpsDoc, func() witness { return &jumpWitness{} }, nil},
	{scaleDoc, func() witness { return &scaleWitness{} }, nil},
	{digitsDoc, func() witness { return &digitsWitness{} }, nil},
	{holesDoc, func() witness { return &holeWitness{} }, nil},
	{longIntervalDoc, func() witness { return &longInterval{} }, nil},
}

// witness speaks of a log at its end. It keeps a bounded amount of memory. What it has to hear of the log it hears by one of the other
// interfaces, or by two.
type witness interface {
	say(*hearing) []said
}

// hearsRow hears each row, as it is measured; what hears rows hears many at a time.
type (
	hearsRow  interface{ row(*Sample) }
	hearsRows interface{ block(*rows) }
)

// hearsPass hears each interval between two rows that hold a current; what hears ramps hears many of them at a time, where they are ramps.
type (
	hearsPass  interface{ pass(*passage) }
	hearsRamps interface {
		hearsPass
		ramps(*ramps)
	}
)

// said is what a witness says, and of which row.
type said struct {
	level        finding.Level
	text, remedy string
	line         int
	offset       int64
}

// hearing is what the witnesses can ask of at the end.
type hearing struct {
	result  *Result
	meter   *Meter
	options *Options
	dialect *Dialect

	timeHolds  bool // another time agrees with the log's
	powerHolds bool // a power column agrees with volts times amperes
	answers    *answers
}

// opinions hears every witness.
type opinions struct {
	dialect   Dialect
	witnesses []witness
	ofRows    []listener
	ofPasses  []hearsPass
}

// listener is a witness that hears rows.
type listener struct {
	of   []Channel
	rows func(*rows)
}

func newOpinions() opinions {
	var o opinions
	for _, row := range opinionTable {
		w := row.hear()
		o.witnesses = append(o.witnesses, w)
		switch w := w.(type) {
		case hearsRows:
			o.ofRows = append(o.ofRows, listener{row.of, w.block})
		case hearsRow:
			o.ofRows = append(o.ofRows, listener{row.of, func(r *rows) { r.each(w.row) }})
		}
		if w, ok := w.(hearsPass); ok {
			o.ofPasses = append(o.ofPasses, w)
		}
	}
	return o
}

func (o *opinions) rows(r *rows) {
	for k := range o.ofRows {
		if l := &o.ofRows[k]; len(l.of) == 0 || slices.ContainsFunc(l.of, r.holds) {
			l.rows(r)
		}
	}
}

func (o *opinions) pass(p *passage) {
	for _, w := range o.ofPasses {
		w.pass(p)
	}
}

func (o *opinions) ramps(r *ramps) {
	for _, w := range o.ofPasses {
		if w, ok := w.(hearsRamps); ok {
			w.ramps(r)
			continue
		}
		for k := range r.d {
			w.pass(r.passage(k))
		}
	}
}

// judge asks all of them. They may widen what the result leaves open.
func (o *opinions) judge(r *Result, m *Meter) []finding.Finding {
	h := &hearing{result: r, meter: m, options: &m.o, dialect: &o.dialect}
	var out []finding.Finding
	for k, w := range o.witnesses {
		for _, s := range w.say(h) {
			out = append(out, finding.Finding{Rule: opinionTable[k].doc.Name, Level: s.level, Text: s.text, Remedy: s.remedy, Span: place(m.source, s.line, s.offset)})
		}
	}
	return out
}

// opinionDocs documents them.
func opinionDocs() []finding.Doc {
	docs := make([]finding.Doc, len(opinionTable))
	for k, row := range opinionTable {
		docs[k] = row.doc
	}
	return docs
}

// wrongFactor is the factor beyond which two accounts of one thing cannot both be used; our own choice.
const wrongFactor = 1.5

// grave is the level of a disagreement by a factor: an error beyond wrongFactor either way.
func grave(ratio float64) finding.Level {
	if !(ratio < wrongFactor && ratio > 1/wrongFactor) {
		return finding.Error
	}
	return finding.Warning
}

// sameWay says whether two values go the same way from nothing; nothing goes no way.
func sameWay(a, b float64) bool { return a > 0 && b > 0 || a < 0 && b < 0 }

// apart says in words how far the first is from the second: "3.6 times", "4.2 % more than".
func apart(ratio float64) string {
	switch {
	case math.IsInf(ratio, 0) || math.IsNaN(ratio):
		return "not to be compared with"
	case ratio >= wrongFactor:
		return fmt.Sprintf("%s times", short(ratio))
	case ratio <= 1/wrongFactor:
		return fmt.Sprintf("1/%s of", short(1/ratio))
	case ratio >= 1:
		return fmt.Sprintf("%s %% more than", short(100*(ratio-1)))
	}
	return fmt.Sprintf("%s %% less than", short(100*(1-ratio)))
}

// short writes three significant digits of a number, and never a power of ten.
func short(x float64) string { return strconv.FormatFloat(roundTo(x, 3), 'f', -1, 64) }
