package runlog

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

var implausibleDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-implausible", Level: finding.Warning, Title: "Values that nothing on a small vehicle has",
	What: "Holds every value against the widest range of its channel. A value beyond it is left out and counted, the row's others are used. If half of the column or more is beyond it, or a pack's voltage never reaches half a volt while a current flows, the unit is wrong and it is an error that names the likeliest one. A current that never passes 50 mA and is more than a fifth of its greatest for half of the time, in a log without a voltage or beside one that moves by 3 %, is a warning, and so is one beyond 400 A. Of a log without a current, the voltage is not judged: it may be a motor's.",
	Why:  "1853 \"Volts\" of a cell are millivolts; a cell at −3.8 V is a row of something else.", Source: ownRule,
	Example: "  log: {file: bench.csv, columns: {voltage: \"Volts [mV]\"}}",
}

// plausible is the widest range of a channel's values, in its base unit; our own choice.
var plausible = map[Channel][2]float64{
	Voltage:     {-0.5, 1000},
	Current:     {-1000, 1000},
	Temperature: {-60, 250},
	Ambient:     {-60, 100},
	Speed:       {-60, 60},
	Power:       {-1e6, 1e6},
	Rotation:    {-1e5, 1e5},
}

// judged lists the channels of the table in their order.
var judged = []Channel{Voltage, Current, Temperature, Ambient, Speed, Power, Rotation}

// rangeWatch leaves out what is beyond the range, before anything else sees it.
type rangeWatch struct {
	seen, beyond [channelCount]int
	worst        [channelCount]float64
	first        [channelCount]said
	current      bool // the log has one
}

func (w *rangeWatch) add(s *Sample) {
	w.current = w.current || s.Has(Current)
	for _, c := range judged {
		x := s.Values[c]
		if math.IsNaN(x) || c == Voltage && !w.current {
			continue
		}
		w.seen[c]++
		limits := plausible[c]
		if x >= limits[0] && x <= limits[1] {
			continue
		}
		if w.beyond[c] == 0 {
			w.first[c] = said{line: s.Line, offset: s.Offset}
		}
		if math.Abs(x) > math.Abs(w.worst[c]) {
			w.worst[c] = x
		}
		w.beyond[c]++
		s.Values[c] = math.NaN()
	}
}

// admit looks at the rows of a block from one on, and at what no channel can have.
func (w *rangeWatch) admit(b *block, from int, unusable *[channelCount]int) {
	for _, c := range b.held {
		if c == Time && b.time[b.n-1] <= greatestUsable || c != Time && b.boundsIn(c, from, b.n).most <= greatestUsable {
			continue
		}
		for k, x := range b.values[c][from:b.n] {
			if !usable(x) && x == x {
				b.values[c][from+k] = math.NaN()
				b.core.known = false
				unusable[c]++
			}
		}
	}
	k := from
	if !w.current {
		b.core.known = false
	}
	for ; k < b.n && !w.current; k++ { // of a log that has no current so far, the voltage is not judged
		s := b.sample(k)
		w.add(s)
		for _, c := range judged {
			if b.values[c] != nil {
				b.values[c][k] = s.Values[c]
			}
		}
	}
	for _, c := range judged {
		if b.values[c] == nil {
			continue
		}
		limits := plausible[c]
		if all := b.boundsIn(c, k, b.n); k < b.n && all.low >= limits[0] && all.high <= limits[1] {
			w.seen[c] += all.n
			continue
		}
		b.core.known = false
		for k := k; k < b.n; k++ {
			x := b.values[c][k]
			if x != x {
				continue
			}
			w.seen[c]++
			if x >= limits[0] && x <= limits[1] {
				continue
			}
			if w.beyond[c] == 0 {
				w.first[c] = said{line: b.line[k], offset: b.offset[k]}
			}
			if math.Abs(x) > math.Abs(w.worst[c]) {
				w.worst[c] = x
			}
			w.beyond[c]++
			b.values[c][k] = math.NaN()
		}
	}
}

// rangeWitness says what was left out.
type rangeWitness struct {
	highest float64 // voltage
	flowing bool
	rows    int // rows that hold a voltage and a current
}

func (w *rangeWitness) row(s *Sample) {
	if s.Has(Voltage) && s.Has(Current) {
		w.rows++
		w.highest = max(w.highest, s.Values[Voltage])
		w.flowing = w.flowing || s.Values[Current] != 0
	}
}

func (w *rangeWitness) block(r *rows) {
	v, i := &r.bounds[Voltage], &r.bounds[Current]
	if v.n < r.len() || i.n < r.len() {
		r.each(w.row)
		return
	}
	w.rows += r.len()
	w.highest = max(w.highest, v.high)
	w.flowing = w.flowing || i.most > 0
}

func (w *rangeWitness) say(h *hearing) []said {
	var list []said
	r := &h.meter.ranges
	for _, c := range judged {
		n := r.beyond[c]
		if n == 0 {
			continue
		}
		limits := plausible[c]
		show := func(x float64) string { return plain(x, c.Dimension()) }
		at := r.first[c]
		if 2*n >= r.seen[c] {
			looks, remedy := either(h.likely(1000, false, c), fmt.Sprintf("look at the unit and at the sign of the %s in the head", c))
			list = append(list, said{finding.Error, fmt.Sprintf("the %s reads up to %s, beyond %s to %s, in %d of %d rows%s",
				c, show(r.worst[c]), show(limits[0]), show(limits[1]), n, r.seen[c], looks), remedy, at.line, at.offset})
			continue
		}
		list = append(list, said{finding.Warning, fmt.Sprintf("the %s reads up to %s, beyond %s to %s, in %d of %d rows, first here; these values are left out",
			c, show(r.worst[c]), show(limits[0]), show(limits[1]), n, r.seen[c]), "look at the rows: they may hold something else, such as an impedance, or a loose contact", at.line, at.offset})
	}
	if w.rows > 2 && w.flowing && w.highest < 0.5 && r.beyond[Voltage] == 0 {
		looks, remedy := either(h.likely(0.001, false, Voltage), "look at the unit of the voltage in the head")
		list = append(list, said{finding.Error, fmt.Sprintf("the voltage never passes %s while a current flows, and no cell works there%s", plain(w.highest, quantity.Voltage), looks), remedy, 0, 0})
	}
	list = append(list, w.tooLittle(h)...)
	list = append(list, tooMuch(h)...)
	if e, d := h.result.Energy.Out.Value-h.result.Energy.In.Value, h.meter.way(); float64(e) > 0 && d > 50 {
		if perKm := float64(e) / d * metresInKm; perKm < leastPerKm || perKm > mostPerKm {
			level := finding.Warning
			if perKm < leastPerKm/wrongFactor || perKm > mostPerKm*wrongFactor {
				level = finding.Error
			}
			found := append(inSmallUnits(h.likely(0.001, false, Current)), h.likely(1000, false, Distance)...)
			if perKm > mostPerKm {
				found = append(h.likely(1000, false, Current), h.likely(0.001, false, Distance)...)
			}
			looks, remedy := either(found, "look at the units of current and distance in the head")
			list = append(list, said{level, fmt.Sprintf("the vehicle would take %s a kilometre, and small vehicles take between %s and %s%s", plain(perKm, quantity.Energy), plain(leastPerKm, quantity.Energy), plain(mostPerKm, quantity.Energy), looks), remedy, 0, 0})
		}
	}
	return list
}

// leastCurrent is a greatest current, A, that no vehicle or charger stays below while its pack works; our own choice.
const (
	leastCurrent = 0.05
	workingPart  = 0.03 // part of the voltage by which it moves where the pack works
	workingFlow  = 0.2  // part of the greatest current that flows for half of the time
)

// tooLittle says of a current that it is none of a vehicle's, though the voltage moves as it does under load.
func (w *rangeWitness) tooLittle(h *hearing) []said {
	most, v := math.Abs(h.meter.peak), &h.meter.voltage
	if h.meter.walker.count < 20 || !(most > 0) || most >= leastCurrent || !(v.high-v.low >= workingPart*math.Abs(v.high)) {
		return nil
	}
	if drawn := &h.meter.drawn; drawn.exceededBy(drawn.weight/2) < workingFlow*most {
		return nil // a rest, in which the voltage recovers
	}
	beside := ""
	if v.n > 0 {
		beside = fmt.Sprintf(" while the voltage moves between %s and %s", plain(v.low, quantity.Voltage), plain(v.high, quantity.Voltage))
	}
	found := inSmallUnits(h.likely(0.001, false, Current))
	looks, remedy := either(found, "look at the unit of the current in the head")
	return []said{{finding.Warning, fmt.Sprintf("the current never passes %s%s, and no vehicle lives on that%s", plain(most, quantity.Current), beside, looks), remedy, 0, 0}}
}

// mostCurrent is a current, A, beyond which no small vehicle's pack works; our own choice.
const mostCurrent = 400

// tooMuch says of a current that it is none of a small vehicle's.
func tooMuch(h *hearing) []said {
	most := math.Abs(h.meter.peak)
	if !(most > mostCurrent) {
		return nil
	}
	looks, remedy := either(h.likely(1000, false, Current), "look at the unit of the current in the head")
	return []said{{finding.Warning, fmt.Sprintf("the current reaches %s, and no small vehicle draws more than %s%s", plain(most, quantity.Current), plain(mostCurrent, quantity.Current), looks), remedy, 0, 0}}
}

// inSmallUnits leaves out the kiloamperes, which no small vehicle has.
func inSmallUnits(found []likely) []likely {
	return slices.DeleteFunc(found, func(l likely) bool { return strings.HasSuffix(l.looks, " kA") })
}

// What a small vehicle takes a kilometre, Wh: from a model of a kilogramme on rails to a cart in mud; our own choice.
const (
	leastPerKm = 0.1
	mostPerKm  = 500.0
	metresInKm = 1000.0
)

// way is the distance by the column or else by the speed, m.
func (m *Meter) way() float64 {
	if m.distance.n >= 2 {
		return m.forward.value()
	}
	return m.travelled.out.value()
}
