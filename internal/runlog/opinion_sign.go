package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

var exchangedDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-columns-exchanged", Level: finding.Warning, Title: "Voltage, current or temperature that look exchanged",
	What: "Looks for what no pack does: a voltage of nothing beside a current that flows, in three rows or more, which is an error; or a voltage that stays within a fifth of a per cent over a whole discharge while the current moves by a fifth, which a current does and a voltage does not. Of a log with a temperature: whether it moves in the same rows as the current or the voltage (correlation of the row-to-row differences of 0.4, twice that of each other pair) and by three tenths of its range or more in one row, in a hundred rows or more, as only a voltage and a current do; from 0.8 on, with a tenth of its range and twenty rows, it is an error.",
	Why:  "A pack's voltage is never nothing and always moves with its charge. With the two exchanged, charge is wrong by any factor.", Source: ownRule,
	Example: "  log: {file: bench.csv, columns: {voltage: \"#3\", current: \"#2\"}}",
}

var signDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-sign-disagrees", Level: finding.Error, Title: "A voltage that goes the wrong way for the current",
	What: "In every flow of charge of at least a minute whose current is the same at its ends within a fifth: whether the voltage falls by 2 % or more while the current is said to charge, or rises by as much while it is said to discharge. Where no flow does so: how the voltage answers a current one way, over the greatest change of the last 10 s, where that is a twentieth of its greatest or more. A pack's voltage falls as more is drawn: where it rises with the current in eight rows or more (correlation of 0.4), and falls with it where it flows the other way (−0.4), or nothing flows the other way (then 0.6), that is a warning.",
	Why:  "The sign of the current is the other way round, in all of the log or from one row on: a discharge is counted as a charge.", Source: ownRule,
	Example: "  log: {file: bench.csv, discharge: negative}",
}

// exchangedWitness looks at how voltage and current go together.
type exchangedWitness struct {
	rows, short int // rows that hold a voltage and a current, and of them those without a voltage beside a current
	topV, topI  float64
	first       said
	loaded      int
	lowV, highV float64
	lowI, highI float64
	discharge   total
	together    together
}

func (w *exchangedWitness) row(s *Sample) {
	w.together.row(s)
	w.flows(s)
}

// rows takes rows as row takes one: under a load that goes on, beside a voltage, only the greatest and the least count.
func (w *exchangedWitness) block(r *rows) {
	if r.holds(Temperature) {
		r.each(w.together.row)
	}
	v, i := &r.bounds[Voltage], &r.bounds[Current]
	topV, topI := max(w.topV, v.most), max(w.topI, i.most)
	if v.n < r.len() || i.n < r.len() || v.least < 0.01*topV || i.least <= 0.05*topI {
		r.each(w.flows)
		return
	}
	w.rows += r.len()
	w.topV, w.topI = topV, topI
	if w.loaded == 0 {
		w.lowV, w.highV, w.lowI, w.highI = v.low, v.high, i.low, i.high
	}
	w.loaded += r.len()
	w.lowV, w.highV = min(w.lowV, v.low), max(w.highV, v.high)
	w.lowI, w.highI = min(w.lowI, i.low), max(w.highI, i.high)
	w.discharge.add(sumOfEach(r.of(Current)))
}

func (w *exchangedWitness) flows(s *Sample) {
	v, i := s.Values[Voltage], s.Values[Current]
	if math.IsNaN(v) || math.IsNaN(i) {
		return
	}
	w.rows++
	w.topV, w.topI = max(w.topV, math.Abs(v)), max(w.topI, math.Abs(i))
	if math.Abs(v) < 0.01*w.topV && math.Abs(i) > 0.2*w.topI {
		if w.short == 0 {
			w.first = said{line: s.Line, offset: s.Offset}
		}
		w.short++
	}
	if math.Abs(i) <= 0.05*w.topI {
		return
	}
	if w.loaded == 0 {
		w.lowV, w.highV, w.lowI, w.highI = v, v, i, i
	}
	w.loaded++
	w.lowV, w.highV = min(w.lowV, v), max(w.highV, v)
	w.lowI, w.highI = min(w.lowI, i), max(w.highI, i)
	w.discharge.add(i)
}

func (w *exchangedWitness) say(*hearing) []said {
	const remedy = "name the right columns under `columns:`, such as `columns: {voltage: \"#3\", current: \"#2\"}`"
	if w.short > 2 {
		return []said{{finding.Error, fmt.Sprintf("the voltage is nothing in %d of %d rows while a current flows, first here: voltage and current look exchanged", w.short, w.rows), remedy, w.first.line, w.first.offset}}
	}
	flat := w.highV-w.lowV <= 0.002*math.Abs(w.highV)
	moved := w.highI-w.lowI > 0.2*max(math.Abs(w.highI), math.Abs(w.lowI))
	if w.loaded >= 10 && 2*w.loaded > w.rows && flat && moved && w.discharge.value() > 0 {
		return []said{{finding.Warning, fmt.Sprintf("the voltage stays between %s and %s under load while the current goes from %s to %s: voltage and current may be exchanged",
			plain(w.lowV, quantity.Voltage), plain(w.highV, quantity.Voltage), plain(w.lowI, quantity.Current), plain(w.highI, quantity.Current)), remedy, 0, 0}}
	}
	return w.together.say(remedy)
}

// signWitness holds each flow of the log against the way in which its voltage goes.
type signWitness struct {
	answers answers
}

func (w *signWitness) row(s *Sample) { w.answers.row(s) }
func (w *signWitness) block(r *rows) { w.answers.follow(r) }

const (
	signTime    = 60.0
	signVoltage = 0.02
	signCurrent = 0.2
)

func (w *signWitness) say(h *hearing) []said {
	h.answers = &w.answers
	most := 0.0
	c := &h.meter.cutter
	for k := range c.legs {
		most = max(most, math.Abs(c.legs[k].net()))
	}
	for k := range c.legs {
		l := &c.legs[k]
		first, last := l.loaded, l.last
		if l.kind == legRest || last.t-first.t < signTime || math.Abs(l.net()) < swingPart*most ||
			math.Abs(last.i-first.i) > signCurrent*max(math.Abs(first.i), math.Abs(last.i)) {
			continue
		}
		rise := (last.v - first.v) / math.Abs(first.v)
		was, does, stated := "discharge", "rises", "negative"
		if l.kind == legCharge {
			was, does, rise = "charge", "falls", -rise
		}
		if h.dialect.DischargeNegative {
			stated = "positive"
		}
		if rise > signVoltage {
			return []said{{finding.Error, fmt.Sprintf("the current from here on is read as %s, and the voltage %s from %s to %s meanwhile: its sign looks turned", was, does,
				plain(first.v, quantity.Voltage), plain(last.v, quantity.Voltage)),
				fmt.Sprintf("say `discharge: %s` under `log:`; if only a stretch of the log is turned, mend it there", stated), first.line, first.offset}}
		}
	}
	return w.answers.say()
}
