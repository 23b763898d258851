package circuit_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

// Figures read off the tables as published (the sources are those of
// tables/ampacity.csv), written down a second time, and the rules between rows.
func TestAmpacity(t *testing.T) {
	metric, gauge := circuit.Metric, circuit.Gauge
	for _, tt := range []struct {
		what   string
		size   circuit.Size
		laid   circuit.Laid
		table  circuit.AmpacityTable
		want   float64
		status circuit.Status
	}{
		{"33 CFR, 12 AWG 105 °C", gauge(12), circuit.Laid{Insulation: 105}, "", 45, circuit.Confirmed},
		{"33 CFR, 18 AWG 60 °C", gauge(18), circuit.Laid{Insulation: 60}, "", 10, circuit.Confirmed},
		{"33 CFR, 4/0 AWG 200 °C", gauge(-3), circuit.Laid{Insulation: 200}, "", 510, circuit.Confirmed},
		{"33 CFR, insulation between columns takes the lower", gauge(10), circuit.Laid{Insulation: 104.5}, "", 55, circuit.Confirmed},
		{"33 CFR, 4 mm² has the copper of 12 AWG and more", metric(4), circuit.Laid{Insulation: 90}, "", 40, circuit.Confirmed},
		{"33 CFR, 2.5 mm² is no 13 AWG, which it lacks: 14", metric(2.5), circuit.Laid{Insulation: 90}, "", 30, circuit.Confirmed},
		{"33 CFR, engine space, own column", gauge(12), circuit.Laid{Insulation: 105, Ambient: 50}, "", 38, circuit.SecondHand},
		{"33 CFR, engine space, factor of note 1", gauge(12), circuit.Laid{Insulation: 75, Ambient: 45}, "", 25 * 0.75, circuit.FromMemory},
		{"33 CFR, cooler gives no bonus", gauge(12), circuit.Laid{Insulation: 75, Ambient: 10}, "", 25, circuit.Confirmed},
		// VDE 0298-4 table 21 (bundling.csv of the reference): 0.80, 0.70, 0.65, 0.60 and 0.57 for
		// two to six circuits, out and back one circuit, at any voltage.
		{"out and back are one circuit", gauge(12), circuit.Laid{Insulation: 75, Bundle: 2, System: 26}, "", 25, circuit.Confirmed},
		{"three conductors", gauge(12), circuit.Laid{Insulation: 75, Bundle: 3, System: 26}, "", 25 * 0.8, circuit.Confirmed},
		{"two circuits", gauge(12), circuit.Laid{Insulation: 75, Bundle: 4, System: 13}, "", 25 * 0.8, circuit.Confirmed},
		{"three circuits", gauge(12), circuit.Laid{Insulation: 75, Bundle: 6, System: 49.9}, "", 25 * 0.7, circuit.Confirmed},
		{"four circuits", gauge(12), circuit.Laid{Insulation: 75, Bundle: 8, System: 26}, "", 25 * 0.65, circuit.Confirmed},
		{"five circuits", gauge(12), circuit.Laid{Insulation: 75, Bundle: 10, System: 26}, "", 25 * 0.6, circuit.Confirmed},
		{"six circuits", gauge(12), circuit.Laid{Insulation: 75, Bundle: 12, System: 26}, "", 25 * 0.57, circuit.Confirmed},
		{"twenty circuits", gauge(12), circuit.Laid{Insulation: 75, Bundle: 40, System: 26}, "", 25 * 0.38, circuit.Confirmed},
		{"33 CFR, a bundle of three from 50 V", gauge(12), circuit.Laid{Insulation: 75, Bundle: 3, System: 51}, "", 25 * 0.7, circuit.Confirmed},
		{"33 CFR, six", gauge(12), circuit.Laid{Insulation: 75, Bundle: 6, System: 51}, "", 25 * 0.6, circuit.Confirmed},
		{"33 CFR, 24", gauge(12), circuit.Laid{Insulation: 75, Bundle: 24, System: 51}, "", 25 * 0.45, circuit.Confirmed},
		{"33 CFR, 8", gauge(12), circuit.Laid{Insulation: 75, Bundle: 8, System: 51}, "", 25 * 0.5, circuit.Confirmed},
		{"NFPA 70, 10 AWG 75 °C", gauge(10), circuit.Laid{Insulation: 75}, circuit.ElectricalCode, 35, circuit.SecondHand},
		{"NFPA 70, 43 °C", gauge(10), circuit.Laid{Insulation: 75, Ambient: 43}, circuit.ElectricalCode, 35 * 0.82, circuit.SecondHand},
		{"NFPA 70, five together", gauge(10), circuit.Laid{Insulation: 75, Bundle: 5}, circuit.ElectricalCode, 35 * 0.8, circuit.SecondHand},
		{"ISO 13297, from memory", metric(6), circuit.Laid{Insulation: 90}, circuit.SmallCraft, 50, circuit.FromMemory},
		{"IEC 60364 B2", metric(4), circuit.Laid{Insulation: 70}, circuit.InConduit, 27, circuit.SecondHand},
		{"IEC 60364 C", metric(35), circuit.Laid{Insulation: 90}, circuit.OnSurface, 119, circuit.SecondHand},
		{"IEC 60364 C, 50 °C by the square root", metric(4), circuit.Laid{Insulation: 70, Ambient: 50}, circuit.OnSurface, 32 * math.Sqrt(20./40), circuit.SecondHand},
		{"flexible cable, 0.75 mm²", metric(0.75), circuit.Laid{Insulation: 70}, circuit.FlexibleMulticore, 12, circuit.Confirmed},
		{"flexible cable, three cores are in the table", metric(0.75), circuit.Laid{Insulation: 70, Bundle: 3}, circuit.FlexibleMulticore, 12, circuit.Confirmed},
		{"flexible cable, six conductors are three circuits", metric(0.75), circuit.Laid{Insulation: 70, Bundle: 6}, circuit.FlexibleMulticore, 12 * 0.7, circuit.Confirmed},
	} {
		a, err := circuit.AmpacityOf(tt.size, tt.laid, tt.table)
		if err != nil {
			t.Errorf("%s: %v", tt.what, err)
			continue
		}
		if math.Abs(float64(a.Amperes)-tt.want) > 1e-9 || a.Status != tt.status || a.Source == "" {
			t.Errorf("%s: %v A, %s (%s); want %v A, %s", tt.what, float64(a.Amperes), a.Status, a.Source, tt.want, tt.status)
		}
	}
}

// The factors of note 1 that are from memory agree with √((Ti − 50)/(Ti − 30))
// within 0.006 (two places, one rounded up), but for 200 °C, which is above it.
func TestEngineSpaceFactors(t *testing.T) {
	for _, insulation := range []float64{60, 75, 80, 90, 125} {
		hot, err := circuit.AmpacityOf(circuit.Gauge(10), circuit.Laid{Insulation: quantity.Celsius(insulation), Ambient: 50}, "")
		if err != nil {
			t.Fatal(err)
		}
		if want := math.Sqrt((insulation - 50) / (insulation - 30)); math.Abs(hot.Ambient-want) > 0.006 {
			t.Errorf("%v °C: factor %v, want about %.3f", insulation, hot.Ambient, want)
		}
	}
}

// Leads thinner than the smallest row of every table. Oracle: a cable maker's table for VDE 0891-1 (testdata of the
// table itself: 0.14 mm² 3 A, 0.25 mm² 5 A, 0.5 mm² 12 A, single in air), each gauge by the next smaller row; never more
// than 18 AWG carries with the same insulation.
func TestThinLeads(t *testing.T) {
	for _, tt := range []struct {
		size       circuit.Size
		insulation quantity.Celsius
		want       float64
	}{
		{circuit.Gauge(20), 105, 12}, {circuit.Gauge(20), 60, 10}, {circuit.Gauge(22), 105, 5}, {circuit.Gauge(24), 105, 3}, {circuit.Gauge(26), 105, 1.5},
		{circuit.Metric(0.34), 90, 8}, {circuit.Gauge(30), 105, 1.5 * 0.0509 / 0.08}, {circuit.Gauge(24), 60, 3 * math.Sqrt(30./40)},
	} {
		a, err := circuit.AmpacityOf(tt.size, circuit.Laid{Insulation: tt.insulation}, "")
		if err != nil || math.Abs(float64(a.Amperes)-tt.want) > 0.002*tt.want {
			t.Errorf("%s, %v °C: %v A (%v), want %v A", tt.size, tt.insulation, float64(a.Amperes), err, tt.want)
		}
	}
	if most, ok := circuit.MostAmpacity(circuit.Gauge(24), circuit.Laid{}, ""); !ok || most.Amperes != 3 {
		t.Errorf("with nothing stated of its insulation, 24 AWG carries at most %v", most.Amperes)
	}
	if most, ok := circuit.MostAmpacity(circuit.Gauge(12), circuit.Laid{Ambient: 300}, ""); !ok || most.Amperes < 45 {
		t.Errorf("12 AWG carries at most %v, want the best column of the table", most.Amperes)
	}
}

// Preece's constant for copper is 10244 for the diameter in inches (Standard Handbook for Electrical Engineers,
// from memory); 24 AWG, 0.511 mm, is tabled there with 29 A, 30 AWG with 10 A.
func TestFusingCurrent(t *testing.T) {
	for gauge, want := range map[int]float64{24: 29.2, 30: 10.3, 20: 58.4} {
		if got := float64(circuit.FusingCurrent(quantity.GaugeArea(gauge))); math.Abs(got-want) > 0.02*want {
			t.Errorf("%d AWG: %v A, want %v", gauge, got, want)
		}
	}
}

func TestAmpacityRefuses(t *testing.T) {
	for _, tt := range []struct {
		what  string
		size  circuit.Size
		laid  circuit.Laid
		table circuit.AmpacityTable
		want  string
	}{
		{"insulation below the table", circuit.Gauge(12), circuit.Laid{Insulation: 50}, "", "lowest insulation"},
		{"no insulation", circuit.Gauge(12), circuit.Laid{}, "", "not stated"},
		{"no size", circuit.Size{}, circuit.Laid{Insulation: 75}, "", "not stated"},
		{"too hot", circuit.Gauge(12), circuit.Laid{Insulation: 75, Ambient: 80}, "", "no cooler"},
		{"beyond the factors", circuit.Gauge(12), circuit.Laid{Insulation: 90, Ambient: 60}, "", "no factor for 60"},
		{"no such table", circuit.Gauge(12), circuit.Laid{Insulation: 90}, "mine", "no table"},
	} {
		_, err := circuit.AmpacityOf(tt.size, tt.laid, tt.table)
		var unjudged *circuit.UnjudgedError
		if !errors.As(err, &unjudged) || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: error %v, want one with %q", tt.what, err, tt.want)
		}
	}
}

// More copper, better insulation, cooler surroundings and fewer neighbours never
// lower an ampacity.
func TestAmpacityIsMonotone(t *testing.T) {
	for _, spec := range circuit.AmpacityTables() {
		for _, insulation := range []float64{60, 75, 90, 105} {
			for _, ambient := range []float64{20, 40, 50} {
				last := 0.0
				for area := 0.03; area < 60; area *= 1.07 {
					a, err := circuit.AmpacityOf(circuit.Metric(quantity.SquareMillimetres(area)), circuit.Laid{Insulation: quantity.Celsius(insulation), Ambient: quantity.Celsius(ambient)}, spec.Name)
					if err != nil {
						continue
					}
					if float64(a.Amperes) < last-1e-9 {
						t.Errorf("%s, %v °C at %v °C: %v A at %.2f mm², %v A below", spec.Name, insulation, ambient, float64(a.Amperes), area, last)
					}
					last = float64(a.Amperes)
				}
			}
		}
	}
}

// Gates of fuses. Oracles: the data sheets named in tables/fuse-gates.csv; between
// their points, the widest gate that they allow.
func TestGates(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, tt := range []struct {
		kind              string
		rating, current   float64
		shortest, longest float64
		status            circuit.Status
	}{
		{"blade", 40, 40, 360000, nan, circuit.SecondHand},
		{"blade", 40, 54, 0.75, 600, circuit.SecondHand},
		{"blade", 40, 80, 0.15, 5, circuit.SecondHand},
		{"blade", 40, 100, 0.08, 5, circuit.SecondHand}, // between 200 % and 350 %
		{"blade", 40, 140, 0.08, 0.5, circuit.SecondHand},
		{"blade", 40, 240, nan, 0.15, circuit.SecondHand},
		{"blade", 10, 16, 0.25, 50, circuit.SecondHand},
		{"blade", 10, 0, 360000, nan, circuit.FromMemory}, // the data sheet begins at 160 %
		{"blade", 10, 12, 0.75, nan, circuit.FromMemory},
		{"blade", 30, 33, 360000, nan, circuit.FromMemory}, // no data sheet for 30 A
		{"blade", 30, 60, 0.15, 5, circuit.FromMemory},
		{"large-blade", 40, 80, 2, 50, circuit.SecondHand},
		{"large-blade", 60, 120, 2, 60, circuit.FromMemory},
		{"cartridge", 20, 20, inf, nan, circuit.Confirmed},
		{"cartridge", 20, 27, nan, 3600, circuit.Confirmed},
		{"cartridge", 20, 40, nan, 120, circuit.Confirmed},
	} {
		g, err := circuit.GateAt(tt.kind, quantity.Amperes(tt.rating), quantity.Amperes(tt.current))
		same := func(a quantity.Seconds, b float64) bool {
			return float64(a) == b || math.IsNaN(float64(a)) && math.IsNaN(b)
		}
		if err != nil || !same(g.Shortest, tt.shortest) || !same(g.Longest, tt.longest) || g.Status != tt.status {
			t.Errorf("%s %v A at %v A: %v to %v s, %s, error %v; want %v to %v, %s", tt.kind, tt.rating, tt.current, g.Shortest, g.Longest, g.Status, err, tt.shortest, tt.longest, tt.status)
		}
	}
	for _, tt := range []struct {
		kind   string
		rating quantity.Amperes
	}{{"", 10}, {"blade", 0}, {"glass", 10}, {"blade", 100}} {
		if _, err := circuit.GateAt(tt.kind, tt.rating, 20); err == nil {
			t.Errorf("%q, %v A has a gate", tt.kind, tt.rating)
		}
	}
}

func TestFuseRules(t *testing.T) {
	// 33 CFR 183.455(c): 150 % below 50 V, 100 % from there.
	if got := circuit.GreatestFuse(45, 50); got != 45 {
		t.Errorf("at 50 V %v A, want 45", got)
	}
	// Littelfuse fuseology: 29 % of 3300 A²s for 10 000 pulses.
	want, tolerance := worked(t, "pulse-1e4")
	if share, ok := circuit.MeltingShare(1e4); !ok || math.Abs(share*3300-want) > tolerance {
		t.Errorf("%v A²s, want %v", share*3300, want)
	}
	if share, ok := circuit.MeltingShare(150); !ok || share != 0.38 {
		t.Errorf("150 pulses: %v, want the share of 1000", share)
	}
	if _, ok := circuit.MeltingShare(2e5); ok {
		t.Error("200 000 pulses have a share")
	}
}

// Fault currents by Ohm's law, with the leads' resistance made to measure.
func TestFaultCurrent(t *testing.T) {
	c := circuit.Circuit{
		Parts: []circuit.Part{
			{Name: "pack", Kind: circuit.Pack, Volts: 12, Full: 12.6, Resistance: 0.008},
			{Name: "fuse", Kind: circuit.Fuse},
			{Name: "lamp", Kind: circuit.Lamp, Nominal: 12, Power: 10},
		},
		Leads: []circuit.Lead{
			{From: circuit.Terminal{Part: "pack", Name: "+"}, To: circuit.Terminal{Part: "fuse", Name: "in"}, Size: circuit.Metric(4), Length: quantity.Metres(0.004 / 0.00495)},
			{From: circuit.Terminal{Part: "fuse", Name: "out"}, To: circuit.Terminal{Part: "lamp", Name: "1"}, Size: circuit.Metric(4), Length: 1},
			{From: circuit.Terminal{Part: "lamp", Name: "2"}, To: circuit.Terminal{Part: "pack", Name: "-"}, Size: circuit.Metric(4), Length: 1},
		},
	}
	want, _ := worked(t, "isc-12") // 12.6 V over 8 + 4 mΩ
	got, err := c.FaultCurrent(1)
	if err != nil || math.Abs(float64(got)-want) > 1e-6 {
		t.Errorf("%v A, error %v; want %v", got, err, want)
	}
	// What draws beside the fault takes nothing of it, wherever it stands in the list of parts.
	heater := circuit.Part{Name: "heater", Kind: circuit.Lamp, Nominal: 12, Power: 500}
	beside := circuit.Circuit{Parts: append([]circuit.Part{heater}, c.Parts...), Leads: append([]circuit.Lead{
		{From: circuit.Terminal{Part: "pack", Name: "+"}, To: circuit.Terminal{Part: "heater", Name: "1"}, Size: circuit.Metric(4), Length: 1},
		{From: circuit.Terminal{Part: "heater", Name: "2"}, To: circuit.Terminal{Part: "pack", Name: "-"}, Size: circuit.Metric(4), Length: 1},
	}, c.Leads...)}
	if got, err := beside.FaultCurrent(2); err != nil || math.Abs(float64(got)-want) > 1e-6 {
		t.Errorf("with a heater beside it %v A, error %v; want %v", got, err, want)
	}
	c.Parts[0].Full, c.Parts[0].Volts, c.Parts[0].Resistance = 24, 24, 0.036
	want, _ = worked(t, "isc-24") // 24 V over 40 mΩ
	if got, err := c.FaultCurrent(1); err != nil || math.Abs(float64(got)-want) > 1e-6 {
		t.Errorf("%v A, error %v; want %v", got, err, want)
	}
	c.Parts[0].Resistance = 0
	if _, err := c.FaultCurrent(1); err == nil {
		t.Error("a pack of unknown resistance has a fault current")
	}
	// Two packs in parallel, each with its fuse: through the rear pack's fuse, a
	// fault at the rear pack draws what the front pack gives, and a fault behind its fuse
	// what the rear gives. 4 mm² is 4.95 mΩ/m. The greater counts.
	for _, x := range examples(t) {
		if x.Name != "06-two-packs" {
			continue
		}
		at, err := x.Circuit.FaultCurrent(3)
		if err != nil {
			t.Fatal(err)
		}
		rear := 29.0 / (0.047 + 0.14*0.00495 + 0.0021 + (0.65+0.3)*0.00495) // back through both returns to the front pack
		front := 29.0 / (0.042 + 0.12*0.00495 + 0.0021 + 0.25*0.00495 + 0.6*0.00495 + 0.0021)
		if want := max(rear, front); math.Abs(float64(at)-want) > 1e-9*want {
			t.Errorf("%v A, want %v", at, want)
		}
	}
}
