package predict

import (
	"math"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

func kilograms(kg float64) quantity.Measured[quantity.Kilograms] {
	return quantity.Exact(quantity.Kilograms(kg))
}

// carried makes a run of a bank by hand: at 50 % of the time 10 A, else 0.2 A, at 22 V throughout.
func carried(change func(*Run)) Run {
	rows := &Rows{}
	for k := 1; k <= 240; k++ {
		i := 10.0
		if k%2 == 0 && k < 240 {
			i = 0.2
		}
		rows.Time, rows.Current = append(rows.Time, 30*float64(k)), append(rows.Current, i)
		rows.Voltage, rows.Temperature = append(rows.Voltage, 22), append(rows.Temperature, math.NaN())
	}
	r := Run{ID: "cart/1/hauled", Slug: "hauled", Name: "Hauled", Kind: "field", Label: "field, 200 kg", Ambient: quantity.Exact(quantity.Celsius(18)), Rows: rows, Thin: rows,
		Capacity: quantity.Missing[quantity.AmpereHours](), DischargedCharge: quantity.Exact(quantity.AmpereHours(10.2)), ChargedCharge: quantity.Exact(quantity.AmpereHours(0)),
		Power: quantity.Missing[quantity.Watts](), Charging: quantity.Amperes(math.NaN()), Masses: NoMovedMasses()}
	r.Masses.Vehicle, r.Masses.Payload = kilograms(100), kilograms(200)
	if change != nil {
		change(&r)
	}
	return r
}

func loadNamed(t *testing.T, a *Prediction, name string) (Load, RunTime) {
	t.Helper()
	i := slices.IndexFunc(a.Table.Loads, func(l Load) bool { return l.Name == name })
	if i < 0 {
		t.Fatalf("no load %s: %+v", name, a.Table)
	}
	return a.Table.Loads[i], a.Table.Cells[i][0]
}

// The closed form: 220 W measured with 300 kg in all, 4.4 W of it drawn at a
// stand and 2·I₀·V·s in the motors; the rest goes as the mass.
func TestOtherPayload(t *testing.T) {
	b := bank(t, nil)
	for _, c := range []struct {
		name    string
		change  func(*Run)
		payload float64
		want    float64 // W
	}{
		{"half the payload", nil, 100, 4.4 + (220-4.4)*200/300},
		{"twice the mass", nil, 500, 4.4 + (220-4.4)*2},
		{"the same", nil, 200, 220},
		{"none, the motors' no-load current stated", func(r *Run) { r.Masses.NoLoadCurrent = quantity.Exact(quantity.Amperes(2)) }, 0, 48.4 + (220-48.4)/3},
		{"none, at a setting", func(r *Run) {
			r.Masses.NoLoadCurrent, r.Masses.Setting = quantity.Exact(quantity.Amperes(2)), quantity.Exact(quantity.Fraction(0.5))
		}, 0, 26.4 + (220-26.4)/3},
	} {
		payload := kilograms(c.payload)
		a := Compute(b, []Run{carried(c.change)}, Options{Payload: &payload, OwnPacksOnly: true})
		l, cell := loadNamed(t, a, "hauled")
		if got := float64(l.Power.Value); math.Abs(got-c.want) > 1e-9*c.want {
			t.Errorf("%s: %.9g W, want %.9g W", c.name, got, c.want)
		}
		if got, want := float64(l.Current.Value), c.want/22; math.Abs(got-want) > 1e-9*want {
			t.Errorf("%s: %.9g A, want %.9g A", c.name, got, want)
		}
		if l.Source != ScaledLoad || l.Run != "" || l.From != "cart/1/hauled" || !strings.Contains(l.Label, "scaled from 200 kg") || l.Duty < 0.4 || l.Duty > 0.6 {
			t.Errorf("%s: %+v", c.name, l)
		}
		if want := 0.25 * math.Abs(c.want-220) / c.want; math.Abs(float64(l.Unsure)-want) > 1e-12 {
			t.Errorf("%s: unsure by %.6g, want %.6g", c.name, float64(l.Unsure), want)
		}
		// The run time is that of the same steady load asked for, less sure.
		asked := Compute(b, []Run{carried(c.change)}, Options{OwnPacksOnly: true, Asked: []Load{NewLoad("x", "x", AskedLoad, l.Load, "", 1)}, HoldAmbient: true, Ambient: quantity.Exact(quantity.Celsius(18))})
		want := asked.Table.Cells[0][0].Datasheet.UnderLoad
		if got := cell.Datasheet.UnderLoad; math.Abs(float64(got.Value/want.Value)-1) > 1e-9 || c.payload != 200 && !(got.U > want.U) {
			t.Errorf("%s: runs %v, the same load asked for %v", c.name, got, want)
		}
		// The course has the same mean.
		var joules, time float64
		for n, p := range l.profile.Parts {
			if l.rows.Current[n] > l.threshold {
				joules, time = joules+l.profileWatts(n)*float64(p.For), time+float64(p.For)
			} else if got := l.profileWatts(n); math.Abs(got-4.4) > 1e-9 {
				t.Errorf("%s: %g W at a stand", c.name, got)
			}
		}
		if got := joules / time; math.Abs(got-c.want) > 1e-9*c.want {
			t.Errorf("%s: the course draws %.9g W, want %.9g W", c.name, got, c.want)
		}
	}
}

// profileWatts is the power of a part of the course, by what a simulation of it delivers.
func (l Load) profileWatts(n int) float64 {
	p := l.profile.Parts[n]
	c, _ := battery.ChemistryNamed("lfp")
	e, _ := battery.Typical(c, quantity.Exact(quantity.AmpereHours(1000)))
	o, err := battery.Simulate(battery.Scenario{Packs: []battery.Pack{battery.NewPack(e.Cell(), 7)}, Demand: battery.Demand{Parts: []battery.Part{p}}, Ambient: 20})
	if err != nil {
		return math.NaN()
	}
	return float64(o.Energy) * 3600 / float64(p.For)
}

func TestOtherPayloadRefused(t *testing.T) {
	b := bank(t, nil)
	payload := kilograms(50)
	for _, c := range []struct {
		name   string
		change func(*Run)
		want   string
	}{
		{"no vehicle", func(r *Run) { r.Masses.Vehicle = quantity.Missing[quantity.Kilograms]() }, "what the vehicle weighs is not stated (masses.vehicle)"},
		{"no payload", func(r *Run) { r.Masses.Payload = quantity.Missing[quantity.Kilograms]() }, "its payload is not stated (conditions.payload)"},
		{"wheels up", func(r *Run) { r.Masses.WheelsUp = true }, "hauled ran with its wheels in the air"},
		{"bench", func(r *Run) { r.Kind, r.Masses.Payload = "bench", quantity.Missing[quantity.Kilograms]() }, "hauled was a run on the bench without a payload"},
		{"motors that draw more idle", func(r *Run) { r.Masses.NoLoadCurrent = quantity.Exact(quantity.Amperes(11)) }, "no more than the 246.4 W that its motors are stated to draw without a load"},
	} {
		a := Compute(b, []Run{carried(c.change)}, Options{Payload: &payload, OwnPacksOnly: true})
		if len(a.Table.Loads) != 0 || a.Table.None != "No load of this version can be told at another payload." || !strings.Contains(strings.Join(a.Table.Refused, "|"), c.want) {
			t.Errorf("%s: %q, %q", c.name, a.Table.None, a.Table.Refused)
		}
		if a := Compute(b, []Run{carried(c.change)}, Options{OwnPacksOnly: true}); len(a.Table.Loads) != 1 || a.Table.Loads[0].Source != MeasuredLoad {
			t.Errorf("%s: other payloads in the table of what cannot be scaled: %+v", c.name, a.Table.Loads)
		}
	}
	stated := NewLoad("rated", "rated power", StatedLoad, battery.Delivering(100), "100 W", 1)
	if a := Compute(b, nil, Options{Payload: &payload, Stated: []Load{stated}}); !strings.Contains(strings.Join(a.Table.Refused, ""), `"rated power" was not measured at a payload`) {
		t.Errorf("%+v", a.Table)
	}
}

// The table has the run without a payload, and with the payload of the version
// where that is another; a changed mass of the vehicle changes the loads.
func TestPayloadsOfTheTable(t *testing.T) {
	b := bank(t, nil)
	masses := NoMovedMasses()
	masses.Vehicle, masses.Payload = kilograms(100), kilograms(350)
	names := func(o Options) (out []string) {
		for _, l := range Compute(b, []Run{carried(nil)}, o).Table.Loads {
			out = append(out, l.Name)
		}
		return out
	}
	if got := names(Options{OwnPacksOnly: true, Masses: &masses}); !slices.Equal(got, []string{"hauled", "hauled-no-payload", "hauled-stated-payload"}) {
		t.Errorf("%q", got)
	}
	masses.Payload = kilograms(200)
	if got := names(Options{OwnPacksOnly: true, Masses: &masses}); !slices.Equal(got, []string{"hauled", "hauled-no-payload"}) {
		t.Errorf("%q", got)
	}
	masses.Vehicle = kilograms(160)
	l, _ := loadNamed(t, Compute(b, []Run{carried(nil)}, Options{OwnPacksOnly: true, Masses: &masses}), "hauled")
	if want := 4.4 + (220-4.4)*360/300; math.Abs(float64(l.Power.Value)-want) > 1e-9*want || l.Label != "field, 200 kg, scaled to a vehicle of 160 kg instead of 100 kg" {
		t.Errorf("%+v", l)
	}
}

// A duty asked for is that of the load and of the run's own course.
func TestOtherDuty(t *testing.T) {
	b := bank(t, nil)
	for _, duty := range []quantity.Fraction{0.2, 0.5, 0.9, 1} {
		l, cell := loadNamed(t, Compute(b, []Run{carried(nil)}, Options{OwnPacksOnly: true, Duty: duty}), "hauled")
		var on, all float64
		for n, p := range l.profile.Parts {
			if all += float64(p.For); l.rows.Current[n] > l.threshold {
				on += float64(p.For)
			}
		}
		if l.Duty != duty || math.Abs(on/all-float64(duty)) > 1e-9 {
			t.Errorf("%g: %g of the load, %g of the course", float64(duty), float64(l.Duty), on/all)
		}
		if c := cell.Cutout; math.Abs(float64(c.Clock.Value/c.UnderLoad.Value)*float64(duty)-1) > 1e-9 {
			t.Errorf("%g: %v on the clock, %v under load", float64(duty), c.Clock, c.UnderLoad)
		}
	}
	// A run without a stop gets one at its end.
	r := carried(func(r *Run) {
		for k := range r.Rows.Current {
			r.Rows.Current[k] = 10
		}
	})
	l, _ := loadNamed(t, Compute(b, []Run{r}, Options{OwnPacksOnly: true, Duty: 0.5}), "hauled")
	if last := l.profile.Parts[len(l.profile.Parts)-1]; len(l.profile.Parts) != 241 || math.Abs(float64(last.For)-7200) > 1e-6 {
		t.Errorf("%d parts, the last %+v", len(l.profile.Parts), last)
	}
}
