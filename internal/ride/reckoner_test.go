package ride

import (
	"math"
	"math/rand/v2"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// reckonedBanks are packs of three chemistries, of typical values.
func reckonedBanks(t testing.TB) map[string]Bank {
	t.Helper()
	return map[string]Bank{
		"lfp": bank(t, nil),
		"nmc": bank(t, func(b *Bank) { b.Packs[0].Chemistry, b.Cutout.Opens = chemistry(t, "nmc"), 22.4 }),
		"lead-acid-agm": bank(t, func(b *Bank) {
			b.Packs[0].Chemistry, b.Packs[0].Series, b.Cutout.Opens = chemistry(t, "lead-acid-agm"), 12, 21
		}),
	}
}

// What a reckoner says is what a computation of its own gives, at loads, capacities and temperatures between its points.
func TestReckonerAgainstComputing(t *testing.T) {
	for name, b := range reckonedBanks(t) {
		t.Run(name, func(t *testing.T) {
			k, _, _, err := calibrate(b, nil)
			if err != nil {
				t.Fatal(err)
			}
			r := k.reckoner()
			cutout, _ := b.ending()
			own := float64(b.Capacity().Value)
			random := rand.New(rand.NewPCG(7, 11))
			compared, worst := 0, 0.0
			for compared < 25 {
				p := r.Loads[0] * math.Pow(reckonRatio, 4*random.Float64())
				capacity, ambient := own*(0.4+2*random.Float64()), quantity.Celsius(30*random.Float64())
				got, err := r.Reckon(quantity.Watts(p*capacity), quantity.AmpereHours(capacity), ambient)
				if err != nil {
					continue // beyond what such packs carry
				}
				l := NewLoad("", "", Asked, battery.Delivering(quantity.Watts(p*own)), "", 1)
				l.Ambient = ambient
				want := k.cell(l, halves, cutout).End()
				if want.Err != "" {
					continue
				}
				compared++
				off := math.Abs(float64(got.Time.Value/want.UnderLoad.Value) - 1)
				worst = max(worst, off)
				if off > 0.01 {
					t.Errorf("%.3g W/Ah at %.3g °C: %v, and computed %v", p, float64(ambient), got.Time, want.UnderLoad)
				}
				if u := float64(got.Time.U / want.UnderLoad.U); u < 0.6 || u > 1.6 {
					t.Errorf("%.3g W/Ah at %.3g °C: ± %v, and computed ± %v", p, float64(ambient), got.Time.U, want.UnderLoad.U)
				}
				if charge := float64(got.Charge) / capacity * own / float64(want.Charge.Value); math.Abs(charge-1) > 0.01 {
					t.Errorf("%.3g W/Ah: %v are taken out, %v computed", p, got.Charge, want.Charge)
				}
			}
			t.Logf("at most %.2f %% apart in %d", 100*worst, compared)
		})
	}
}

// More of the same cells under as much more load run as long: the law that a reckoner goes by, as the simulation has it.
func TestPacksUnderLoadScale(t *testing.T) {
	b := bank(t, nil)
	k, _, _, err := calibrate(b, nil)
	if err != nil {
		t.Fatal(err)
	}
	cutout, _ := b.ending()
	time := func(parts int, watts quantity.Watts) float64 {
		l := NewLoad("", "", Asked, battery.Delivering(watts), "", 1)
		return float64(k.cell(l, parts, cutout).End().Running.Value)
	}
	once, twice, half := time(halves, 120), time(2*halves, 240), time(halves/2, 60)
	if math.Abs(twice/once-1) > 1e-6 || math.Abs(half/once-1) > 1e-6 {
		t.Errorf("%g s, twice of both %g s, half of both %g s", once, twice, half)
	}
}

func TestReckonerRefuses(t *testing.T) {
	r := Answer(bank(t, nil), nil, Options{Reckon: true}).Reckoner
	if r == nil {
		t.Fatal("no reckoner")
	}
	for _, tt := range []struct {
		load     quantity.Watts
		capacity quantity.AmpereHours
		ambient  quantity.Celsius
		want     string
	}{
		{100, 20, 15, ""}, {100, 20, 0, ""}, {100, 20, 30, ""},
		{0, 20, 15, ReckonNothing}, {100, 0, 15, ReckonNothing}, {-3, 20, 15, ReckonNothing}, {quantity.Watts(math.NaN()), 20, 15, ReckonNothing}, {quantity.Watts(math.Inf(1)), 20, 15, ReckonNothing},
		{100, 20, -0.1, r.OutOfRange()}, {100, 20, 31, r.OutOfRange()}, {100, 20, quantity.Celsius(math.NaN()), r.OutOfRange()},
		{1, 20, 15, ReckonTooLittle}, {5000, 20, 15, ReckonTooMuch}, {300, 2, 15, ReckonTooMuch},
	} {
		got, err := r.Reckon(tt.load, tt.capacity, tt.ambient)
		said := ""
		if err != nil {
			said = err.Error()
		}
		if said != tt.want || err == nil && !(got.Time.Value > 0) {
			t.Errorf("%v of %v at %v: %v %q, want %q", tt.load, tt.capacity, tt.ambient, got.Time, said, tt.want)
		}
	}
	if Answer(bank(t, nil), nil, Options{}).Reckoner != nil {
		t.Error("a reckoner that nobody asked for")
	}
}

func TestOnParabola(t *testing.T) {
	none := math.NaN()
	square := func(x float64) float64 { return 3 + 2*x - 0.5*x*x }
	whole := []float64{square(0), square(1), square(2), square(3)}
	for x := 0.0; x <= 3; x += 0.125 {
		if got := onParabola(whole, x); math.Abs(got-square(x)) > 1e-12 {
			t.Errorf("at %g: %g, want %g", x, got, square(x))
		}
	}
	for _, tt := range []struct {
		values []float64
		at     float64
		want   float64
	}{
		{[]float64{1, 2}, 0.5, 1.5}, {[]float64{none, 1, 2, none}, 1.25, 1.25}, {[]float64{none, 1, 2}, 1, 1}, {[]float64{none, 1, 2}, 2, 2},
		{[]float64{none, 1, 2}, 0.5, none}, {[]float64{1, none}, 0.1, none}, {[]float64{1, 2}, 1.1, none}, {[]float64{1, 2}, 5, none},
	} {
		if got := onParabola(tt.values, tt.at); got != tt.want && !(math.IsNaN(got) && math.IsNaN(tt.want)) {
			t.Errorf("%v at %g: %g, want %g", tt.values, tt.at, got, tt.want)
		}
	}
}
