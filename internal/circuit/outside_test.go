package circuit

import (
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// TestCodesOfColours: IEC 60757, table 1.
func TestCodesOfColours(t *testing.T) {
	want := map[string]string{"black": "BK", "brown": "BN", "red": "RD", "orange": "OG", "yellow": "YE", "green": "GN", "blue": "BU", "violet": "VT", "grey": "GY", "white": "WH", "pink": "PK", "turquoise": "TQ"}
	for word, code := range want {
		if got, ok := ColourCode(word, ""); !ok || got != code {
			t.Errorf("%s is %s", word, got)
		}
		for stripe, other := range want {
			if got, ok := ColourCode(word, stripe); !ok || got != code+other {
				t.Errorf("%s with a stripe of %s is %s", word, stripe, got)
			}
		}
	}
	for _, c := range [][2]string{{"", ""}, {"", "red"}, {"mauve", ""}, {"red", "mauve"}} {
		if got, ok := ColourCode(c[0], c[1]); ok || got != "" {
			t.Errorf("%q is %q", c, got)
		}
	}
}

// TestFiguresOfFuses: NFPA 70, 210.20 (125 %); 33 CFR 183.455(c): 150 % of the ampacity below 50 V, none above; the data sheet's
// shares of the melting integral for 100 to 100 000 pulses, each at its bound and past it.
func TestFiguresOfFuses(t *testing.T) {
	if LeastFuse(8) != 10 || GreatestFuse(20, 49.9) != 30 || GreatestFuse(20, 50) != 20 {
		t.Errorf("%v, %v, %v", LeastFuse(8), GreatestFuse(20, 49.9), GreatestFuse(20, 50))
	}
	for pulses, want := range map[float64]float64{1: 0.48, 100: 0.48, 101: 0.38, 1000: 0.38, 1001: 0.29, 1e4: 0.29, 10001: 0.22, 1e5: 0.22, 100001: 0} {
		if share, ok := MeltingShare(pulses); share != want || ok != (want > 0) {
			t.Errorf("%v pulses stand %v", pulses, share)
		}
	}
	// What a gate says between its rows: it may be as quick as at the next row above, as slow as at the last below.
	for _, x := range []struct{ rating, amps, shortest, longest float64 }{
		{40, 40, 360000, math.NaN()}, {40, 50, 0.75, math.NaN()}, {40, 54, 0.75, 600}, {40, 60, 0.15, 600}, {40, 80, 0.15, 5}, {40, 139, 0.08, 5}, {40, 140, 0.08, 0.5}, {40, 240, math.NaN(), 0.15}, {40, 400, math.NaN(), 0.15},
	} { // the blade fuse of 35 A and 40 A, by its data sheet
		g, err := GateAt("blade", quantity.Amperes(x.rating), quantity.Amperes(x.amps))
		same := func(a quantity.Seconds, b float64) bool {
			return float64(a) == b || math.IsNaN(float64(a)) && math.IsNaN(b)
		}
		if err != nil || !same(g.Longest, x.longest) || !math.IsNaN(x.shortest) && !same(g.Shortest, x.shortest) || math.Abs(g.Ratio-x.amps/x.rating) > 1e-12 {
			t.Errorf("%v A through %v A: %+v, %v", x.amps, x.rating, g, err)
		}
	}
	for _, x := range []struct {
		kind         string
		rating, amps quantity.Amperes
	}{{"", 40, 80}, {"blade", 0, 80}, {"cartridge", 61, 100}, {"lump", 40, 80}} {
		if g, err := GateAt(x.kind, x.rating, x.amps); err == nil {
			t.Errorf("%+v: %+v", x, g)
		}
	}
}

// TestFerrulesAndCrimpsAtTheirBounds: each nominal size takes its own ferrule, and the next from where the copper no longer
// fits (our own twenty-fifth of slack for strands that are counted short); DIN 46228-4 begins at 0.5 mm².
func TestFerrulesAndCrimpsAtTheirBounds(t *testing.T) {
	last := FerruleSize{}
	for _, r := range tables().ferrules {
		f, err := FerruleFor(quantity.SquareMillimetres(r.area))
		if r.area < 0.48 {
			if err == nil {
				t.Errorf("%v mm² has a ferrule", r.area)
			}
			continue
		}
		if err != nil || float64(f.Area) != r.area || f.Colour != r.colour {
			t.Errorf("%v mm²: %+v, %v", r.area, f, err)
		}
		if same, err := FerruleFor(f.Area * 1.0416); err != nil || same.Area != f.Area {
			t.Errorf("a little more than %v mm² goes into %v", r.area, same.Area)
		}
		if last.Area > 0 {
			if next, err := FerruleFor(last.Area * 1.0418); err != nil || next.Area != f.Area {
				t.Errorf("more than %v mm² goes into %v: %v", last.Area, next.Area, err)
			}
		}
		// Stripped for the length of the tube and what the collar takes, which is 3 mm where nobody says.
		if want := 3e-3; math.IsNaN(r.strip) && math.Abs(float64(f.Strip-f.Pin)-want) > 1e-12 || math.Abs(float64(f.Pin)-r.pin/1000) > 1e-12 {
			t.Errorf("%v mm²: %v stripped for %v", r.area, f.Strip, f.Pin)
		}
		last = f
	}
	for area, ok := range map[quantity.SquareMillimetres]bool{0.479: false, 0.48: true, last.Area * 1.0416: true, last.Area * 1.0418: false} {
		if _, err := FerruleFor(area); (err == nil) != ok {
			t.Errorf("%v mm²: %v", area, err)
		}
	}
	for area, want := range map[quantity.SquareMillimetres]string{0.49: "", 0.5: "red", 1.5: "red", 1.51: "blue", 2.5: "blue", 2.51: "yellow", 6: "yellow", 6.01: ""} {
		if got, _, err := CrimpColour(Metric(area)); got != want || (err == nil) != (want != "") {
			t.Errorf("%v mm² is %q", area, got)
		}
	}
	for gauge, want := range map[int]string{23: "", 22: "red", 18: "red", 17: "", 16: "blue", 14: "blue", 12: "yellow", 10: "yellow", 9: ""} {
		if got, _, err := CrimpColour(Gauge(gauge)); got != want || (err == nil) != (want != "") {
			t.Errorf("%d AWG is %q", gauge, got)
		}
	}
	r := Range{2.5, 6}
	for area, in := range map[quantity.SquareMillimetres]bool{2.48: false, 2.49: true, 4: true, 6.02: true, 6.04: false} {
		if r.Holds(area) != in {
			t.Errorf("%v mm² in 2.5 to 6 mm²", area)
		}
	}
	if (Range{}).Stated() || !r.Stated() {
		t.Error("no range is one")
	}
}

// TestTerminalsOfKinds: how many terminals each kind has, which have a polarity, and how many leads one takes (common practice,
// no source: one under a screw, two on a stud of a pack, a contactor or a shunt, on a motor's tail and a lamp's tab).
func TestTerminalsOfKinds(t *testing.T) {
	two := []Kind{Pack, Contactor, Motor, Diode, Resistor, Shunt, Lamp, PrechargeResistor, BrakeResistor, Suppressor}
	either := []Kind{Motor, Throttle, ReversingSwitch, HalfSpeedSwitch} // what stands before or behind a change of polarity
	for _, k := range Kinds() {
		p := Part{Name: "p", Kind: k}
		specs := p.Terminals()
		want := map[Kind]int{Cutout: 4, Controller: 4, Relay: 4, Contactor: 4, Converter: 4, Throttle: 3, ReversingSwitch: 4, HalfSpeedSwitch: 6}[k]
		if want == 0 {
			want = 2
		}
		if len(specs) != want {
			t.Errorf("a %s has %d terminals", k, len(specs))
		}
		for _, s := range specs {
			takes := 1
			if slices.Contains(two, k) && !strings.HasPrefix(s.Name, "coil") {
				takes = 2
			}
			if s.Takes != takes {
				t.Errorf("%s of a %s takes %d leads", s.Name, k, s.Takes)
			}
			polarity := Either
			if !slices.Contains(either, k) && !(k.converts() && strings.HasPrefix(s.Name, "out")) {
				switch {
				case strings.HasSuffix(s.Name, "+"):
					polarity = Positive
				case strings.HasSuffix(s.Name, "-"):
					polarity = Negative
				}
			}
			if s.Polarity != polarity {
				t.Errorf("%s of a %s has the polarity %d", s.Name, k, s.Polarity)
			}
		}
	}
	names := func(p Part) string {
		var out []string
		for _, s := range p.Terminals() {
			out = append(out, s.Name)
		}
		return strings.Join(out, " ")
	}
	for _, c := range []struct {
		part Part
		want string
	}{
		{Part{Kind: TerminalBlock, Ways: 3}, "1 2 3"}, {Part{Kind: TerminalBlock, Ways: 1}, "1 2"}, {Part{Kind: Switch, Poles: 2}, "in-1 out-1 in-2 out-2"}, {Part{Kind: Switch, Throws: 2}, "in out-a out-b"}, {Part{Kind: Switch, Poles: 2, Throws: 3}, "in-1 out-1a out-1b in-2 out-2a out-2b"},
		{Part{Kind: Connector, Poles: 2, Throws: 2}, "in-1 out-1 in-2 out-2"}, {Part{Kind: Relay, Throws: 2}, "in out-a out-b coil+ coil-"}, {Part{Kind: Fuse, Poles: 4, Throws: 2}, "in out"},
	} {
		if got := names(c.part); got != c.want {
			t.Errorf("%+v: %s, want %s", c.part, got, c.want)
		}
	}
	changed := Part{Kind: Pack, Style: Blade, Takes: 3, Clamp: Range{1, 2}}
	for _, s := range changed.Terminals() {
		if s.Style != Blade || s.Takes != 3 || s.Clamp != (Range{1, 2}) {
			t.Errorf("what departs from the usual: %+v", s)
		}
	}
	for _, c := range []struct {
		part Part
		want float64
	}{{Part{Resistance: 3, Power: 24, Nominal: 24}, 3}, {Part{Power: 36, Nominal: 24}, 16}, {Part{Power: 36}, 0}, {Part{Nominal: 24}, 0}} { // R = V²/P
		if got := c.part.loadOhms(); got != c.want {
			t.Errorf("%+v has %v Ω", c.part, got)
		}
	}
}

// chain is packs in series, each with its + on the − of the next.
func chain(volts ...quantity.Volts) *Circuit {
	c := &Circuit{}
	for i, v := range volts {
		name := string(rune('a' + i))
		c.Parts = append(c.Parts, Part{Name: name, Kind: Pack, Nominal: v, Volts: v, Full: v, Resistance: 0.1})
		if i > 0 {
			c.Leads = append(c.Leads, Lead{From: Terminal{string(rune('a' + i - 1)), "+"}, To: Terminal{name, "-"}, Length: 1, Size: Metric(6)})
		}
	}
	return c
}

// TestVoltagesAdd: Kirchhoff's second law, of packs in series, in whatever order they are written, and beside one another.
func TestVoltagesAdd(t *testing.T) {
	for _, volts := range [][]quantity.Volts{{24}, {12, 12}, {6, 12, 24}} {
		c := chain(volts...)
		slices.Reverse(c.Parts)
		n := c.nets(usual, passing)
		p := c.potentials(n, sourceOf)
		sum := 0.0
		for i, v := range volts {
			name := string(rune('a' + i))
			if got := p.volts[n.of(Terminal{name, "-"})]; got != sum {
				t.Errorf("%v: the − of %s is at %v V, want %v V", volts, name, got, sum)
			}
			sum += float64(v)
			if got := p.volts[n.of(Terminal{name, "+"})]; got != sum {
				t.Errorf("%v: the + of %s is at %v V, want %v V", volts, name, got, sum)
			}
		}
		if float64(p.span()) != sum || len(p.opposed) > 0 || float64(c.fullVolts(n)) != sum {
			t.Errorf("%v: %v V in all, %v opposed, full %v", volts, p.span(), p.opposed, c.fullVolts(n))
		}
		if c.lowest() != "a" {
			t.Errorf("the lowest is %s", c.lowest())
		}
		for i := range c.Parts { // what is full is not known of the whole where it is not stated of each
			unstated := *c
			unstated.Parts = slices.Clone(c.Parts)
			unstated.Parts[i].Full = 0
			if full := unstated.fullVolts(n); full != 0 {
				t.Errorf("%v: full at %v V, with one pack of which nothing is stated", volts, full)
			}
		}
		for part, high := range p.high {
			if high != sum {
				t.Errorf("%v: %d belongs to a network of %v V", volts, part, high)
			}
		}
	}
	// In parallel: within a quarter they are alike, beyond it opposed.
	for volts, opposed := range map[quantity.Volts]int{24: 0, 19.3: 0, 19.1: 1, 31.9: 0, 32.1: 1} {
		c := chain(24)
		c.Parts = append(c.Parts, Part{Name: "z", Kind: Pack, Volts: volts, Nominal: volts, Full: volts})
		c.Leads = append(c.Leads, Lead{From: Terminal{"a", "+"}, To: Terminal{"z", "+"}}, Lead{From: Terminal{"a", "-"}, To: Terminal{"z", "-"}})
		// 24 V against z: off is 24 − z, held to a quarter of z.
		want := 0
		if math.Abs(24-float64(volts)) > 0.25*float64(volts) {
			want = 1
		}
		if got := len(c.potentials(c.nets(usual, passing), sourceOf).opposed); got != want || want != opposed {
			t.Errorf("%v V beside 24 V: %d opposed", volts, got)
		}
	}
}

// TestWaysAreShortest holds the way that is found to a breadth-first count of steps, on random graphs: it leads where it should by edges
// that are there, and none is shorter.
func TestWaysAreShortest(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		const size = 7
		var edges []edge
		var steps [size][size]int
		for i := range size {
			for j := range size {
				if steps[i][j] = 100; i == j {
					steps[i][j] = 0
				}
			}
		}
		for k := range r.IntN(10) {
			a, b := r.IntN(size), r.IntN(size)
			edges = append(edges, edge{a, b, k, -1})
			if a != b {
				steps[a][b], steps[b][a] = 1, 1
			}
		}
		for k := range size { // Floyd and Warshall
			for i := range size {
				for j := range size {
					steps[i][j] = min(steps[i][j], steps[i][k]+steps[k][j])
				}
			}
		}
		from, to := r.IntN(size), r.IntN(size)
		way := path(edges, from, to)
		if steps[from][to] == 100 || from == to {
			if len(way) != 0 {
				t.Fatalf("from %d to %d by %v", from, to, way)
			}
			continue
		}
		if len(way) != steps[from][to] {
			t.Fatalf("from %d to %d by %v, %d steps are enough", from, to, way, steps[from][to])
		}
		at := from
		for _, s := range way {
			e := edges[s.Part]
			if e.a != at && e.b != at {
				t.Fatalf("from %d to %d by %v: no step from %d", from, to, way, at)
			}
			at = e.a + e.b - at
		}
		if at != to {
			t.Fatalf("from %d to %d by %v ends at %d", from, to, way, at)
		}
	}
}

// TestWhatIsFed holds the spreading of a potential through loads to its definition by brute force: a net is reached from a source by a chain
// of loads, forwards through diodes, not through the one that is asked about, not through a controller's output, and not beyond
// a net of the other pole that is no source itself, which it does not count either.
func TestWhatIsFed(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 400 {
		const size = 6
		pick := func() map[int]bool {
			out := map[int]bool{}
			for range 1 + r.IntN(2) {
				out[r.IntN(size)] = true
			}
			return out
		}
		start, stop := pick(), pick()
		var links []loadLink
		for range r.IntN(8) {
			links = append(links, loadLink{r.IntN(size), r.IntN(size), 0, r.IntN(3) == 0, r.IntN(5) == 0})
		}
		without := r.IntN(9)
		want := map[int]bool{}
		var walk func(net int, seen map[int]bool)
		walk = func(net int, seen map[int]bool) {
			if seen[net] {
				return
			}
			seen = maps.Clone(seen)
			seen[net] = true
			if stop[net] && !start[net] {
				return
			}
			want[net] = true
			for i, l := range links {
				if i == without || l.output {
					continue
				}
				if l.a == net {
					walk(l.b, seen)
				}
				if l.b == net && !l.oneWay {
					walk(l.a, seen)
				}
			}
		}
		for net := range start {
			walk(net, map[int]bool{})
		}
		if got := spread(start, stop, links, without); !maps.Equal(got, want) {
			t.Fatalf("from %v to %v through %+v without %d: %v, want %v", start, stop, links, without, got, want)
		}
	}
}

// TestCopper: IEC 60228 (α = 1/254.5 at 20 °C), the International Annealed Copper Standard (1/58 Ω·mm²/m), by the definitions.
func TestCopper(t *testing.T) {
	if Warmed(20) != 1 || math.Abs(Warmed(70)-304.5/254.5) > 1e-15 || math.Abs(Warmed(-234.5)) > 1e-15 {
		t.Errorf("%v at 70 °C", Warmed(70))
	}
	for _, n := range []int{0, 6, 12, 18} {
		c, err := OhmsPerMetre(Gauge(n), Flexible, false)
		if err != nil || math.Abs(float64(c.PerMetre)*58*float64(quantity.GaugeArea(n))-1) > 1e-12 {
			t.Errorf("%d AWG: %v, %v", n, c.PerMetre, err)
		}
	}
	// Of an area that no row has, the next smaller row by the ratio of areas; of the very area, its own.
	for area, of := range map[float64]float64{1: 1, 1.2: 1, 1.49: 1, 1.5: 1.5, 0.3: 0.5, 3: 2.5} {
		got, err := OhmsPerMetre(Metric(quantity.SquareMillimetres(area)), Flexible, false)
		for _, w := range tables().wires {
			if w.area == of && (err != nil || math.Abs(float64(got.PerMetre)*1000*area/of/w.class5-1) > 1e-12 || (got.Note != "") != (area != of)) {
				t.Errorf("%v mm²: %v, %v", area, got, err)
			}
		}
	}
	for _, area := range []quantity.SquareMillimetres{0, -1, quantity.SquareMillimetres(math.Inf(1)), quantity.SquareMillimetres(math.NaN())} {
		if c, err := OhmsPerMetre(Metric(area), Flexible, false); err == nil {
			t.Errorf("%v mm² has %v", area, c.PerMetre)
		}
	}
	if v := RunDrop(10, 0.01, 6); math.Abs(float64(v)-0.6) > 1e-12 {
		t.Errorf("10 A through 60 mΩ drop %v V", v)
	}
	if a := AreaForDrop(10, 5.8, 0.5, 20); math.Abs(float64(a)-2) > 1e-12 {
		t.Errorf("5.8 m for 10 A and 0.5 V: %v mm²", a)
	}
	l := Lead{Size: Metric(2.5), Length: 2}
	ohms, _, known := l.resistance()
	if !known || math.Abs(ohms-2*7.98e-3) > 1e-12 { // IEC 60228: 7.98 Ω/km
		t.Errorf("%v Ω", ohms)
	}
	l.Ambient = 70
	if warm, _, _ := l.resistance(); math.Abs(warm/ohms-304.5/254.5) > 1e-12 {
		t.Errorf("%v Ω at 70 °C", warm)
	}
	for _, bad := range []Lead{{Size: Metric(2.5)}, {Length: 2}, {Size: Metric(2.5), Length: -1}} {
		if _, _, known := bad.resistance(); known {
			t.Errorf("%+v has a resistance", bad)
		}
	}
}

// TestVerdictsAreWhole: a verdict without a number says so with none, one that holds has no remedy, and one that cannot be given holds nothing.
func TestVerdictsAreWhole(t *testing.T) {
	j := &judge{c: &Circuit{}}
	j.give(Verdict{Rule: FuseHolds, OK: true, Remedy: "mend it"}, nil)
	j.give(Verdict{Rule: FuseHolds, OK: true, Remedy: "mend it", Number: number(quantity.Amperes(3)), Limit: number(quantity.Amperes(4))}, unjudged("no %s", "reason"))
	j.give(Verdict{Rule: FuseHolds, Remedy: "mend it"}, nil)
	a, b, c := j.verdicts[0], j.verdicts[1], j.verdicts[2]
	if !math.IsNaN(a.Number.Value) || !math.IsNaN(a.Limit.Value) || a.Remedy != "" || !a.OK || a.CannotJudge != "" {
		t.Errorf("%+v", a)
	}
	if b.OK || b.CannotJudge != "no reason" || b.Number.Value != 3 || b.Limit.Value != 4 || b.Number.Dimension != quantity.Current || b.Number.Decimals != -1 || b.Remedy != "mend it" {
		t.Errorf("%+v", b)
	}
	if c.OK || c.Remedy != "mend it" {
		t.Errorf("%+v", c)
	}
	for v, ok := range map[quantity.Amperes]bool{4: true, 4.00000000001: true, 4.0001: false, 3.9: true} {
		if atMost(v, quantity.Amperes(4)) != ok {
			t.Errorf("%v is at most 4: %v", float64(v), !ok)
		}
	}
	// The greatest of the points that are asked for, whichever way it flows, with the name of its point.
	at := func(name string, kind PointKind, lasts quantity.Seconds, amps quantity.Amperes) *Solution {
		return &Solution{Point: OperatingPoint{Name: name, Kind: kind, Lasts: lasts}, Leads: []LeadResult{{Current: amps}}}
	}
	j.solutions = []*Solution{at("cruise", "", 0, 5), at("back", "", 0, -7), at("start", "", 3, 30), at("stall", Stall, 0, -90), at("open", CutoutOpen, 0, 500), at("stopped", StopOpen, 2, 600)}
	of := func(s *Solution) quantity.Amperes { return s.Leads[0].Current }
	if amps, point, ok := j.worstCurrent(lasting, of); amps != 7 || point != "back" || !ok {
		t.Errorf("%v A at %s", amps, point)
	}
	if amps, point, ok := j.worstCurrent(brief, of); amps != 90 || point != "stall" || !ok {
		t.Errorf("%v A at %s", amps, point)
	}
	j.solutions = j.solutions[4:]
	if amps, point, ok := j.worstCurrent(lasting, of); ok || amps != 0 || point != "" {
		t.Errorf("%v A at %s", amps, point)
	}
	// What stands on a way, each part once, without the one that it goes around and without blocks.
	j.c = &Circuit{Parts: []Part{{Name: "stop", Kind: EmergencyStop}, {Name: "block", Kind: TerminalBlock}, {Name: "relay", Kind: Relay}, {Name: "fuse", Kind: Fuse}}}
	if got := j.partsOn([]Step{{0, -1}, {-1, 4}, {1, -1}, {2, -1}, {-1, 5}, {3, -1}, {2, -1}}, 0); !slices.Equal(got, []int{2, 3}) {
		t.Errorf("%v", got)
	}
	if j.names([]int{2, 3}) != "relay, fuse" || j.names([]int{0}) != "stop" || j.names(nil) != "" {
		t.Error(j.names([]int{2, 3}))
	}
	// How far one can trust what rests on two sources is how far one can trust the lesser.
	q := Quoted{"a", Confirmed}.also(Quoted{"b", FromMemory})
	if q.Source != "a; b" || q.Status != FromMemory {
		t.Errorf("%+v", q)
	}
	if q = (Quoted{"a", Confirmed}).also(Quoted{"", Computed}); q.Source != "a" || q.Status != Computed {
		t.Errorf("%+v", q)
	}
	if q = (Quoted{}).also(Quoted{"b", Confirmed}); q.Source != "b" {
		t.Errorf("%+v", q)
	}
	if q = (Quoted{"a; b", Confirmed}).also(Quoted{"b", Confirmed}); q.Source != "a; b" {
		t.Errorf("%+v", q)
	}
}
