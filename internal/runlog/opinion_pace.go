package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

var paceDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-pace", Level: finding.Warning, Title: "A flow that is too slow or too quick for a pack",
	What: "Looks at the greatest flow of charge one way: one that goes on without a rest for more than 200 h, or that would, at the rate which empties it in an hour, take more than the whole voltage away by the pack's own resistance (where no step holds long enough to tell it, by the least answer to a load that comes on), is too slow; one of less than 30 s over which the voltage moves by 15 % under a steady current is too quick, and so are rows less than a microsecond apart. Where more than two thirds of the intervals take no time, as with dates alone, it is an error. An error where another form of time would mend it.",
	Why:  "Milliseconds taken for seconds make a thousand times the charge, and nothing else in the log need show it.", Source: ownRule,
	Example: "  log: {file: bench.csv, time: milliseconds}",
}

const (
	slowest     = 200 * 3600.0 // s
	sagAtOneC   = 1.0          // part of the voltage
	quickest    = 30.0         // s
	quickFall   = 0.15
	quickSteady = 0.2
	shortest1   = 1e-6 // s between rows that no logger keeps up with
)

// paceWitness keeps how the voltage answers a load that comes on, from one row to the next.
type paceWitness struct {
	edges               []paceEdge
	intervals, timeless int
}

type paceEdge struct{ ohms, amps, time float64 }

const (
	paceEdges = 16   // that are kept
	paceLoad  = 0.5  // part of the greatest current that is switched
	paceShort = 1e-3 // part of the time of the flow that an edge may take
)

func (w *paceWitness) pass(p *passage) {
	if w.intervals++; p.length() == 0 {
		w.timeless++
	}
	size := math.Abs(p.b.i)
	if p.kind == gap || size == 0 || math.Abs(p.a.i) > restFraction*size {
		return
	}
	if ohms := math.Abs((p.b.v - p.a.v) / (p.b.i - p.a.i)); ohms > 0 && len(w.edges) < paceEdges {
		w.edges = append(w.edges, paceEdge{ohms, size, p.length()})
	}
}

// ramps takes intervals in succession, as pass takes one: where a current flows throughout, no load comes on.
func (w *paceWitness) ramps(r *ramps) {
	if len(w.edges) < paceEdges && r.amps.least <= restFraction*r.amps.most {
		for k := range r.d {
			w.pass(r.passage(k))
		}
		return
	}
	w.intervals += len(r.d)
}

// ohms is the least answer to a load of a good part of the peak whose edge is short beside a time; 0 where there is none.
func (w *paceWitness) ohms(time, peak float64) float64 {
	least := 0.0
	for _, e := range w.edges {
		if e.amps >= paceLoad*peak && e.time <= paceShort*time && (least == 0 || e.ohms < least) {
			least = e.ohms
		}
	}
	return least
}

func (w *paceWitness) say(h *hearing) []said {
	m := h.meter
	if m.rows > 20 && m.last-m.first < float64(m.rows)*shortest1 {
		return []said{{finding.Error, fmt.Sprintf("%d rows come within %s", m.rows, clockText(m.last-m.first)), "look at which column is the time and at its unit: `columns: {time: HEAD}`, `time: seconds`", 0, 0}}
	}
	if w.intervals >= 20 && 3*w.timeless > 2*w.intervals { // two rows at one instant make half at the most
		return []said{{finding.Error, fmt.Sprintf("%d of %d intervals between rows take no time: the times are too coarse to count by, or of something else", w.timeless, w.intervals), "let the logger write the time of day to the second, or name the column that holds it: `columns: {time: HEAD}`", 0, 0}}
	}
	var greatest *leg
	for k := range m.cutter.legs {
		if l := &m.cutter.legs[k]; l.kind != legRest && (greatest == nil || math.Abs(l.net()) > math.Abs(greatest.net())) {
			greatest = l
		}
	}
	if greatest == nil {
		return nil
	}
	time := greatest.last.t - greatest.loaded.t
	hours := math.Abs(greatest.net()) / secondsPerHour
	volts := math.Abs(greatest.loaded.v)
	sag := 0.0
	if r := m.steps.result(m.accounts.voltage, m.accounts.current); r.Steps > 0 {
		sag = float64(r.Value) * hours / volts
	} else {
		sag = w.ohms(time, m.cutter.peak) * hours / volts
	}
	at := func(text string, ratios ...float64) []said {
		if h.timeHolds {
			return nil
		}
		level := finding.Warning
		var found []likely
		for _, ratio := range ratios {
			if found = h.likely(ratio, true); len(found) > 0 {
				break
			}
		}
		if len(found) > 0 {
			level = finding.Error
		}
		looks, remedy := either(found, "look at the unit of the time; if it is right, say so in the note")
		return []said{{level, text + looks, remedy, greatest.loaded.line, greatest.loaded.offset}}
	}
	switch {
	case sag > sagAtOneC:
		return at(fmt.Sprintf("%s would flow here through a pack that, by its own resistance, loses %s times its voltage at the current which moves as much in an hour",
			plain(hours, quantity.Charge), short(sag)), 60, 1000, 3600)
	case time > slowest:
		return at(fmt.Sprintf("a current flows from here on for %s without a rest", clockText(time)), 1000)
	case time > 0 && time < quickest && m.cutter.peak > 0:
		first, last := greatest.loaded, greatest.last
		steady := math.Abs(last.i-first.i) <= quickSteady*max(math.Abs(first.i), math.Abs(last.i))
		if moved := math.Abs(first.v-last.v) / volts; steady && moved > quickFall && greatest.rows > 20 {
			return at(fmt.Sprintf("the voltage moves by %s %% within %s of a steady current", short(100*moved), clockText(time)), 0.001)
		}
	}
	return nil
}
