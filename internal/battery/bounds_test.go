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
	if c, err = Charge(lead, Charger{Current: 0.2, Stop: 0.4}, 25); err != nil || c.Voltage != 0 || math.Abs(float64(c.Charge)-0.3*20*1.05) > 1e-9 {
		t.Errorf("%+v, %v", c, err)
	}
	if c, err = Charge(lead, Charger{Current: 2}, 25); err != nil { // a hundredth of the capacity ends it
		t.Fatal(err)
	}
	close1(t, "absorption", float64(c.Voltage), 3600*0.2*20*1.05/2*math.Log(2/0.2), 1e-9)
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
	fifth, err := e.WithResistance(quantity.Measured[quantity.Ohms]{Value: quantity.Ohms(2 * typical), U: quantity.Ohms(0.4 * typical)})
	if err != nil {
		t.Fatal(err)
	}
	tight, err := e.WithResistance(quantity.Measured[quantity.Ohms]{Value: quantity.Ohms(2 * typical), U: quantity.Ohms(0.02 * typical)})
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
	after, err := taught.After.WithResistance(quantity.Measured[quantity.Ohms]{Value: quantity.Ohms(2 * typical), U: quantity.Ohms(0.02 * typical)})
	if err != nil {
		t.Fatal(err)
	}
	if got := after.Logs(); len(got) != 1 || !(at(after) > at(taught.After)) {
		t.Errorf("%v: %g Ω, before %g Ω", got, at(after), at(taught.After))
	}
	if _, err := e.Calibrate(); err == nil {
		t.Error("a calibration on nothing")
	}
	if again, err := taught.After.Calibrate(); err != nil || math.Abs(at(again.After)/at(taught.After)-1) > 1e-3 {
		t.Errorf("once more on the same: %v", err)
	}
	idle := NewLog("idle", 1, []float64{0, 60, 120}, []float64{0, 0.05, 0}, []float64{4.1, 4.1, 4.1}, nil)
	if _, err := e.Calibrate(idle); err == nil || !strings.Contains(err.Error(), "no log holds a discharge") {
		t.Error(err)
	}
}
