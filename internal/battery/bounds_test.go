package battery

import (
	"errors"
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
	"voltwright/internal/reference"
)

// An exponent below 1 is refused, and one that cannot be told from 1 where the capacity falls from run to run: t = I^(−k) with a known scatter, k and its uncertainty by
// the normal equations (JCGM 100:2008, H.3).
func TestExponentsAtOne(t *testing.T) {
	amps := []quantity.Amperes{1, 2, 4, 8}
	fit := func(k float64, scatter []float64) (quantity.Measured[quantity.Number], error) {
		var times []quantity.Seconds
		for n, i := range amps {
			s := 0.0
			if scatter != nil {
				s = scatter[n]
			}
			times = append(times, quantity.Seconds(36000*math.Exp(-k*math.Log(float64(i))+s)))
		}
		return FitPeukert(amps, times)
	}
	for k, ok := range map[float64]bool{0.98: false, 1.02: true, 1.2: true} {
		got, err := fit(k, nil)
		if (err == nil) != ok || ok && math.Abs(float64(got.Value)-k) > 1e-9 {
			t.Errorf("an exponent of %g: %v, %v", k, got.Value, err)
		}
	}
	// A scatter that leaves the slope alone: ±s against the middle, of which the slope's uncertainty follows. x = ln 2 · (0, 1, 2, 3).
	s := 0.02
	scatter := []float64{s, -s, -s, s}
	u := math.Sqrt(4*s*s/2) / math.Sqrt(5) / math.Ln2
	for _, x := range []struct {
		k  float64
		ok bool
	}{{1 + 2*u*1.04, true}, {1 + 2*u*0.96, false}} {
		got, err := fit(x.k, scatter) // the capacity falls with the current, and so with the order
		if (err == nil) != x.ok {
			t.Errorf("%g ± %g: %v", x.k, u, err)
		}
		if x.ok {
			close1(t, "exponent", float64(got.Value), x.k, 1e-9)
			close1(t, "its uncertainty", float64(got.U), u, 1e-9)
			continue
		}
		e, is := errors.AsType[*ExponentError](err)
		if !is || !e.Faded || !strings.Contains(err.Error(), "which cannot be told from 1") {
			t.Errorf("%v", err)
			continue
		}
		close1(t, "uncertainty that is told", e.U, u, 1e-9)
		close1(t, "first", float64(e.First), 10*math.Exp(s), 1e-9)
		close1(t, "last", float64(e.Last), 10*8*math.Exp(-x.k*math.Log(8)+s), 1e-9)
	}
	// The same exponent from runs in the other order, in which nothing fades, stands.
	amps = []quantity.Amperes{8, 4, 2, 1}
	if _, err := fit(1+2*u*0.96, scatter); err != nil {
		t.Errorf("runs that do not fade: %v", err)
	}
	// Kendall's τ of twelve runs with 49 of 66 pairs the other way round is −32/66; of eight with 21 of 28 it is −1/2.
	order := func(n, inversions int) (out []quantity.Seconds) {
		var left []int
		for i := range n {
			left = append(left, i)
		}
		for len(left) > 0 {
			k := min(inversions, len(left)-1)
			inversions -= k
			out = append(out, quantity.Seconds(1000+left[k]))
			left = append(left[:k:k], left[k+1:]...)
		}
		return out
	}
	same := func(n int) (out []quantity.Amperes) {
		for range n {
			out = append(out, 1)
		}
		return out
	}
	if fades(same(12), order(12, 49)) || !fades(same(8), order(8, 21)) || fades(same(8), order(8, 20)) {
		t.Error("a rank correlation of −0.48, of −0.5, or of −0.43")
	}
	for _, x := range []struct {
		t1, t2 quantity.Seconds
		i1, i2 quantity.Amperes
		ok     bool
	}{{3600, 7300, 2, 1, true}, {3600, 7100, 2, 1, false}, {0, 7300, 2, 1, false}, {3600, 0, 2, 1, false}, {3600, 7300, 0, 1, false}, {3600, 7300, 2, 0, false}, {3600, 7300, 1, 1, false}} {
		if k, err := PeukertFromTwo(x.t1, x.i1, x.t2, x.i2); (err == nil) != x.ok || x.ok && math.Abs(k-math.Log(7300./3600)/math.Ln2) > 1e-12 {
			t.Errorf("%+v: %v, %v", x, k, err)
		}
	}
	// Currents that differ by next to nothing are one current: a variance of their logarithm of 1e-6.
	for spread, ok := range map[float64]bool{0.00098: false, 0.00102: true} {
		few := []quantity.Amperes{1, quantity.Amperes(math.Exp(spread)), quantity.Amperes(math.Exp(-spread))}
		var times []quantity.Seconds
		for _, i := range few {
			times = append(times, quantity.Seconds(3600/math.Pow(float64(i), 1.2)))
		}
		if _, err := FitPeukert(few, times); (err == nil) != ok {
			t.Errorf("a spread of %g: %v", spread, err)
		}
	}
}

// A depth is given in whole percent, so half a percent beyond the deepest of a table is that one still.
func TestDepthInWholePercent(t *testing.T) {
	for depth, ok := range map[quantity.Fraction]bool{1.0049: true, 1.0051: false, 1: true} {
		if _, _, err := chemistry(t, "nmc").Cycles(depth); (err == nil) != ok {
			t.Errorf("%g: %v", float64(depth), err)
		}
	}
	for depth, ok := range map[quantity.Fraction]bool{0.8049: true, 0.8051: false, 0.5: true, 0.499: false} {
		if _, _, err := chemistry(t, "lead-acid-agm").Cycles(depth); (err == nil) != ok {
			t.Errorf("%g: %v", float64(depth), err)
		}
	}
}

// What no time is drawn for is not drawn.
func TestPartsOfNoTime(t *testing.T) {
	p := typicalPack(t, "nmc", 5, 4)
	for _, x := range []struct {
		parts []Part
		want  error
	}{
		{[]Part{{Drawing(1e6), 0}, {Drawing(5), 60}}, nil}, {[]Part{{Drawing(5), 0}, {Idle(), 60}}, ErrNothingDrawn}, {[]Part{{Delivering(-5), 60}}, ErrNothingDrawn}, {[]Part{{Across(50), 60}}, nil}, {[]Part{{Drawing(-1), 60}, {Delivering(5), 60}}, nil},
	} {
		if _, err := RunTimes([]Pack{p}, Demand{Parts: x.parts}, nil, 20); !errors.Is(err, x.want) {
			t.Errorf("%v: %v", x.parts, err)
		}
	}
	if _, err := RunTimes(nil, Steady(Drawing(1)), nil, 20); err == nil {
		t.Error("no pack runs down")
	}
	if levels := FloorLevels(p, &Cutout{Opens: 13, Delay: 3}); len(levels) != 3 || levels[2].Delay != 3 || levels[2].Volts != 13 || levels[0].Volts != 12 || levels[1].Volts != 10 {
		t.Errorf("%+v", levels)
	}
	c := *p.Cell
	c.Chemistry = nil
	p.Cell = &c
	if levels := FloorLevels(p, nil); len(levels) != 0 {
		t.Errorf("%+v", levels)
	}
	if _, err := Charge(p, Charger{Current: 1}, 20); err == nil || !strings.Contains(err.Error(), "needs the chemistry") {
		t.Error(err)
	}
}

// What is no cell and no pack is refused, each for its reason.
func TestNoCellAndNoPack(t *testing.T) {
	for _, x := range []struct {
		want   string
		change func(*Pack)
	}{
		{"", func(*Pack) {}},
		{"has no cell", func(p *Pack) { p.Cell = nil }},
		{"no open-circuit curve", func(p *Pack) { p.Cell.Curve = nil }},
		{"a capacity of 0 Ah cannot be", func(p *Pack) { p.Cell.Capacity = 0 }},
		{"no ohmic resistance", func(p *Pack) { p.Cell.Ohmic = nil }},
		{"an ohmic resistance of 0 Ω", func(p *Pack) { p.Cell.Ohmic = Profile{0.1, 0} }},
		{"", func(p *Pack) { p.Cell.Branches = []Branch{{Profile{0.1}, 1}, {Profile{0.1}, 1}} }},
		{"3 branches", func(p *Pack) { p.Cell.Branches = make([]Branch, 3) }},
		{"a branch needs", func(p *Pack) { p.Cell.Branches = []Branch{{nil, 1}} }},
		{"a branch needs", func(p *Pack) { p.Cell.Branches = []Branch{{Profile{0.1}, 0}} }},
		{"0 cells in series", func(p *Pack) { p.Series = 0 }},
		{"0 in parallel", func(p *Pack) { p.Parallel = 0 }},
		{"no known charge", func(p *Pack) { p.Charge = math.NaN() }},
		{"or temperature", func(p *Pack) { p.Temperature = quantity.Celsius(math.NaN()) }},
	} {
		p := NewPack(flatCell(t), 1)
		x.change(&p)
		err := p.Check()
		if (err == nil) != (x.want == "") || err != nil && !strings.Contains(err.Error(), x.want) {
			t.Errorf("%q: %v", x.want, err)
		}
	}
	if _, err := Simulate(Scenario{Packs: []Pack{NewPack(flatCell(t), 1), NewPack(flatCell(t), 2)}, Demand: Steady(Drawing(1))}); err == nil || !strings.Contains(err.Error(), "packs of 1 and 2 cells") {
		t.Error(err)
	}
}

// A charge gives up after two days, or when it is told to; hot packs in cool rooms are refused as cold ones in warm rooms are.
func TestWhenAChargeGivesUp(t *testing.T) {
	p := typicalPack(t, "nmc", 10, 4)
	p.Charge, p.Temperature = 0, 20
	c, err := Charge(p, Charger{Current: 0.15}, 20)
	if err != nil || c.Finished || c.Total != 48*3600 {
		t.Errorf("%+v, %v", c, err)
	}
	if c, err = Charge(p, Charger{Current: 0.15, Limit: 3600}, 20); err != nil || c.Finished || c.Total != 3600 || c.Voltage != 0 {
		t.Errorf("%+v, %v", c, err)
	}
	close1(t, "put in", float64(c.Charge), 0.15, 1e-9)
	if c, err = Charge(p, Charger{Current: 2, Stop: 1.9}, 20); err != nil || !c.Finished || !(c.Voltage < 600) {
		t.Errorf("%+v, %v", c, err)
	}
	hot := p
	hot.Temperature = 50
	if _, err = Charge(hot, Charger{Current: 1}, 20); err == nil || !strings.Contains(err.Error(), "no charging at 50 °C") {
		t.Error(err)
	}
	// What is allowed already is charged, whatever its rate.
	if _, err = Charge(p, Charger{Current: 5.1}, 20); err == nil {
		t.Error("more than half of the capacity an hour")
	}
	if _, err = Charge(p, Charger{Current: 5.1, Allowed: true}, 20); err != nil {
		t.Error(err)
	}
	// A full lead-acid battery takes nothing in bulk; a charger whose current is below the end of its absorption ends at once.
	lead := typicalPack(t, "lead-acid-agm", 20, 6)
	lead.Charge = 0.5
	if c, err = Charge(lead, Charger{Current: 0.2, Stop: 0.4}, 25); err != nil || c.Voltage != 0 || math.Abs(float64(c.Charge)-(0.5-0.2*2856/3600/1.05/20)*20*1.05) > 1e-9 {
		t.Errorf("%+v, %v", c, err)
	}
	if c, err = Charge(lead, Charger{Current: 2}, 25); err != nil { // a hundredth of the capacity ends it
		t.Fatal(err)
	}
	close1(t, "absorption", float64(c.Voltage), 2856*math.Log(2/0.2), 1e-9)
}

// Below empty the voltage falls by five times the nominal one for each capacity at least, from memory, and by the curve's own last step where that is steeper.
func TestBelowEmpty(t *testing.T) {
	for _, c := range Chemistries() {
		p := c.OCV.Points
		own := (p[1][1] - p[0][1]) / (p[1][0] - p[0][0])
		close1(t, c.Name, c.Curve().Slope(-0.01), max(own, 5*c.Facts["nominal-voltage"].Value), 1e-9)
	}
}

// What a sheet says of the cells at hand, each of it alone.
func TestSheetInItsParts(t *testing.T) {
	c := chemistry(t, "nmc")
	none := quantity.Missing[quantity.Volts]()
	if got := c.With(Sheet{Full: quantity.Exact(quantity.Volts(4.1)), Floor: none}); got != c {
		t.Error("a sheet without a name")
	}
	for _, x := range []struct {
		floor, conservative float64
	}{{2.5, 3}, {2.9, 3}, {3.1, 3.1}} {
		own := c.With(Sheet{Name: "a sheet", Full: none, Floor: quantity.Exact(quantity.Volts(x.floor))})
		if float64(own.DatasheetFloor()) != x.floor || float64(own.ConservativeFloor()) != x.conservative || own.Full() != c.Full() {
			t.Errorf("%+v: %v and %v", x, own.DatasheetFloor(), own.ConservativeFloor())
		}
		if v, q := own.FloorAt(1); float64(v) != x.floor || q.Status != reference.Stated {
			t.Errorf("%+v: %v, %v", x, v, q)
		}
	}
	full := c.With(Sheet{Name: "a sheet", Full: quantity.Exact(quantity.Volts(4.1)), Floor: none})
	if full.Full() != 4.1 || c.Full() != 4.2 || full.DatasheetFloor() != 2.5 || full.Facts["datasheet-floor"].Status == reference.Stated {
		t.Errorf("%v", full.Full())
	}
	windows := c.With(Sheet{Name: "a sheet", Full: none, Floor: none, Windows: []Window{{From: -5, To: 10, Rate: 0.7}, {From: 10, To: 30}, {From: 30, To: 50, Rate: 0.3}}})
	for _, x := range [][2]float64{{-5.1, 0}, {-5, 0.7}, {9.9, 0.7}, {10, 0.7}, {29, 0.7}, {30, 0.3}, {50, 0.3}, {50.1, 0}} { // a window without a rate has the greatest of the sheet
		if rate, _ := windows.ChargeRate(quantity.Celsius(x[0])); rate != x[1] {
			t.Errorf("%g °C: %g, want %g", x[0], rate, x[1])
		}
	}
	silent := c.With(Sheet{Name: "a sheet", Full: none, Floor: none, Windows: []Window{{From: -5, To: 50}}})
	if rate, _ := silent.ChargeRate(-4); rate != 0.5 || silent.ChargeWindows != c.ChargeWindows {
		t.Errorf("%g", rate)
	}
	// The floor of a sheet goes before a table by rate; a sheet that says nothing of it leaves the table.
	lead := chemistry(t, "lead-acid-agm")
	if v, _ := lead.With(Sheet{Name: "a sheet", Full: none, Floor: quantity.Exact(quantity.Volts(1.72))}).FloorAt(0.05); v != 1.72 {
		t.Errorf("%v", v)
	}
	if v, _ := lead.With(Sheet{Name: "a sheet", Full: quantity.Exact(quantity.Volts(2.4)), Floor: none}).FloorAt(0.05); v != 1.8 {
		t.Errorf("%v", v)
	}
	for rate, volts := range map[float64]float64{-1: 1.7, 0: 1.7, 1e-6: 1.8, 0.0999: 1.8, 0.1: 1.75, 500: 1.6} {
		if v, _ := lead.FloorAt(rate); float64(v) != volts {
			t.Errorf("%g of the capacity an hour: %v", rate, v)
		}
	}
}

// The middle 95 % of values, by hand: between the values as their places divide.
func TestMiddleOfValues(t *testing.T) {
	low, high := middle95([]float64{4, 1, 3, 2, 5})
	close1(t, "low", low, 1.1, 1e-12)
	close1(t, "high", high, 4.9, 1e-12)
	low, high = middle95([]float64{1, 0})
	close1(t, "low of two", low, 0.025, 1e-12)
	close1(t, "high of two", high, 0.975, 1e-12)
	e := UncertainError{Level: "cutout", Volts: 21, From: 0.9, To: 299, Likely: 301, Never: 0.049}
	if got := e.Error(); !strings.Contains(got, "between at once and 4 min 59 s, after 5 min with") || strings.Contains(got, "of 100 cases") {
		t.Error(got)
	}
	if e.Never = 0.051; !strings.Contains(e.Error(), "; in 5 of 100 cases the run ends before") {
		t.Error(e.Error())
	}
	if e.Never = 0.35; !strings.Contains(e.Error(), "; in 35 of 100 cases") {
		t.Error(e.Error())
	}
	for seconds, want := range map[quantity.Seconds]string{0.97: "at once", 1.03: "1 s", 297: "4 min 57 s", 303: "5 min", 3725: "1 h 2 min"} {
		if got := soon(seconds); got != want {
			t.Errorf("%g s: %s", float64(seconds), got)
		}
	}
	for seconds, want := range map[float64]string{86400: quantity.Clock(86400, 1), 2 * 86400: "2 days", 30 * 86400: "30 days", 2.5 * 86400: quantity.Clock(2.5*86400, 1)} {
		if got := days(seconds); got != want {
			t.Errorf("%g s: %s", seconds, got)
		}
	}
}

// A stated resistance counts with a fifth of uncertainty where none is stated; with logs before it, these are weighed anew.
func TestStatedResistanceAfterLogs(t *testing.T) {
	e, err := Typical(chemistry(t, "nmc"), ampereHours(5))
	if err != nil {
		t.Fatal(err)
	}
	for _, bad := range []quantity.Measured[quantity.Ohms]{quantity.Missing[quantity.Ohms](), quantity.Exact(quantity.Ohms(0)), quantity.Exact(quantity.Ohms(-1))} {
		if _, err := e.WithResistance(bad); err == nil {
			t.Errorf("%v says something of a cell", bad)
		}
	}
	typical := float64(e.Cell().ResistanceAt(0.5, 25, 10))
	loose, err := e.WithResistance(quantity.Exact(quantity.Ohms(2 * typical)))
	if err != nil {
		t.Fatal(err)
	}
	fifth, err := e.WithResistance(quantity.Of(quantity.Ohms(2*typical), quantity.Ohms(0.4*typical)))
	if err != nil {
		t.Fatal(err)
	}
	tight, err := e.WithResistance(quantity.Of(quantity.Ohms(2*typical), quantity.Ohms(0.02*typical)))
	if err != nil {
		t.Fatal(err)
	}
	at := func(e *Estimate) float64 { return float64(e.Cell().ResistanceAt(0.5, 25, 10)) }
	close1(t, "a fifth is taken", at(loose), at(fifth), 1e-9)
	close1(t, "well known", at(tight), 2*typical, 0.01)
	if !(at(loose) > 1.3*typical && at(loose) < 2*typical) {
		t.Errorf("%g Ω of %g Ω stated and %g Ω typical", at(loose), 2*typical, typical)
	}
	short := plainNMC
	short.longest, short.end, short.every = 2000, 0, 60
	taught, err := e.Calibrate(short.log(t, "short"))
	if err != nil {
		t.Fatal(err)
	}
	after, err := taught.After.WithResistance(quantity.Of(quantity.Ohms(2*typical), quantity.Ohms(0.02*typical)))
	if err != nil {
		t.Fatal(err)
	}
	// Whichever came first, the logs have their say beside what is stated loosely.
	before, err := loose.Calibrate(short.log(t, "short"))
	if err != nil {
		t.Fatal(err)
	}
	behind, err := taught.After.WithResistance(quantity.Exact(quantity.Ohms(2 * typical)))
	if err != nil {
		t.Fatal(err)
	}
	close1(t, "whichever came first", at(behind), at(before.After), 0.02)
	if math.Abs(at(behind)/at(loose)-1) < 0.05 {
		t.Errorf("%g Ω with the log and %g Ω without: it has no say", at(behind), at(loose))
	}
	if got := after.Logs(); len(got) != 1 || !(at(after) > at(taught.After)) {
		t.Errorf("%v: %g Ω, before %g Ω", got, at(after), at(taught.After))
	}
	if _, err := e.Calibrate(); err == nil || !strings.Contains(err.Error(), "there is no log") {
		t.Errorf("a calibration on nothing: %v", err)
	}
	if again, err := taught.After.Calibrate(); err != nil || math.Abs(at(again.After)/at(taught.After)-1) > 1e-3 {
		t.Errorf("once more on the same: %v", err)
	}
	idle := NewLog("idle", 1, []float64{0, 60, 120}, []float64{0, 0.05, 0}, []float64{4.1, 4.1, 4.1}, nil)
	if _, err := e.Calibrate(idle); err == nil || !strings.Contains(err.Error(), "no log holds a discharge") {
		t.Error(err)
	}
}

// Whether logs were made at unlike temperatures, by 10 K between their starts; and how far a model is off beyond what logs saw: 5 K either side of their
// temperatures, and their own mean currents.
func TestTemperaturesOfLogs(t *testing.T) {
	for _, x := range []struct {
		at     []float64
		unlike bool
	}{{[]float64{20, 29.8}, false}, {[]float64{20, 30.2}, true}, {[]float64{30.2, 25, 20}, true}, {[]float64{20}, false}, {nil, false}} {
		f := fit{}
		for _, at := range x.at {
			f.logs = append(f.logs, &prepared{startTemp: at})
		}
		if got := f.unlikeTemperatures(); got != x.unlike {
			t.Errorf("%v: %v", x.at, got)
		}
	}
	e, err := Typical(chemistry(t, "nmc"), ampereHours(5))
	if err != nil {
		t.Fatal(err)
	}
	log := func(ambient quantity.Measured[quantity.Celsius], amps float64, celsius []float64) Log {
		l := NewLog("a", 1, []float64{0, 100, 200}, []float64{amps, amps, amps}, []float64{4, 4, 4}, celsius)
		l.Ambient = ambient
		return l
	}
	nan := math.NaN()
	e.logs = []Log{log(quantity.Exact(quantity.Celsius(20)), 2, nil), log(quantity.Missing[quantity.Celsius](), 4, []float64{nan, 12, 40})}
	e.fixed()
	e.misfit = math.E
	for _, x := range []struct{ ambient, amps, doublings, colder, warmer float64 }{
		{12, 3, 0, 0, 0}, {20, 2, 0, 0, 0}, {11, 4, 0, 1, 0}, {25, 2, 0, 0, 5}, {20, 8, 1, 0, 0}, {20, 0.5, 2, 0, 0}, {2, 16, 2, 10, 0},
	} {
		got := e.doubtsOf(Circumstances{Ambient: quantity.Celsius(x.ambient), Current: quantity.Amperes(x.amps), Cycles: 250})
		close1(t, "doublings", 1+got.doublings, 1+x.doublings, 1e-9)
		close1(t, "colder", 1+got.colder, 1+x.colder, 1e-9)
		close1(t, "warmer", 1+got.warmer, 1+x.warmer, 1e-9)
		close1(t, "misfit", got.misfit, 1, 1e-9)
		close1(t, "aged", got.aged, 2.5, 1e-9)
		if got.typical || got.alone || got.beyond != 0 {
			t.Errorf("%+v", got)
		}
	}
}

// By hand: a log that falls from 4 V to 3.2 V in eight hours at 1 A.
func TestChargeDownToAVoltage(t *testing.T) {
	var at, amps, volts []float64
	for h := range 9 {
		at, amps, volts = append(at, 3600*float64(h)), append(amps, 1), append(volts, 2*(4-0.1*float64(h)))
	}
	l := NewLog("a", 2, at, amps, volts, nil)
	l.Drawn = quantity.Exact(quantity.AmpereHours(0.5))
	for _, x := range []struct {
		volts, out float64
		ok         bool
	}{{3.6, 4.5, true}, {3.55, 5.5, true}, {3.1, 8.5, true}, {3, 8.5, false}} {
		if out, ok := l.downTo(x.volts - 1e-9 + 2e-9); math.Abs(out-x.out) > 1e-9 || ok != x.ok {
			t.Errorf("%+v: %v, %v", x, out, ok)
		}
	}
	for _, x := range []struct{ value, u, low, high float64 }{{100, 10, 80, 120}, {100, 25, 50, 150}, {100, 50, 100 / math.E, 100 * math.E}} {
		low, high := Bounds(quantity.Seconds(x.value), quantity.Seconds(x.u))
		close1(t, "low", float64(low), x.low, 1e-12)
		close1(t, "high", float64(high), x.high, 1e-12)
	}
}

// A fit of values that are no cell is none, and says so.
func TestFitOfNoNumbers(t *testing.T) {
	e, err := Typical(chemistry(t, "nmc"), ampereHours(5))
	if err != nil {
		t.Fatal(err)
	}
	p, err := prepare(plainNMC.log(t, "down"), chemistry(t, "nmc"), 5)
	if err != nil {
		t.Fatal(err)
	}
	f := fit{typical: e.typical, logs: []*prepared{p}, stated: quantity.Missing[quantity.Ohms](), doubts: 1, size: 5}
	f.weigh()
	xi := make([]float64, places.n)
	for i := range curveKnots {
		xi[places.curve+i] = math.NaN()
	}
	if got := f.misfit(xi); !math.IsNaN(got) {
		t.Errorf("a misfit of %g", got)
	}
	if _, err := f.descend(electric, f.electricUnknowns(), &candidate{xi: xi}); err == nil {
		t.Error("a search that begins nowhere ends somewhere")
	}
	if _, err := f.systemAt(electric, f.electricUnknowns(), xi); err == nil {
		t.Error("straight lines at no numbers")
	}
	if _, _, err := f.starts(f.electricUnknowns(), xi); err == nil {
		t.Error("a start of no numbers")
	}
	if _, err := e.typical.cell(xi); err == nil {
		t.Error("a cell of no numbers")
	}
}

// What opens and closes without end is given up after two thousand times, a cutout and the packs' own protection alike.
func TestChatterWithoutEnd(t *testing.T) {
	p := NewPack(flatCell(t), 1)
	o, err := Simulate(Scenario{Packs: []Pack{p}, Demand: Steady(Drawing(1)), Cutout: &Cutout{Opens: 1, Trip: 0.5}})
	if err != nil || o.Ended != Chattering || len(o.Openings) != 2000 {
		t.Errorf("%v after %d openings, %v", o.Ended, len(o.Openings), err)
	}
	guarded := p
	guarded.Name, guarded.Protection = "guarded", &Cutout{Opens: 1, Trip: 0.5}
	if o, err = Simulate(Scenario{Packs: []Pack{guarded, p}, Demand: Steady(Drawing(2))}); err != nil || o.Ended != Chattering || len(o.Openings) != 2000 || o.Openings[1999].Pack != "guarded" {
		t.Errorf("%v after %d openings, %v", o.Ended, len(o.Openings), err)
	}
	// Of a cutout that stays open nobody waits for the end; of one that may close, four hours.
	for threshold, seconds := range map[float64]float64{math.NaN(): 0, 2: 4 * 3600} {
		o, err := Simulate(Scenario{Packs: []Pack{p}, Demand: Steady(Drawing(5)), Cutout: &Cutout{Opens: 3.5, ResetThreshold: quantity.Volts(threshold)}})
		if err != nil || o.Ended != StayedOpen || len(o.Openings) != 1 {
			t.Fatalf("%+v, %v", o, err)
		}
		if waited := float64(o.Elapsed - o.Openings[0].At); waited < seconds || (waited < 1) != (seconds == 0) {
			t.Errorf("a threshold of %g V: given up after %g s", threshold, waited)
		}
	}
	// The warmest of packs in frost, whichever comes first.
	cold, colder := p, p
	cold.Temperature, colder.Temperature = -5, -9
	for _, packs := range [][]Pack{{cold, colder}, {colder, cold}} {
		o, err := Simulate(Scenario{Packs: packs, Demand: Steady(Drawing(1)), Until: 10, TracePoints: 4, Ambient: -9})
		if err != nil || o.Trace[0].Warmest != -5 {
			t.Errorf("%+v, %v", o.Trace, err)
		}
	}
}

// The capacity that logs taught is as sure as the best of them counted.
func TestBestCountedLog(t *testing.T) {
	e, err := Typical(chemistry(t, "nmc"), ampereHours(5))
	if err != nil {
		t.Fatal(err)
	}
	log := func(counting quantity.Fraction) Log {
		l := NewLog("a", 1, []float64{0, 3600}, []float64{5, 5}, []float64{4, 3.4}, nil)
		l.Counting, l.Ambient = counting, quantity.Exact(quantity.Celsius(25))
		return l
	}
	u := func(logs ...Log) float64 {
		e.logs = logs
		q, err := e.Capacity()
		if err != nil {
			t.Fatal(err)
		}
		return float64(q.U)
	}
	none := []float64{0, u(log(0)), u(log(0), log(0))} // by the number of logs
	for _, logs := range [][]Log{{log(0.03)}, {log(0.03), log(0.2)}, {log(0.2), log(0.03)}} {
		close1(t, "by the best", u(logs...), math.Hypot(none[len(logs)], 5*0.03), 1e-9)
	}
}

// How sure a row is: 5 mV, the charge that a model is off by on the slope of the curve (0.2 %, at rest below a fiftieth of the capacity in amperes 1.2 %, the
// first row of a log aside), and what current and voltage are apart; all of it greater by the root of the rows over eighty; a row of a charge says nothing.
func TestHowSureARowIs(t *testing.T) {
	e, err := Typical(chemistry(t, "nmc"), ampereHours(5))
	if err != nil {
		t.Fatal(err)
	}
	z := 0.62
	v, _ := chemistry(t, "nmc").Curve().At(z)
	slope := chemistry(t, "nmc").Curve().Slope(z)
	for _, rows := range []int{5, 80, 320} {
		p := &prepared{}
		for range rows - 5 {
			p.marks = append(p.marks, observation{volts: float64(v), amps: 5})
		}
		p.marks = append(p.marks, observation{volts: float64(v), amps: 0.098}, observation{volts: float64(v), amps: 0.102, sigma: 0.03}, observation{volts: float64(v), amps: -0.098, first: true}, observation{volts: float64(v), amps: -3, charging: true}, observation{volts: float64(v), amps: -0.102})
		f := fit{typical: e.typical, logs: []*prepared{p}, size: 5}
		f.weigh()
		share := math.Sqrt(max(1, float64(rows-1)/80))
		for k, want := range []float64{math.Hypot(0.005, 0.012*slope), math.Hypot(math.Hypot(0.005, 0.002*slope), 0.03), math.Hypot(0.005, 0.002*slope), math.Inf(1), math.Hypot(0.005, 0.002*slope)} {
			if got := p.marks[rows-5+k].sigma; !(math.Abs(got/(want*share)-1) < 1e-6) && !(math.IsInf(got, 1) && math.IsInf(want, 1)) {
				t.Errorf("%d rows, row %d: %.6g V, want %.6g V", rows, k, got, want*share)
			}
		}
	}
}

// The unknown of a capacity is the inverse of the capacity of an unknown, to a label that is off by a factor of twenty, and no further.
func TestUnknownOfACapacity(t *testing.T) {
	e, err := Typical(chemistry(t, "nmc"), quantity.Of[quantity.AmpereHours](5, 0.4))
	if err != nil {
		t.Fatal(err)
	}
	for _, xi := range []float64{-3.97, -2.1, -1, 0, 0.5, 1.9, 2.5, 3.97} {
		want := 5 * math.Exp(0.08*xi+math.Copysign(0.35*math.Pow(max(0, math.Abs(xi)-2), 3), xi))
		close1(t, "capacity", e.typical.capacity(xi), want, 1e-12)
		if got := e.typical.unknownOf(want); math.Abs(got-xi) > 1e-9 {
			t.Errorf("%g Ah are the unknown %g, want %g", want, got, xi)
		}
	}
	for q, want := range map[float64]float64{1e9: 4, 1e-9: -4} {
		if got := e.typical.unknownOf(q); math.Abs(got-want) > 1e-9 {
			t.Errorf("%g Ah are the unknown %g", q, got)
		}
	}
	close1(t, "beyond the bound", e.typical.capacity(7), e.typical.capacity(4), 0)
	close1(t, "beyond the bound", e.typical.capacity(-7), e.typical.capacity(-4), 0)
	close1(t, "no spread that is stated", (&typical{chemistry: chemistry(t, "nmc"), rated: ampereHours(5)}).capacitySpread(), chemistry(t, "nmc").Facts["capacity-spread"].Value, 0)
}

// A run of one stretch has a time like any other: a cell of 5 Ah that is drawn at 5 A for a quarter of an hour comes to where it ends.
func TestRunOfOneStretch(t *testing.T) {
	cell := typicalPack(t, "nmc", 5, 1).Cell
	pack := NewPack(cell, 1)
	o, err := Simulate(Scenario{Packs: []Pack{pack}, Demand: Steady(Drawing(5)), Until: 900, Ambient: 25})
	if err != nil {
		t.Fatal(err)
	}
	l := NewLog("one", 1, []float64{0, 900}, []float64{5, 5}, []float64{float64(pack.RestVoltage()) - 5*float64(pack.Resistance()), float64(o.Volts)}, nil)
	r, err := Compare(cell, l)
	if err != nil {
		t.Fatal(err)
	}
	close1(t, "predicted", float64(r.Predicted), 900, 1e-3)
	close1(t, "measured", float64(r.Measured), 900, 1e-12)
}

// A log has two rows that can be used, or is none.
func TestTwoUsableRows(t *testing.T) {
	nan := math.NaN()
	for _, x := range []struct {
		amps []float64
		ok   bool
	}{{[]float64{1, 1}, true}, {[]float64{1, nan, 1}, true}, {[]float64{1, nan, nan}, false}, {[]float64{1}, false}} {
		var at, volts []float64
		for i := range x.amps {
			at, volts = append(at, 60*float64(i)), append(volts, 3.9)
		}
		if _, err := prepare(NewLog("a", 1, at, x.amps, volts, nil), chemistry(t, "nmc"), 5); (err == nil) != x.ok {
			t.Errorf("%v: %v", x.amps, err)
		}
	}
}

// How sure a temperature is: 0.7 K, greater by the root of the rows over eighty.
func TestHowSureATemperatureIs(t *testing.T) {
	for _, every := range []float64{30, 600} {
		few := plainNMC
		few.every, few.steps = every, [][2]float64{{4, 1e6}}
		p, err := prepareRows(few.log(t, "warm"), chemistry(t, "nmc"), 5, true)
		if err != nil {
			t.Fatal(err)
		}
		cell := typicalPack(t, "nmc", 5, 1).Cell
		f := fit{logs: []*prepared{p}}
		got := f.thermal(cell, nil)
		volts, temps := make([]float64, len(p.marks)), make([]float64, len(p.marks))
		p.follow(cell, true, volts, temps)
		if len(got) != len(p.marks) || (len(got) > 80) != (every == 30) {
			t.Fatalf("%d residuals of %d rows", len(got), len(p.marks))
		}
		for i, m := range p.marks {
			if want := (temps[i] - m.temp) / 0.7 / math.Sqrt(max(1, float64(len(got))/80)); math.Abs(got[i]-want) > 1e-12 {
				t.Errorf("%d rows, row %d: %g, want %g", len(got), i, got[i], want)
			}
		}
	}
}

// Two cells side by side under twice the load are as sure as one: the rate that the model is off by is that of each.
func TestCellsSideBySideAreAsSure(t *testing.T) {
	at := func(parallel int) Forecast {
		packs := known(t, "nmc", 5, 5, 20)
		packs[0].Pack.Parallel = parallel
		f, err := Forecasts(packs, Steady(Drawing(quantity.Amperes(8*parallel))), nil, 20)
		if err != nil {
			t.Fatal(err)
		}
		return f[0]
	}
	one, three := at(1), at(3)
	close1(t, "time", float64(three.Time.Value), float64(one.Time.Value), 1e-6)
	close1(t, "its uncertainty", float64(three.Time.U), float64(one.Time.U), 1e-4)
}
