package runlog

import (
	"fmt"
	"math"
	"strconv"

	"voltwright/internal/finding"
)

// An opinion is something that a log says twice, or says against what a small vehicle and its pack can be. It is a rule:
// a row of this table and a file of its own.
type opinion struct {
	doc  finding.Doc
	hear func() witness
}

// opinionTable lists the opinions in the order in which they speak; one that settles what a later one asks stands before it.
var opinionTable = []opinion{
	{rowOrderDoc, func() witness { return &rowOrder{} }},
	{secondTimeDoc, func() witness { return &secondTime{} }},
	{stepTimeDoc, func() witness { return &stepTime{} }},
	{namedIntervalDoc, func() witness { return &namedInterval{} }},
	{powerDoc, func() witness { return &powerWitness{} }},
	{chargeCounterDoc, func() witness { return newChargeCounter() }},
	{slowDoc, func() witness { return slowWitness{} }},
	{energyCounterDoc, func() witness { return newEnergyCounter() }},
	{distanceDoc, func() witness { return &distanceWitness{} }},
	{positionDoc, func() witness { return &positionWitness{} }},
	{stateDoc, func() witness { return &stateWitness{} }},
	{implausibleDoc, func() witness { return &rangeWitness{} }},
	{secondColumnDoc, func() witness { return &secondWitness{} }},
	{exchangedDoc, func() witness { return &exchangedWitness{} }},
	{signDoc, func() witness { return &signWitness{} }},
	{currentMissingDoc, func() witness { return &silentWitness{} }},
	{paceDoc, func() witness { return &paceWitness{} }},
	{packVoltageDoc, func() witness { return &packVoltage{} }},
	{packChargeDoc, func() witness { return &packCharge{} }},
	{jumpsDoc, func() witness { return &jumpWitness{} }},
	{scaleDoc, func() witness { return &scaleWitness{} }},
	{digitsDoc, func() witness { return &digitsWitness{} }},
	{holesDoc, func() witness { return &holeWitness{} }},
	{longIntervalDoc, func() witness { return &longInterval{} }},
}

// witness hears a log row by row and says at the end what it thinks of it. It keeps a bounded amount of memory.
type witness interface {
	row(*Sample)   // each row, as it is measured
	pass(*passage) // each interval between two rows that hold a current
	say(*hearing) []said
}

// deaf is for a witness that hears only rows, only intervals, or neither.
type deaf struct{}

func (deaf) row(*Sample)   {}
func (deaf) pass(*passage) {}

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
}

func newOpinions() opinions {
	var o opinions
	for _, row := range opinionTable {
		o.witnesses = append(o.witnesses, row.hear())
	}
	return o
}

func (o *opinions) row(s *Sample) {
	for _, w := range o.witnesses {
		w.row(s)
	}
}

func (o *opinions) pass(p *passage) {
	for _, w := range o.witnesses {
		w.pass(p)
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
