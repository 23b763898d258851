package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

var paceDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-pace", Level: finding.Warning, Title: "A flow that is too slow or too quick for a pack",
	What: "Looks at the greatest flow of charge one way: one that goes on without a rest for more than 200 h, or that would, at the rate which empties it in an hour, take more than the whole voltage away by the pack's own resistance, is too slow; one of less than 30 s over which the voltage moves by 15 % under a steady current is too quick, and so are rows less than a microsecond apart. An error where another form of time would mend it.",
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

type paceWitness struct{ deaf }

func (w *paceWitness) say(h *hearing) []said {
	m := h.meter
	if m.rows > 20 && m.last-m.first < float64(m.rows)*shortest1 {
		return []said{{finding.Error, fmt.Sprintf("%d rows come within %s", m.rows, clockText(m.last-m.first)), "look at which column is the time and at its unit: `columns: {time: HEAD}`, `time: seconds`", 0, 0}}
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
	}
	at := func(text string, ratio float64) []said {
		if h.timeHolds {
			return nil
		}
		level := finding.Warning
		found := h.likely(ratio, true)
		if len(found) > 0 {
			level = finding.Error
		}
		looks, remedy := either(found, "look at the unit of the time; if it is right, say so in the note")
		return []said{{level, text + looks, remedy, greatest.loaded.line, greatest.loaded.offset}}
	}
	switch {
	case sag > sagAtOneC:
		return at(fmt.Sprintf("%s would flow here through a pack that, by its own resistance, loses %s times its voltage at the current which moves as much in an hour",
			plain(hours, quantity.Charge), short(sag)), 1000)
	case time > slowest:
		return at(fmt.Sprintf("a current flows from here on for %s without a rest", clockText(time)), 1000)
	case time > 0 && time < quickest && m.cutter.peak > 0:
		first, last := greatest.loaded, greatest.last
		steady := math.Abs(last.i-first.i) <= quickSteady*math.Max(math.Abs(first.i), math.Abs(last.i))
		if moved := math.Abs(first.v-last.v) / volts; steady && moved > quickFall && greatest.rows > 20 {
			return at(fmt.Sprintf("the voltage moves by %s %% within %s of a steady current", short(100*moved), clockText(time)), 0.001)
		}
	}
	return nil
}
