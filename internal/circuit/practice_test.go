package circuit_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

// common practice, no source: the low-voltage cutout sits between the packs and
// the speed controller. With it open the controller has no supply, and nothing
// before the cutout but fuses, stop and blocks is live.
func TestCutoutBetweenPacksAndController(t *testing.T) {
	for _, x := range examples(t) {
		for i := range x.Circuit.Parts {
			if x.Circuit.Parts[i].Kind != circuit.Cutout {
				continue
			}
			l, err := x.Circuit.Live(i)
			if err != nil {
				t.Fatal(err)
			}
			for _, fed := range l.Fed {
				t.Errorf("%s: %s is fed past the cutout", x.Name, x.Circuit.Parts[fed].Name)
			}
			if slices.Contains(l.Terminals, terminal("controller:in+")) {
				t.Errorf("%s: the controller is live past the cutout", x.Name)
			}
		}
	}
}

// common practice, no source: a cutout's clamps are too small for two battery
// leads, which are joined at a terminal block first.
func TestTwoPacksMeetAtABlock(t *testing.T) {
	x := example(t, "06-two-packs")
	if faults := x.Circuit.Check(); len(faults) != 0 {
		t.Fatalf("with a block: %+v", faults)
	}
	leadFrom(&x.Circuit, "front-fuse:out").To = terminal("cutout:in+")
	leadFrom(&x.Circuit, "rear-fuse:out").To = terminal("cutout:in+")
	x.Circuit.Leads = slices.DeleteFunc(x.Circuit.Leads, func(l circuit.Lead) bool { return l.From == terminal("plus:3") })
	found := false
	for _, f := range x.Circuit.Check() {
		if f.Rule == "terminal-crowded" && strings.Contains(f.Remedy, "terminal block") && x.Circuit.Parts[f.Subject.Part].Name == "cutout" {
			found = true
		}
	}
	if !found {
		t.Errorf("two leads in one clamp of the cutout: %+v", x.Circuit.Check())
	}
}

// common practice, no source: stranded wire in a screw clamp gets a ferrule; a
// single wire does not need one.
func TestStrandedWireGetsAFerrule(t *testing.T) {
	for _, tt := range []struct {
		class circuit.Class
		end   circuit.EndKind
		ok    bool
	}{{circuit.Flexible, circuit.Ferrule, true}, {0, circuit.Bare, false}, {circuit.ExtraFlexible, circuit.Bare, false}, {circuit.Stranded, circuit.Bare, false}, {circuit.Solid, circuit.Bare, true}} {
		x := example(t, "05-shunter-stop")
		l := leadFrom(&x.Circuit, "stop:out")
		l.Class, l.EndB.Kind = tt.class, tt.end
		for _, v := range judge(t, x) {
			if v.Rule == circuit.EndFitsTerminal && v.Subject.Lead == 2 && v.Subject.End == 1 && v.OK != tt.ok {
				t.Errorf("class %d, %s: OK %v, want %v", tt.class, tt.end, v.OK, tt.ok)
			}
		}
	}
}

// common practice, no source: a vehicle that has another colour than red for its
// positive leads keeps it, and a legend says so.
func TestUnusualPositiveColour(t *testing.T) {
	x := example(t, "05-shunter-stop")
	if colour, usual := x.Circuit.PositiveColour(); colour != "red" || !usual {
		t.Errorf("%s, usual %v", colour, usual)
	}
	for i := range x.Circuit.Leads {
		if l := &x.Circuit.Leads[i]; l.Colour == "red" {
			l.Colour = "orange"
		}
	}
	if colour, usual := x.Circuit.PositiveColour(); colour != "orange" || usual {
		t.Errorf("%s, usual %v", colour, usual)
	}
	legend := 0
	for _, v := range judge(t, x) {
		if v.Rule != circuit.PositiveColour {
			continue
		}
		if !v.OK {
			t.Errorf("one colour throughout is refused: %s", v.Detail)
		}
		if strings.Contains(v.Detail, "legend") {
			legend++
		}
	}
	if legend != 1 {
		t.Errorf("%d verdicts ask for a legend, want one that stands for the positive leads", legend)
	}
}

// Of two colours that as many leads have, positive is the one at the pack's +;
// where the pack has both or neither, red, else the one of the first lead. The colours stand in the alphabet the
// other way round, and the leads in both orders.
func TestPositiveColourOfATie(t *testing.T) {
	for _, tt := range []struct {
		colours []string // of the leads of the positive side, in their order
		atPack  int      // which of them go to a pack's +
		want    string
	}{
		{[]string{"white", "black"}, 1, "white"},
		{[]string{"red", "brown"}, 1, "red"},
		{[]string{"brown", "red"}, 1, "brown"},
		{[]string{"brown", "red"}, 2, "red"},
		{[]string{"red", "brown"}, 2, "red"},
		{[]string{"white", "black"}, 2, "white"},
		{[]string{"red", "brown", "brown"}, 1, "brown"},
		{[]string{"brown", "white", "white", "brown"}, 4, "brown"}, // else the one whose lead stands first, not last
	} {
		c := circuit.Circuit{Parts: []circuit.Part{
			{Name: "battery", Kind: circuit.Pack, Nominal: 24, Resistance: 0.02},
			{Name: "block", Kind: circuit.TerminalBlock, Ways: 4}, {Name: "lamp", Kind: circuit.Lamp, Nominal: 24, Power: 10},
		}}
		for i, colour := range tt.colours {
			from := circuit.Terminal{Part: "battery", Name: "+"}
			if i >= tt.atPack {
				from = circuit.Terminal{Part: "lamp", Name: "1"}
			}
			c.Leads = append(c.Leads, circuit.Lead{From: from, To: circuit.Terminal{Part: "block", Name: strconv.Itoa(i + 1)}, Colour: colour})
		}
		c.Leads = append(c.Leads, circuit.Lead{From: circuit.Terminal{Part: "lamp", Name: "2"}, To: circuit.Terminal{Part: "battery", Name: "-"}})
		if got, _ := c.PositiveColour(); got != tt.want {
			t.Errorf("%v, %d at the pack: %s, want %s", tt.colours, tt.atPack, got, tt.want)
		}
	}
}

// Equalising current of packs that are joined without load. Oracle: Ohm's law,
// I = ΔV/ΣR, with the figures of the reference values, section 17.
func TestPacksJoined(t *testing.T) {
	for _, tt := range []struct{ a, b, ra, rb, leads, amps float64 }{
		{25, 22, 0.08, 0.08, 0.01, 17.6471},
		{38, 36.5, 0.09, 0.09, 0.01, 7.8947}, // ten cells of 36 mΩ in series, four in parallel
		{12.7, 12.1, 0.008, 0.008, 0.004, 30},
	} {
		length := quantity.Metres(tt.leads / 2 / 0.00495)
		c := circuit.Circuit{
			Parts: []circuit.Part{{Name: "a", Kind: circuit.Pack, Volts: quantity.Volts(tt.a), Resistance: quantity.Ohms(tt.ra)}, {Name: "b", Kind: circuit.Pack, Volts: quantity.Volts(tt.b), Resistance: quantity.Ohms(tt.rb)}},
			Leads: []circuit.Lead{{From: terminal("a:+"), To: terminal("b:+"), Size: circuit.Metric(4), Length: length}, {From: terminal("a:-"), To: terminal("b:-"), Size: circuit.Metric(4), Length: length}},
		}
		s, err := c.Solve(circuit.OperatingPoint{Name: "joined"})
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(s.Packs[0].Current); math.Abs(got-tt.amps) > 1e-4 || s.Packs[1].Current > 0 {
			t.Errorf("%v V and %v V: %v A, want %v", tt.a, tt.b, got, tt.amps)
		}
	}
}

// The worked voltage drops of the reference values through the solution: 30 A
// over 3 m there and 3 m back.
func TestDropOfARun(t *testing.T) {
	for _, tt := range []struct {
		area      quantity.SquareMillimetres
		volts, pc string
	}{{2.5, "vd-24V-2.5", "vdpct-24V-2.5"}, {4, "vd-24V-4", "vdpct-24V-4"}, {6, "vd-24V-6", "vdpct-24V-6"}} {
		run := func(from, to string) circuit.Lead {
			return circuit.Lead{From: terminal(from), To: terminal(to), Size: circuit.Metric(tt.area), Length: 3}
		}
		c := circuit.Circuit{
			Parts: []circuit.Part{{Name: "pack", Kind: circuit.Pack, Volts: 24}, {Name: "motor", Kind: circuit.Motor, Resistance: 0.2}},
			Leads: []circuit.Lead{run("pack:+", "motor:+"), run("motor:-", "pack:-")},
		}
		s, err := c.Solve(circuit.OperatingPoint{Name: "run", Parts: map[string]circuit.State{"motor": {Draws: 30}}})
		if err != nil {
			t.Fatal(err)
		}
		want, tolerance := worked(t, tt.volts)
		if got := float64(s.Loads[0].Drop); math.Abs(got-want) > tolerance {
			t.Errorf("%v mm²: %v V, want %v", tt.area, got, want)
		}
		want, tolerance = worked(t, tt.pc)
		if got := float64(s.Loads[0].Share) * 100; math.Abs(got-want) > tolerance {
			t.Errorf("%v mm²: %v %%, want %v", tt.area, got, want)
		}
	}
}

func TestCutList(t *testing.T) {
	x := example(t, "05-shunter-stop")
	c := &x.Circuit
	c.Leads[0].Label = "fused +"
	c.Leads[0].Stripe = "white"
	c.Leads[7].Size, c.Leads[7].EndA = circuit.Metric(1.5), circuit.End{Kind: circuit.Ferrule}
	c.Leads[6].EndB = circuit.End{}
	c.Leads[5].Length = 0
	whips, totals := c.CutList(0.1)
	if len(whips) != len(c.Leads) {
		t.Fatalf("%d whips of %d leads", len(whips), len(c.Leads))
	}
	first := whips[0]
	if first.Label != "fused +" || first.Code != "RDWH" || first.A.Terminal != "M6, yellow" || !math.IsNaN(float64(first.A.Strip)) || first.A.At != terminal("battery:+") {
		t.Errorf("%+v", first)
	}
	if whips[1].Label != "W2" || whips[1].B.Ferrule.Area != 4 || whips[1].B.Ferrule.Colour != "grey" || whips[1].B.Ferrule.Pin != 0.010 || whips[1].B.Strip != 0.013 || whips[1].B.Status != circuit.FromMemory {
		t.Errorf("%+v", whips[1].B)
	}
	// The one size whose length to strip was read: 8 mm pin, 11 mm.
	if end := whips[7].A; end.Ferrule.Colour != "black" || end.Strip != 0.011 || end.Status != circuit.SecondHand {
		t.Errorf("%+v", end)
	}
	if whips[6].B.Missing == "" || whips[5].Length != 0 {
		t.Errorf("what is not stated is not told: %+v", whips[6].B)
	}
	pieces, length := 0, 0.0
	for i, total := range totals {
		pieces += total.Pieces
		length += float64(total.Length)
		if math.Abs(float64(total.With)-1.1*float64(total.Length)) > 1e-12 {
			t.Errorf("%+v: the allowance is not a tenth", total)
		}
		if i > 0 && total.Size.Area > totals[i-1].Size.Area {
			t.Error("not by size")
		}
	}
	want := 0.0
	for _, l := range c.Leads {
		want += float64(l.Length)
	}
	if pieces != len(c.Leads) || math.Abs(length-want) > 1e-12 {
		t.Errorf("%d pieces, %v m; want %d, %v m", pieces, length, len(c.Leads), want)
	}
	black := totals[slices.IndexFunc(totals, func(t circuit.Total) bool { return t.Colour == "black" })]
	if black.Pieces != 2 || black.Unmeasured != 1 {
		t.Errorf("%+v", black)
	}
}

// Colours of ferrules by DIN 46228-4 (industrialmonitordirect.com, litze24.de,
// termnex.com), and which a gauge goes into.
func TestFerrules(t *testing.T) {
	for _, tt := range []struct {
		size   circuit.Size
		area   float64
		colour string
	}{
		{circuit.Metric(0.5), 0.5, "white"}, {circuit.Metric(0.75), 0.75, "grey"}, {circuit.Metric(1), 1, "red"}, {circuit.Metric(1.5), 1.5, "black"}, {circuit.Metric(2.5), 2.5, "blue"},
		{circuit.Metric(4), 4, "grey"}, {circuit.Metric(6), 6, "yellow"}, {circuit.Metric(10), 10, "red"}, {circuit.Metric(16), 16, "blue"}, {circuit.Metric(25), 25, "yellow"}, {circuit.Metric(35), 35, "red"}, {circuit.Metric(50), 50, "blue"},
		{circuit.Gauge(20), 0.5, "white"}, {circuit.Gauge(18), 1, "red"}, {circuit.Gauge(16), 1.5, "black"}, {circuit.Gauge(14), 2.5, "blue"}, {circuit.Gauge(12), 4, "grey"}, {circuit.Gauge(10), 6, "yellow"}, {circuit.Gauge(8), 10, "red"},
	} {
		f, err := circuit.FerruleFor(tt.size.Area)
		if err != nil || float64(f.Area) != tt.area || f.Colour != tt.colour {
			t.Errorf("%s: %v mm² %s, %v; want %v %s", tt.size, f.Area, f.Colour, err, tt.area, tt.colour)
		}
	}
	for _, area := range []quantity.SquareMillimetres{0.25, 0.34, 70} {
		if f, err := circuit.FerruleFor(area); err == nil {
			t.Errorf("%v mm²: %+v", area, f)
		}
	}
}

// Insulated crimp terminals: xcxmachine.com (gauges), marrowlin.com.tw (mm²).
func TestCrimpTerminals(t *testing.T) {
	for _, tt := range []struct {
		size circuit.Size
		want string
	}{{circuit.Gauge(22), "red"}, {circuit.Gauge(18), "red"}, {circuit.Gauge(16), "blue"}, {circuit.Gauge(14), "blue"}, {circuit.Gauge(12), "yellow"}, {circuit.Gauge(10), "yellow"}, {circuit.Gauge(8), ""},
		{circuit.Metric(0.75), "red"}, {circuit.Metric(2.5), "blue"}, {circuit.Metric(6), "yellow"}, {circuit.Metric(10), ""}} {
		if got, _, _ := circuit.CrimpColour(tt.size); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.size, got, tt.want)
		}
	}
}
