package runlog

import (
	"encoding/binary"
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

// writing draws logs as loggers, spreadsheets and hands write them: their separators, heads, units, clocks, states, settings and slips.
type writing struct{ *rand.Rand }

func (w writing) one(of ...string) string { return of[w.IntN(len(of))] }

// in is true once in n.
func (w writing) in(n int) bool { return w.IntN(n) == 0 }

// moment is a row of a run before it is written.
type moment struct{ t, v, i, temp, speed, way, out, back, wh, step float64 }

// run draws a run of some parts: rest, load, charge, with the times between rows.
func (w writing) run(rows int) []moment {
	var out []moment
	every := []float64{0.1, 0.5, 1, 2, 10, 60, 300}[w.IntN(7)]
	m := moment{t: []float64{0, 0, 0, 500, 86000}[w.IntN(5)], temp: 18}
	soc, level, begun := 0.9, 0.0, 0.0
	for k := range rows {
		if k%(6+w.IntN(20)) == 0 {
			next := []float64{0, 0, 2, 5, 8, 12, -3}[w.IntN(7)]
			if next != level {
				begun = m.t
			}
			level = next
		}
		d := every
		switch w.IntN(120) {
		case 0:
			d *= float64(2 + w.IntN(60))
		case 1:
			d = 0
		case 2:
			d = -every * float64(w.IntN(3))
		}
		if k == 0 {
			d = 0
		}
		m.t += d
		m.i = level
		if level != 0 {
			m.i += 0.02 * w.NormFloat64()
		}
		m.out += max(0, m.i) * max(0, d) / 3600
		m.back += max(0, -m.i) * max(0, d) / 3600
		m.v = 21 + 5*soc - 0.04*m.i
		m.wh += max(0, m.i) * m.v * max(0, d) / 3600
		soc -= m.i * max(0, d) / 3600 / 20
		m.temp += 0.001 * math.Abs(m.i) * math.Min(d, 10)
		m.speed = max(0, level) / 5
		m.way += m.speed * max(0, d)
		m.step = m.t - begun
		out = append(out, m)
	}
	return out
}

// headed is a head and how a row is written under it.
type headed struct {
	head  string
	write func(k int, m moment) string
}

func inPlaces(places int, x float64) string { return fmt.Sprintf("%.*f", places, x) }

// times draws the columns that say when.
func (w writing) times() []headed {
	day := time.Date(2025, 4, 27, 22, 30, 0, 0, time.UTC)
	at := func(layout string) func(int, moment) string {
		return func(_ int, m moment) string {
			return day.Add(time.Duration(m.t * float64(time.Second))).Format(layout)
		}
	}
	per := func(seconds float64, places int) func(int, moment) string {
		return func(_ int, m moment) string { return inPlaces(places, m.t/seconds) }
	}
	clock := func(of func(moment) float64, tenths bool) func(int, moment) string {
		return func(_ int, m moment) string {
			s := of(m)
			text := fmt.Sprintf("%02d:%02d:%02d", int(s)/3600, int(s)/60%60, int(s)%60)
			if tenths {
				text += fmt.Sprintf(".%d", int(s*10)%10)
			}
			return text
		}
	}
	since := func(m moment) float64 { return m.t }
	all := [][]headed{
		{{w.one("time (s)", "t/s", "Time", "Elapsed time [s]", "Zeit in s"), per(1, 1+w.IntN(3))}},
		{{w.one("time (ms)", "time_ms", "Millis"), per(1e-3, 0)}}, {{w.one("Elapsed time (min)", "time/min"), per(60, 3)}}, {{"Test Time (h)", per(3600, 5)}},
		{{w.one("time", "elapsed", "Test Time"), clock(since, w.in(2))}}, {{w.one("timestamp", "Date Time"), at("2006-01-02 15:04:05.0")}}, {{"Date Time", at("2006-01-02T15:04:05.000Z")}},
		{{"Datum Zeit", at("02.01.2006 15:04:05.0")}}, {{"date time", at("01/02/2006 03:04:05 PM")}}, {{"date", at("2006-01-02")}, {"time", at("15:04:05.0")}},
		{{"epoch", func(_ int, m moment) string { return inPlaces(1, 1745793000+m.t) }}}, {{"no", func(k int, _ moment) string { return fmt.Sprint(k + 1) }}},
	}
	out := all[w.IntN(len(all))]
	switch w.IntN(8) {
	case 0:
		out = append(out, headed{w.one("Step Time (s)", "step time", "time in step (s)", "Step Time (min)"), func(_ int, m moment) string { return inPlaces(1, m.step) }})
	case 1:
		out = append(out, headed{"step time", clock(func(m moment) float64 { return m.step }, false)})
	case 2:
		out = append(out, headed{"time (s)", per(1, 2)})
	}
	return out
}

// flows draws the columns of current and voltage.
func (w writing) flows() []headed {
	sign := []float64{1, 1, -1}[w.IntN(3)]
	volts := headed{w.one("voltage (V)", "U_pack [V]", "Spannung in V", "U", "Battery Voltage", "V"), func(_ int, m moment) string { return inPlaces(2, m.v) }}
	if w.in(6) {
		volts = headed{w.one("voltage (mV)", "Pack_mV"), func(_ int, m moment) string { return inPlaces(0, 1000*m.v) }}
	}
	if w.in(25) {
		return []headed{volts}
	}
	amps := []headed{{w.one("current (A)", "I/A", "Strom [A]", "I", "Battery Current", "discharge current (A)", "charge current (A)"), func(_ int, m moment) string { return inPlaces(3, sign*m.i) }}}
	switch w.IntN(10) {
	case 0:
		amps = []headed{{"Current_mA", func(_ int, m moment) string { return inPlaces(0, 1000*sign*m.i) }}}
	case 1:
		amps = []headed{{"discharge current (A)", func(_ int, m moment) string { return inPlaces(2, max(0, m.i)) }}, {"charge current (A)", func(_ int, m moment) string { return inPlaces(2, max(0, -m.i)) }}}
	case 2, 3:
		words := [][3]string{{"Discharge", "Charge", "Rest"}, {"D", "C", "R"}, {"DChg", "Chg", "Pause"}, {"entladen", "laden", "Ruhe"}}[w.IntN(4)]
		amps = []headed{{"Current (A)", func(_ int, m moment) string { return inPlaces(3, math.Abs(m.i)) }}, {w.one("State", "Status", "Mode", "Step Type"), func(_ int, m moment) string {
			switch {
			case m.i > 0.2:
				return words[0]
			case m.i < -0.2:
				return words[1]
			}
			return words[2]
		}}}
	}
	if w.in(2) {
		return append([]headed{volts}, amps...)
	}
	return append(amps, volts)
}

// others draws what else a log holds.
func (w writing) others(slip float64) []headed {
	var out []headed
	for range w.IntN(4) {
		list := []headed{
			{w.one("temperature (°C)", "Temp", "T (°C)", "T1"), func(_ int, m moment) string { return inPlaces(1, m.temp) }}, {"temperature (°F)", func(_ int, m moment) string { return inPlaces(1, m.temp*1.8+32) }},
			{"Ambient (°C)", func(int, moment) string { return "17.5" }}, {w.one("speed (km/h)", "GPS speed (km/h)"), func(_ int, m moment) string { return inPlaces(1, 3.6*m.speed*slip) }},
			{"speed (m/s)", func(_ int, m moment) string { return inPlaces(4, m.speed+0.05) }}, {"speed (mph)", func(_ int, m moment) string { return inPlaces(1, m.speed/0.44704) }},
			{w.one("Distance (m)", "distance/m"), func(_ int, m moment) string { return inPlaces(1, m.way*slip) }}, {"Power (W)", func(_ int, m moment) string { return inPlaces(1, m.v*m.i*slip) }},
			{w.one("Ah", "Capacity (Ah)", "Discharge Capacity (Ah)", "used (Ah)"), func(_ int, m moment) string { return inPlaces(4, m.out*slip) }}, {"mAh", func(_ int, m moment) string { return inPlaces(0, 1000*m.out*slip) }},
			{"Charge Capacity (Ah)", func(_ int, m moment) string { return inPlaces(4, m.back*slip) }}, {w.one("Wh", "Energy (Wh)"), func(_ int, m moment) string { return inPlaces(3, m.wh*slip) }},
			{"Step", func(k int, m moment) string { return fmt.Sprint(1 + k/25) }}, {"Cycle", func(k int, m moment) string { return fmt.Sprint(1 + k/60) }}, {"voltage 2 (V)", func(_ int, m moment) string { return inPlaces(2, m.v*slip) }},
			{"Voltage cell 1 (V)", func(_ int, m moment) string { return inPlaces(3, m.v/7) }}, {"duty (%)", func(_ int, m moment) string { return inPlaces(0, min(100, 10*max(0, m.i))) }}, {"remarks", func(k int, m moment) string { return []string{"", "", "halt"}[k%3] }},
			{"x", func(k int, m moment) string { return inPlaces(2, 20+float64(k%3)) }}, {"", func(int, moment) string { return "" }}, {"lat", func(_ int, m moment) string { return inPlaces(6, 51.5+m.way/111e3) }}, {"lon", func(int, moment) string { return "7.250000" }},
			{"RPM", func(_ int, m moment) string { return inPlaces(0, 300*m.speed) }}, {"Motor current (A)", func(_ int, m moment) string { return inPlaces(1, 1.4*m.i) }}, {"SOC (%)", func(k int, m moment) string { return inPlaces(0, 90-float64(k)/5) }},
		}
		out = append(out, list[w.IntN(len(list))])
	}
	return out
}

// log draws a log, and what is stated of it.
func (w writing) log() ([]byte, Options) {
	slip := 1.0
	if w.in(5) {
		slip = []float64{1.02, 1.2, 3.6, 1000, -1}[w.IntN(5)]
	}
	rows := w.run([]int{3, 8, 25, 60, 140, 600}[w.IntN(6)])
	columns := append(append(w.times(), w.flows()...), w.others(slip)...)
	if w.in(4) {
		w.Shuffle(len(columns), func(i, j int) { columns[i], columns[j] = columns[j], columns[i] })
	}
	separator := w.one(",", ",", ";", "\t", " | ", ", ")
	comma := separator != "," && separator != ", " && w.in(3)
	end := w.one("\n", "\n", "\r\n")
	var b strings.Builder
	for range w.IntN(4) / 2 {
		b.WriteString(w.one("# recorded at 1 Hz", "Logger 7, garden line", "\"sampling interval 10 s\"", "discharge is negative", "start: 2025-04-27 10:00:00", "") + end)
	}
	quoted := w.in(8)
	line := func(fields []string) {
		for k := range fields {
			if quoted {
				fields[k] = `"` + fields[k] + `"`
			}
		}
		b.WriteString(strings.Join(fields, separator))
		if w.in(40) {
			b.WriteString(separator)
		}
		b.WriteString(end)
	}
	if !w.in(12) {
		var heads []string
		for _, c := range columns {
			heads = append(heads, c.head)
		}
		line(heads)
	}
	setting := w.in(20)
	damaged := w.in(2)
	for k, m := range rows {
		var fields []string
		for _, c := range columns {
			text := c.write(k, m)
			if damaged && w.in(60) {
				text = w.one("", "nan", "OL", "--", "0", "-"+text, text+"0", "9999", "ERR")
			}
			if comma {
				text = strings.Replace(text, ".", ",", 1)
			}
			fields = append(fields, text)
		}
		if setting {
			fields = append(fields, [][2]string{{"Vertical Units", "V"}, {"Y Units", "A"}, {"", ""}}[k%3][:]...)
		}
		switch {
		case damaged && w.in(90):
			fields = fields[:len(fields)/2]
		case damaged && w.in(90):
			b.WriteString(w.one("", "# halted", "-- end --") + end)
		}
		line(fields)
	}
	return w.bytes(b.String()), w.stated()
}

// bytes are a text in one of the encodings.
func (w writing) bytes(text string) []byte {
	switch w.IntN(14) {
	case 0:
		return []byte("\ufeff" + text)
	case 1, 2:
		order := []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian}[w.IntN(2)]
		var out []byte
		for _, u := range utf16.Encode([]rune("\ufeff" + text)) {
			out = order.AppendUint16(out, u)
		}
		return out
	case 3: // Latin-1
		var out []byte
		for _, r := range text {
			out = append(out, byte(r))
		}
		return out
	}
	return []byte(text)
}

// stated draws what a note may state of its log.
func (w writing) stated() Options {
	o := NewOptions()
	if w.in(3) {
		o.PauseAfter = []quantity.Seconds{5, 30, 120}[w.IntN(3)]
	}
	if w.in(6) {
		o.Series, o.CellLowest, o.CellHighest = 7, 2.5, 4.2
	}
	if w.in(6) {
		o.Cutout = &Cutout{Opens: quantity.Exact(quantity.Volts(21.5))}
	}
	if w.in(6) {
		o.Instruments = []Instrument{{Channel: Voltage, Resolution: 0.01}, {Channel: Current, Resolution: 0.02}}
	}
	if w.in(10) {
		o.Rated = quantity.Exact(quantity.AmpereHours(0.5))
	}
	if w.in(12) {
		negative := w.in(2)
		o.DischargeNegative = &negative
	}
	if w.in(12) {
		o.Gap = 20
	}
	if w.in(12) {
		o.Idle = 1
	}
	if w.in(15) {
		o.Step = 2
	}
	return o
}

// What is made of 2400 logs, each in one line: the rules that speak, and a sum over all that is told, number by number and word for word.
// It is a net: a change of a word moves many of its lines. Where a line differs the test prints what is told of that log.
func TestLogsAsTheyAreWritten(t *testing.T) {
	var all strings.Builder
	var told []string
	for n := range 2400 {
		w := writing{rand.New(rand.NewPCG(41, uint64(n)))}
		text, o := w.log()
		var b strings.Builder
		r, found, err := Measure(finding.NewStream("log"), strings.NewReader(string(text)), o)
		var rules []string
		for _, f := range found {
			rules = append(rules, strings.TrimPrefix(f.Rule, "log-"))
		}
		if err != nil {
			rules = append(rules, "fails")
			fmt.Fprintln(&b, err)
		}
		if r != nil {
			fmt.Fprintf(&b, "%+v\n%+v\n%+v\n%s", r.Dialect, r.Accounts, r.Time, strings.Join(tellResult(r), "\n"))
			fmt.Fprintf(&b, "\n%s", wordForWord(r, found))
		} else {
			for _, f := range found {
				fmt.Fprintf(&b, "%s: %s (%s)\n", f.Rule, f.Text, f.Remedy)
			}
		}
		sum := fnv.New32a()
		sum.Write([]byte(b.String()))
		slices.Sort(rules)
		fmt.Fprintf(&all, "%d %08x %s\n", n, sum.Sum32(), strings.Join(slices.Compact(rules), " "))
		told = append(told, b.String())
	}
	const file = "testdata/written.golden"
	was, err := os.ReadFile(file)
	if err != nil && !recorded.Updating() {
		t.Fatal(err)
	}
	lines := strings.Split(string(was), "\n")
	for n, line := range strings.Split(strings.TrimSpace(all.String()), "\n") {
		if n < len(lines) && line != lines[n] && !recorded.Updating() {
			t.Logf("of log %d is told:\n%s", n, told[n])
			break
		}
	}
	recorded.Text(t, file, all.String())
}
