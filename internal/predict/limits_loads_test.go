package predict

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// What a run drew whatever the mass: at a stand, by the rows below the threshold that take charge out, and the motors' own.
func TestDrawnWhateverTheMass(t *testing.T) {
	b := bank(t, nil)
	l := NewLoad("a", "a", MeasuredLoad, battery.Delivering(100), "100 W", 1)
	l.Power, l.Current, l.threshold = quantity.Exact(quantity.Watts(100)), quantity.Exact(quantity.Amperes(4)), 0.5
	// 10 s of 4 A, 20 s of 0.2 A, 30 s of −0.3 A, 40 s of 0.5 A, 50 s of 0.1 A, at 25 V and then 20 V: at a stand are 0.2 A · 25 V and 0.1 A · 20 V.
	l.rows = &Rows{Start: 5, Time: []float64{15, 35, 65, 105, 155}, Current: []float64{4, 0.2, -0.3, 0.5, 0.1}, Voltage: []float64{25, 25, 25, 25, 20}}
	r := Run{Masses: NoMovedMasses()}
	near(t, "at a stand", float64(r.fixed(l, b).standing), (20*5.+50*2)/70, 1e-12)
	if got := r.fixed(l, b).idle; got != 0 {
		t.Errorf("motors of which nothing is stated draw %v", got)
	}
	r.Masses.NoLoadCurrent = quantity.Exact(quantity.Amperes(2))
	for _, x := range []struct{ setting, want float64 }{{0, 50}, {0.5, 25}, {1.5, 50}, {1, 50}} {
		r.Masses.Setting = quantity.Exact(quantity.Fraction(x.setting))
		near(t, "the motors' own", float64(r.fixed(l, b).idle), x.want, 1e-12)
	}
	l.rows.Current = []float64{4, 4, 4, 4, 4}
	if got := r.fixed(l, b).standing; got != 0 {
		t.Errorf("it never stood and drew %v at a stand", got)
	}
	l.Current = quantity.Exact(quantity.Amperes(0))
	near(t, "without a current by the nominal voltage", float64(r.fixed(l, b).idle), 2*7*3.2, 0.05)
}

// A load at another mass: refused where something is not stated, and in words for what it was scaled.
func TestLoadAtAnotherMass(t *testing.T) {
	b := bank(t, nil)
	moved := func(vehicle, payload float64) MovedMasses {
		m := NoMovedMasses()
		m.Vehicle, m.Payload = kilograms(vehicle), kilograms(payload)
		return m
	}
	l := NewLoad("a", "field", MeasuredLoad, battery.Delivering(100), "100 W", 0.8)
	l.Power, l.Current, l.threshold, l.Run = quantity.Exact(quantity.Watts(100)), quantity.Exact(quantity.Amperes(4)), 0.5, "cart/1/a"
	l.Rest = -10
	l.rows = &Rows{Start: 0, Time: []float64{10, 20, 30, 40}, Current: []float64{4, 0.5, -0.4, -4}, Voltage: []float64{25, 20, 20, 25}}
	l.profile = l.rows.course(nil)
	for _, x := range []struct {
		name     string
		kind     string
		from, to MovedMasses
		label    string // what is added, or
		why      string
	}{
		{"payload", "field", moved(100, 100), moved(100, 300), ", at 300 kg, scaled from 100 kg", ""},
		{"no payload", "field", moved(100, 100), moved(100, 0), ", without a payload, scaled from 100 kg", ""},
		{"from none", "field", moved(100, 0), moved(100, 50), ", at 50 kg, scaled from 0 kg", ""},
		{"vehicle", "field", moved(100, 100), moved(150, 100), ", scaled to a vehicle of 150 kg instead of 100 kg", ""},
		{"both", "bench", moved(100, 100), moved(150, 50), ", at 50 kg, scaled from 100 kg, scaled to a vehicle of 150 kg instead of 100 kg", ""},
		{"neither", "field", moved(100, 100), moved(100, 100), ", at 100 kg, scaled from 100 kg", ""},
		{"bench without", "bench", moved(100, 0), moved(100, 50), "", "on the bench without a payload"},
		{"no mass", "field", moved(0, 100), moved(100, 50), "", "what the vehicle weighs is not stated"},
		{"no payload known", "field", func() MovedMasses { m := moved(100, 100); m.Payload = quantity.Missing[quantity.Kilograms](); return m }(), moved(100, 50), "", "its payload is not stated"},
		{"nothing to scale to", "field", moved(100, 100), NoMovedMasses(), "", "the masses to scale it to are not stated"},
	} {
		r := Run{Slug: "a", Kind: x.kind, Masses: x.from}
		got, why := r.at(l, b, x.to)
		if x.why != "" {
			if !strings.Contains(why, x.why) || got.Source != MeasuredLoad {
				t.Errorf("%s: %q", x.name, why)
			}
			continue
		}
		if why != "" || got.Label != "field"+x.label {
			t.Errorf("%s: %q, %q", x.name, got.Label, why)
		}
		ratio := float64(x.to.Vehicle.Value+x.to.Payload.Value) / float64(x.from.Vehicle.Value+x.from.Payload.Value)
		near(t, x.name+": power", float64(got.Power.Value), 100*ratio, 1e-9)
		near(t, x.name+": what comes back", float64(got.Rest), -10*ratio, 1e-9)
		if ratio != 1 {
			near(t, x.name+": unsure", float64(got.Unsure), 0.25*math.Abs(ratio-1)/ratio, 1e-9)
		}
		// Below the threshold a row stays what it is; one at it and one that gives much back go with the mass.
		var watts []float64
		for n := range got.profile.Parts {
			watts = append(watts, got.profileWatts(n))
		}
		for n, want := range []float64{100 * ratio, 10 * ratio, -8, -100 * ratio} {
			near(t, x.name+": a row", watts[n], want, 1e-6)
		}
		if math.Abs(float64(l.profile.Parts[0].For)-10) > 0 || l.Label != "field" {
			t.Errorf("%s: the load that was scaled has changed", x.name)
		}
	}
	l.profile.Parts, l.rows = l.profile.Parts[:1], &Rows{Time: []float64{10}, Current: []float64{4}, Voltage: []float64{25}}
	single := Run{Slug: "a", Kind: "field", Masses: moved(100, 100)}
	if got, _ := single.at(l, b, moved(100, 0)); len(got.profile.Parts) != 1 || math.Abs(got.profileWatts(0)-50) > 1e-6 {
		t.Errorf("a course of one row: %+v", got.profile)
	}
	l.Rest = 0.5 // what is drawn at a stand stays
	if got, _ := single.at(l, b, moved(100, 0)); got.Rest != 0.5 {
		t.Errorf("%v at a stand", got.Rest)
	}
	l.profile = battery.Demand{}
	r := Run{Slug: "a", Kind: "field", Masses: moved(100, 100)}
	if got, _ := r.at(l, b, moved(100, 50)); len(got.profile.Parts) != 0 {
		t.Error("a course from none")
	}
}

// Which loads are put at another payload, and which payloads are shown beside them.
func TestWhichLoadsAreScaled(t *testing.T) {
	b := bank(t, nil)
	stated := NewLoad("rated", "rated", StatedLoad, battery.Delivering(100), "100 W", 1)
	masses := NoMovedMasses()
	masses.Vehicle, masses.Payload = kilograms(160), kilograms(200)
	heavy, bench := carried(nil), carried(func(r *Run) {
		r.ID, r.Slug, r.Label, r.Kind, r.Masses.Payload = "cart/1/bench", "bench", "bench", "bench", quantity.Missing[quantity.Kilograms]()
	})
	runs := []Run{heavy, bench}
	loads := append(loadsOf(b, runs), stated)
	if out, refused := atPayload(loads, b, runs, Options{Masses: &masses}); len(out) != 3 || len(refused) != 0 || out[0].Source != ScaledLoad || out[1].Source != MeasuredLoad || out[2].Source != StatedLoad {
		t.Errorf("another vehicle: %+v, %v", out, refused)
	}
	payload := kilograms(50)
	if out, refused := atPayload(loads, b, runs, Options{Payload: &payload}); len(out) != 1 || len(refused) != 2 {
		t.Errorf("another payload: %+v, %v", out, refused)
	}
	masses.Vehicle = kilograms(100)
	if out, refused := atPayload(loads, b, runs, Options{Masses: &masses}); len(out) != 3 || out[0].Source != MeasuredLoad || len(refused) != 0 {
		t.Errorf("the same vehicle: %+v, %v", out, refused)
	}
	masses.Vehicle = kilograms(0)
	if to := heavy.target(Options{Masses: &masses}); to.Vehicle.Value != 100 {
		t.Errorf("a vehicle of nothing: %+v", to)
	}
	// Beside the loads: the newest run with rows that carried something, whatever came after it.
	hand := carried(func(r *Run) { r.ID, r.Slug = "cart/1/hand", "hand" })
	hand.Rows, hand.Thin, hand.Power = nil, nil, quantity.Exact(quantity.Watts(100))
	empty := carried(func(r *Run) { r.ID, r.Slug, r.Masses.Payload = "cart/1/empty", "empty", kilograms(0) })
	runs = []Run{heavy, hand, empty}
	names := func(loads []Load, o Options) (out []string) {
		for _, l := range otherPayloads(loads, b, runs, o) {
			out = append(out, l.Name)
		}
		return out
	}
	loads = append(loadsOf(b, runs), stated)
	if got := names(loads, Options{}); !slices.Equal(got, []string{"hauled-no-payload"}) {
		t.Errorf("%q", got)
	}
	for _, x := range []struct {
		payload quantity.Measured[quantity.Kilograms]
		two     bool
	}{{kilograms(350), true}, {kilograms(200), false}, {kilograms(0), false}, {quantity.Missing[quantity.Kilograms](), false}} {
		masses.Payload = x.payload
		if got := names(loads, Options{Masses: &masses}); len(got) != map[bool]int{true: 2, false: 1}[x.two] {
			t.Errorf("%v: %q", x.payload, got)
		}
	}
	if got := names(loads[1:], Options{}); got != nil {
		t.Errorf("by hand, empty and stated: %q", got)
	}
	older := carried(func(r *Run) { r.ID, r.Slug = "cart/1/older", "older" })
	blocked := carried(func(r *Run) { r.ID, r.Slug, r.Masses.WheelsUp = "cart/1/up", "up", true })
	runs = []Run{older, blocked}
	if got := names(loadsOf(b, runs), Options{}); !slices.Equal(got, []string{"older-no-payload"}) {
		t.Errorf("with its wheels up: %q", got)
	}
	if runOf([]Run{{ID: ""}}, "") != nil || runOf(runs, "cart/1/up") != &runs[1] {
		t.Error("a run without a name is found, or one with a name is not")
	}
}

// Another share of the time: stops are made longer or shorter; a course that hardly has any gets one at its end, where it is needed.
func TestOtherShareOfTheTime(t *testing.T) {
	load := func(off float64) Load {
		l := NewLoad("a", "a", MeasuredLoad, battery.Delivering(100), "", 1)
		l.threshold = 1
		l.rows = &Rows{Time: []float64{50, 50 + off, 100 + off}, Current: []float64{4, 1, 4}, Voltage: []float64{25, 25, 25}}
		l.profile = l.rows.course(nil)
		return l
	}
	length := func(l Load) (parts int, on, off float64) {
		for n, p := range l.profile.Parts {
			if n == 1 || n > 2 {
				off += float64(p.For)
			} else {
				on += float64(p.For)
			}
		}
		return len(l.profile.Parts), on, off
	}
	for _, x := range []struct {
		off, duty float64
		parts     int
		want      float64
	}{{4.9, 0.5, 4, 100}, {5.1, 0.5, 3, 100}, {40, 0.8, 3, 25}, {4.9, 0.99, 3, 4.9}, {4, 0.95, 4, 100 * (1/0.95 - 1)}} {
		l := load(x.off)
		parts, on, off := length(l.on(quantity.Fraction(x.duty)))
		if parts != x.parts || math.Abs(on-100) > 1e-9 || math.Abs(off-x.want) > 1e-9 {
			t.Errorf("%+v: %d parts, %g s on, %g s off", x, parts, on, off)
		}
		if _, _, off = length(l); math.Abs(off-x.off) > 1e-9 {
			t.Errorf("%+v: the load that was asked about has changed", x)
		}
	}
	l := NewLoad("a", "a", MeasuredLoad, battery.Delivering(100), "", 0.5)
	l.Power, l.Rest, l.Rule = quantity.Exact(quantity.Watts(100)), 10, noRule
	l.Load = l.steady()
	if got := l.on(0.8).Steady(); math.Abs(float64(got)-102.5) > 1e-9 {
		t.Errorf("%v", got)
	}
	if got := l.on(0.8).Load; got != battery.Delivering(102.5) {
		t.Errorf("%v", got)
	}
	l.Rule = "" // what comes from no run stays as it was asked for
	if got := l.on(0.8).Load; got != battery.Delivering(110) {
		t.Errorf("%v", got)
	}
	l.Power = quantity.Missing[quantity.Watts]()
	if !math.IsNaN(float64(l.Steady())) {
		t.Errorf("no power, and %v", l.Steady())
	}
}

// The measures of time of a run, by hand. Rows of a minute at 25 V: a charge, rest, load, rest, charge back, load, rest, charge.
func TestMeasuresByHand(t *testing.T) {
	rows := func(back float64) *Rows {
		r := &Rows{Start: 0, Current: []float64{-5, 0.2, 10, 0.2, -1, 10, 0.3, -5}}
		at := 0.0
		for k := range r.Current {
			if at += 60; k == 4 {
				at += back - 60
			}
			r.Time, r.Voltage = append(r.Time, at), append(r.Voltage, 25)
		}
		return r
	}
	timed := func(r *Run, rows *Rows) Load {
		l := NewLoad("a", "a", MeasuredLoad, battery.Delivering(250), "", 1)
		l.Power = quantity.Exact(quantity.Watts(250))
		l.timed(r, rows, 0.5)
		return l
	}
	// Without a rule it goes from the first load to the last: 60 s on, 60 s at 5 W, 60 s back at 25 W, 60 s on.
	l := timed(&Run{}, rows(60))
	near(t, "duty", float64(l.Duty), 0.5, 1e-12)
	near(t, "clock for each second under load", l.perLoad, 2, 1e-12)
	near(t, "rest", float64(l.Rest), (60*5.-60*25)/120, 1e-9)
	if l.Rule != noRule || l.loose != 0 {
		t.Errorf("%+v", l)
	}
	// What comes back for two minutes is downhill, for longer a charger's.
	near(t, "downhill", float64(timed(&Run{}, rows(120)).Rest), (60*5.-120*25)/180, 1e-9)
	near(t, "a charger", float64(timed(&Run{}, rows(121)).Rest), 60*5./181, 1e-9)
	// It may roll before the first load and after the last, within the rests, and not into a charge.
	all := &Timing{Part: math.NaN(), U: 3, Rule: "none", Stops: []Stop{{From: -10, To: 70, TakenOut: true}, {From: 350, To: 500, TakenOut: true}}}
	l = timed(&Run{Timing: all}, rows(60))
	near(t, "from 70 s to 360 s, of which the last 10 s it stood", l.perLoad, (360.-70-10)/120, 1e-12)
	near(t, "duty", float64(l.Duty), 120/(360.-70), 1e-12)
	wide := &Timing{Part: math.NaN(), U: 3, Rule: "none"}
	l = timed(&Run{Timing: wide}, rows(60))
	near(t, "from the end of the charge to the start of the next", l.perLoad, (420.-60)/120, 1e-12)
	near(t, "loose", l.loose, 3/360., 1e-12)
	near(t, "rest", float64(l.Rest), (60*5.+60*5-60*25+60*7.5)/240, 1e-9)
	// A charge at the very end of the stretch counts like any other that is short.
	ends := &Rows{Start: 0, Time: []float64{60, 120, 180}, Current: []float64{10, -0.4, -0.4}, Voltage: []float64{25, 25, 25}}
	near(t, "back at the end", float64(timed(&Run{Timing: wide}, ends).Rest), -10, 1e-9)
	ends.Time = []float64{60, 120, 181}
	if got := timed(&Run{Timing: wide}, ends).Rest; got != 0 {
		t.Errorf("a charger at the end: %v", got)
	}
	part := &Timing{Part: 0.75, U: 3, Rule: "by laps"}
	l = timed(&Run{Timing: part}, rows(60))
	near(t, "three quarters of the clock", l.perLoad, 1.5, 1e-12)
	near(t, "loose", l.loose, 3/180., 1e-12)
	stands := &Timing{Part: 0, U: 3, Rule: "by laps"}
	if l = timed(&Run{Timing: stands}, rows(60)); l.loose != 0 || l.perLoad != 0 {
		t.Errorf("it never ran: %+v", l)
	}
	// Around a stretch: only stops that begin before it, or end after it, bound what it rolled.
	for _, x := range []struct {
		halts      []Stop
		first, end float64
	}{
		{nil, 0, 500}, {[]Stop{{From: 0, To: 80}}, 80, 500}, {[]Stop{{From: 0, To: 120}}, 100, 500}, {[]Stop{{From: 100, To: 150}}, 0, 500}, {[]Stop{{From: 99, To: 100}, {From: 0, To: 60}}, 100, 500},
		{[]Stop{{From: 250, To: 300}}, 0, 250}, {[]Stop{{From: 150, To: 300}}, 0, 200}, {[]Stop{{From: 150, To: 200}}, 0, 500}, {[]Stop{{From: 220, To: 300}, {From: 240, To: 400}}, 0, 220},
	} {
		if from, to := (&Timing{Part: math.NaN(), Stops: x.halts}).around(100, 200, 0, 500); from != x.first || to != x.end {
			t.Errorf("%+v: from %g to %g", x, from, to)
		}
	}
	if from, to := (&Timing{Part: 0.5}).around(100, 200, 0, 500); from != 100 || to != 200 {
		t.Errorf("from %g to %g", from, to)
	}
}

// How a time is counted, in words.
func TestTimesInWords(t *testing.T) {
	load := func(change func(*Load)) Load {
		l := NewLoad("a", "a", MeasuredLoad, battery.Delivering(100), "", 0.5)
		l.Power, l.Run, l.Rule, l.perLoad = quantity.Exact(quantity.Watts(100)), "cart/1/a", "a rule", 1.2
		if change != nil {
			change(&l)
		}
		return l
	}
	for _, x := range []struct {
		name   string
		load   Load
		want   string
		others string
	}{
		{"a run", load(nil), "counted as on a: a rule", "under-load clock"},
		{"scaled", load(func(l *Load) { l.Run, l.From = "", "cart/1/b" }), "counted as on b: a rule", "under-load clock"},
		{"by hand", load(func(l *Load) { l.ByHand = true }), "counted as on a, on the clock: what its readings by hand leave out between them is not known", "under-load"},
		{"no run", load(func(l *Load) { l.Rule, l.perLoad = "", 0 }), "the load comes from no run with a stop rule, so the running time is the time while it is on", "clock"},
		{"steady", load(func(l *Load) { l.Rule, l.perLoad, l.Duty = "", 0, 1 }), "the load is steady and comes from no run, so running time, time under load and time on the clock are one", ""},
	} {
		if got := x.load.Counted(); got != x.want {
			t.Errorf("%s: %s", x.name, got)
		}
		r := EndPoint{Running: quantity.Exact(quantity.Seconds(1)), UnderLoad: quantity.Exact(quantity.Seconds(2)), Clock: quantity.Exact(quantity.Seconds(3))}
		var names []string
		for _, m := range x.load.Others(r) {
			names = append(names, m.Name)
			if want := map[string]quantity.Seconds{"under-load": 2, "clock": 3}[m.Name]; m.Time.Value != want {
				t.Errorf("%s: %+v", x.name, m)
			}
		}
		if got := strings.Join(names, " "); got != x.others {
			t.Errorf("%s: %q", x.name, got)
		}
		r.UnderLoad = quantity.Missing[quantity.Seconds]()
		for _, m := range x.load.Others(r) {
			if m.Name == "under-load" {
				t.Errorf("%s: a time that is not known stands after the answer", x.name)
			}
		}
	}
	// What is drawn while it is off is told from half a percent of the energy on.
	for rest, says := range map[quantity.Watts]string{0.49: "", 0.51: " and 0.51 W for the rest", -0.51: " and -0.51 W for the rest", -0.49: ""} {
		if got := load(func(l *Load) { l.Rest = rest }).RestWords(); got != says {
			t.Errorf("%v: %q", rest, got)
		}
	}
	if got := load(func(l *Load) { l.Rest, l.Duty = 1.49, 0.75 }).RestWords(); got != "" { // below 0.375 J for each 75 J
		t.Errorf("%q", got)
	}
	if got := load(func(l *Load) { l.Rest, l.Duty = 1.51, 0.75 }).RestWords(); got != " and 1.51 W for the rest" {
		t.Errorf("%q", got)
	}
	if got := load(func(l *Load) { l.Rest, l.Duty = 50, 0.97 }).RestWords(); got != " and 50 W for the rest" {
		t.Errorf("%q", got)
	}
	for _, duty := range []quantity.Fraction{0, 1} {
		if got := load(func(l *Load) { l.Rest, l.Duty = 5, duty }).RestWords(); got != "" {
			t.Errorf("%q", got)
		}
	}
	for _, x := range []struct {
		time quantity.Measured[quantity.Seconds]
		want string
	}{{quantity.Unsure(quantity.Seconds(3725)), "about 1 h 2 min"}, {quantity.Of[quantity.Seconds](3725, 60), "1 h 2 min ± 2 min"}, {quantity.Missing[quantity.Seconds](), quantity.Missing[quantity.Seconds]().String()}} {
		if got := TimeWords(x.time); got != x.want {
			t.Errorf("%v: %q, want %q", x.time, got, x.want)
		}
	}
	l := load(func(l *Load) { l.loose = 0.03 })
	if running, loose, clock := l.Shares(); math.Abs(running-1.2) > 1e-12 || math.Abs(loose-0.03) > 1e-12 || clock != 2 {
		t.Errorf("%g, %g, %g", running, loose, clock)
	}
}

// An error of the packs is told in the measure of the load and with what ends a run called by its name.
func TestErrorsAreTold(t *testing.T) {
	k, err := typical(bank(t, nil), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	l := NewLoad("a", "a", MeasuredLoad, battery.Delivering(100), "", 0.5)
	l.perLoad = 1.5
	if e, ok := k.told(l, &battery.NeverReachedError{Level: battery.CutoutLevel, Volts: 20}).(*battery.NeverReachedError); !ok || e.Level != "cutout" || e.Volts != 20 {
		t.Errorf("%+v", e)
	}
	if e, ok := k.told(l, &battery.UncertainError{Level: battery.DatasheetFloor, From: 100, To: 200, Likely: 150}).(*battery.UncertainError); !ok || e.Level != battery.DatasheetFloor || e.From != 150 || e.To != 300 || e.Likely != 225 {
		t.Errorf("%+v", e)
	}
	if e, ok := k.told(l, &battery.CollapseError{At: 100}).(*battery.CollapseError); !ok || e.At != 150 {
		t.Errorf("%+v", e)
	}
	if got := k.told(l, battery.ErrNothingDrawn); !errors.Is(got, battery.ErrNothingDrawn) {
		t.Error(got)
	}
	own := bank(t, func(b *Bank) { b.Cutout, b.Packs[0].Protection = nil, &battery.Cutout{Opens: 19} })
	if k, err = typical(own, true, nil); err != nil {
		t.Fatal(err)
	}
	if e, ok := k.told(l, &battery.UncertainError{Level: battery.CutoutLevel}).(*battery.UncertainError); !ok || e.Level != "packs' own protection" {
		t.Errorf("%+v", e)
	}
	if out, refused := countedLike("b", []Load{{Name: "x"}}, []Load{{Name: "a", Rule: "no"}, {Name: "b", Rule: "yes", Run: "r", Duty: 0.3, perLoad: 1.1, loose: 0.2, ByHand: true}}); len(out) != 1 || out[0].Rule != "yes" || out[0].Run != "r" || out[0].Duty != 0.3 || out[0].perLoad != 1.1 || out[0].loose != 0.2 || !out[0].ByHand || out[0].Name != "x" || refused != nil {
		t.Errorf("%+v, %v", out, refused)
	}
}

// A level that is reached within a second of the start, or of its delay, is reached at once.
func TestReachedAtOnce(t *testing.T) {
	b := bank(t, func(b *Bank) { b.Cutout.Delay = 0 })
	k, err := typical(b, true, nil)
	if err != nil {
		t.Fatal(err)
	}
	const amps = 90
	at := func(volts float64) float64 {
		o, err := battery.RunTimes(k.cells(halves, 20), battery.Steady(battery.Drawing(amps)), &battery.Cutout{Opens: quantity.Volts(volts)}, 20)
		if err != nil {
			t.Fatal(err)
		}
		return float64(o.Levels[len(o.Levels)-1].At)
	}
	for _, delay := range []float64{0, 2} {
		for seconds, once := range map[float64]bool{0.98: true, 1.02: false} {
			low, high := 5.0, 25.0 // the time falls as the voltage rises
			for range 40 {
				if mid := (low + high) / 2; !(at(mid) <= seconds) {
					low = mid
				} else {
					high = mid
				}
			}
			b.Cutout.Opens, b.Cutout.Delay = quantity.Volts(low), quantity.Seconds(delay)
			k.bank = b
			c := k.cell(asked("x", battery.Drawing(amps), 1), halves, b.Cutout)
			if c.Cutout == nil || strings.HasPrefix(c.Cutout.Err, "At once: under this load") != once || c.Cutout.Running.Known() == once {
				t.Errorf("after %g s and %g s of delay: %+v", seconds, delay, c.Cutout)
			}
		}
	}
}

// What a grid says beside its points, without any.
func TestReckonerBesideItsPoints(t *testing.T) {
	all := gridAmbients
	if !slices.Equal(all, []quantity.Celsius{-10, 0, 15, 30, 45}) || !strings.Contains(gridDoc.What, "at -10, 0, 15, 30 and 45 °C") {
		t.Errorf("points at %v, and documented: %s", all, gridDoc.What)
	}
	gridAmbients = nil
	defer func() { gridAmbients = all }()
	for _, x := range []struct {
		name    string
		change  func(*Bank)
		ends    string
		volts   float64
		trip    float64
		tripped string
	}{
		{"a cutout", nil, EndsAtCutout, 20.7, 0, ""},
		{"nothing", func(b *Bank) { b.Cutout = nil }, EndsAtFloor, 7 * 2.8, 0, ""},
		{"its own by voltage", func(b *Bank) { b.Cutout, b.Packs[0].Protection = nil, &battery.Cutout{Opens: 19} }, EndsAtProtection, 19, 0, ""},
		{"its own by current", func(b *Bank) { b.Cutout, b.Packs[0].Protection = nil, &battery.Cutout{Opens: 19, Trip: 30} }, EndsAtProtection, 19, 30, "Packs' own protection, 19 V, is never reached: every pack was cut off by its own protection."},
		{"its own by current alone", func(b *Bank) { b.Cutout, b.Packs[0].Protection = nil, &battery.Cutout{Trip: 30} }, EndsAtFloor, 7 * 2.8, 30, "Conservative floor, 19.6 V, is never reached: every pack was cut off by its own protection."},
		{"both", func(b *Bank) { b.Packs[0].Protection = &battery.Cutout{Trip: 30} }, EndsAtCutout, 20.7, 30, "Cutout, 20.7 V, is never reached: every pack was cut off by its own protection."},
	} {
		b := bank(t, x.change)
		k, err := typical(b, true, nil)
		if err != nil {
			t.Fatal(err)
		}
		r := k.grid(nil, nil)
		if r.EndsBy != x.ends || math.Abs(float64(r.Volts)-x.volts) > 1e-9 || float64(r.Trip) != x.trip || r.Tripped != x.tripped || r.Capacity != 16 || r.known[16] != k {
			t.Errorf("%s: ends by %s at %v, %v, %q", x.name, r.EndsBy, r.Volts, r.Trip, r.Tripped)
		}
		if p := b.Packs[0].Protection; p != nil {
			if o := k.withoutTrip().bank.Packs[0].Protection; o.Trip != 0 || o.Opens != p.Opens || float64(p.Trip) != x.trip {
				t.Errorf("%s: without a trip %+v, and it itself %+v", x.name, o, p)
			}
		}
	}
	r := RunTimeGrid{Rows: []GridRow{{Ambient: -10}, {Ambient: 15}, {Ambient: 45}}}
	if got := r.OutOfRange(); got != "this page has points between -10 °C and 45 °C; `voltwright predict` computes beyond them" {
		t.Error(got)
	}
	// What was calibrated once is kept.
	kept := unpointed(t, bank(t, nil))
	first, err := kept.of(24)
	if err != nil {
		t.Fatal(err)
	}
	if again, err := kept.of(24); err != nil || again != first {
		t.Error("the same capacity is calibrated again")
	}
	if own, err := kept.of(16); err != nil || own != kept.known[16] || own == first {
		t.Error("the packs' own capacity is calibrated again")
	}
	// More of the same cells: capacity in proportion, resistance against it, the packs as they were left alone.
	b := bank(t, func(b *Bank) { b.Packs[0].Resistance = quantity.Exact(quantity.Ohms(0.06)) })
	twice := b.of(32)
	if p := twice.Packs[0]; p.Capacity.Value != 32 || p.Resistance.Value != 0.03 || b.Packs[0].Capacity.Value != 16 || b.of(16).Packs[0].Resistance.Value != 0.06 {
		t.Errorf("%+v", p)
	}
}

// A run with one row under load has a load and a course.
func TestLoadOfOneRow(t *testing.T) {
	b := bank(t, nil)
	one := stepsOf(2, []float64{0, 10, 0}, []float64{23, 22, 23}, func(r *Run) { r.Rows.Time = []float64{60, 780, 840} })
	loads := loadsOf(b, []Run{one})
	if len(loads) != 1 || len(loads[0].profile.Parts) != 1 {
		t.Fatalf("%+v", loads)
	}
	near(t, "power", float64(loads[0].Power.Value), 220, 1e-9)
	row := Compute(b, []Run{one}, Options{}).Table.Cells[0]
	if c := row[0]; math.IsNaN(float64(c.Replayed.Clock)) || math.Abs(float64(c.Replayed.Clock/c.Cutout.Clock.Value)-1) > 1e-3 {
		t.Errorf("%+v, %v", c.Replayed, c.Cutout)
	}
	if !math.IsNaN(float64(row[1].Replayed.Clock)) || !math.IsNaN(float64(row[2].Replayed.Clock)) || row[1].Err != "" || row[2].Err != "" {
		t.Errorf("the course of a run is repeated with other packs than it had: %+v, %+v", row[1].Replayed, row[2].Replayed)
	}
	// A twentieth of the capacity out makes a course worth repeating, less does not; nothing above the threshold is no load.
	for out, parts := range map[float64]int{0.79: 0, 0.81: 1} {
		r := one
		r.DischargedCharge = quantity.Exact(quantity.AmpereHours(out))
		if l := loadsOf(b, []Run{r}); len(l) != 1 || len(l[0].profile.Parts) != parts {
			t.Errorf("%g Ah: %+v", out, l)
		}
	}
	for amps, loads := range map[float64]int{0.319: 0, 0.321: 1} {
		r := stepsOf(2, []float64{0, amps, 0}, []float64{23, 22, 23}, nil)
		if l := loadsOf(b, []Run{r}); len(l) != loads {
			t.Errorf("%g A: %+v", amps, l)
		}
	}
}

// How full the packs were by a rest of ten minutes, and where the rows then begin; what is said of it.
func TestBeginningAtRest(t *testing.T) {
	k, err := typical(bank(t, func(b *Bank) { b.Packs[0].Chemistry = chemistry(t, "nmc") }), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	cell := k.estimates[0].Cell()
	curve := cell.Chemistry.Curve()
	begin := func(rests []float64, z, load float64) (bool, *Rows, string, string) {
		v, _ := curve.At(z)
		r := &Rows{Start: 3}
		at := 3.0
		for _, s := range rests {
			at += s
			r.Time, r.Current, r.Voltage, r.Temperature = append(r.Time, at), append(r.Current, 0), append(r.Voltage, 7*float64(v)), append(r.Temperature, 20)
		}
		if load > 0 {
			r.Time, r.Current, r.Voltage, r.Temperature = append(r.Time, at+60), append(r.Current, load), append(r.Voltage, 24), append(r.Temperature, 20)
		}
		return r.begins(cell, 7, 16)
	}
	for _, x := range []struct {
		rests  []float64
		z      float64
		usable bool
	}{
		{[]float64{300, 300}, 0.5, true}, {[]float64{300, 299}, 0.5, false}, {[]float64{601}, 0.5, false}, {[]float64{599, 1}, 0.5, true}, {[]float64{300, 300, 60}, 0.63, true},
	} {
		full, use, how, why := begin(x.rests, x.z, 5)
		if full || (use != nil) != x.usable {
			t.Errorf("%+v: %v, %v, %q, %q", x, full, use, how, why)
			continue
		}
		if !x.usable {
			if !strings.Contains(why, "after too short a rest") {
				t.Errorf("%+v: %q", x, why)
			}
			continue
		}
		last := len(x.rests) - 1
		ends := 3.0
		for _, s := range x.rests[:last] {
			ends += s
		}
		if use.Start != ends || use.Time[0] != ends+x.rests[last] || len(use.Time) != 2 || len(use.Current) != 2 || len(use.Voltage) != 2 || len(use.Temperature) != 2 || use.Current[0] != 0 || use.Current[1] != 5 {
			t.Errorf("%+v: %+v", x, use)
		}
		if want := "The packs were about " + quantity.Figures(100*x.z, 2) + " % full, by their rest voltage."; how != want {
			t.Errorf("%+v: %q, want %q", x, how, want)
		}
	}
	// It never comes under load: the last row is used.
	if full, use, _, why := begin([]float64{300, 300, 300}, 0.5, 0); full || use == nil || len(use.Time) != 1 {
		t.Errorf("%+v, %q", use, why)
	}
	// The packs are full from 97 % on, at once; two fiftieths of the capacity in amperes are no rest.
	for z, full := range map[float64]bool{0.969: false, 0.971: true} {
		if got, _, _, _ := begin([]float64{10}, z, 5); got != full {
			t.Errorf("at %g: full %v", z, got)
		}
	}
	// Where the curve is flatter than 10 mV for a tenth of the charge the voltage does not tell.
	flat, err := typical(bank(t, nil), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	lfp := flat.estimates[0].Cell()
	tells, silent := 0, 0
	for z := 0.05; z < 0.95; z += 0.0005 {
		slope := lfp.Chemistry.Curve().Slope(z)
		if math.Abs(slope/0.1-1) < 0.002 {
			continue
		}
		v, _ := lfp.Chemistry.Curve().At(z)
		r := &Rows{Time: []float64{300, 900, 960}, Current: []float64{0, 0, 5}, Voltage: []float64{7 * float64(v), 7 * float64(v), 22}, Temperature: []float64{20, 20, 20}}
		_, use, _, why := r.begins(lfp, 7, 16)
		if (use != nil) != (slope >= 0.1) || use == nil && !strings.Contains(why, "hardly changes") {
			t.Errorf("a slope of %.3f V at %.2f: %q", slope, z, why)
		}
		if math.Abs(slope/0.1-1) < 0.045 {
			if use != nil {
				tells++
			} else {
				silent++
			}
		}
	}
	if tells == 0 || silent == 0 {
		t.Errorf("within 4.5 %% of the bound %d tell and %d do not", tells, silent)
	}
}

// Rows as a log: the second row begins a thousandth of its length after the first ends, a millisecond at most; one current goes on without a break.
func TestRowsBeginAfterEachOther(t *testing.T) {
	nan := math.NaN()
	r := &Rows{Start: 10, Time: []float64{10.5, 11, 15, 16}, Current: []float64{4, 8, 2, 2}, Voltage: []float64{26, 25, 25.5, 25.4}, Temperature: []float64{nan, 20, nan, 21}}
	l := r.log("a", 7, 2, quantity.Missing[quantity.Celsius]())
	want := [][3]float64{{0, 8, 26}, {0.5, 8, 26}, {0.5005, 16, 25}, {1, 16, 25}, {1.001, 4, 25.5}, {5, 4, 25.5}, {6, 4, 25.4}}
	if len(l.Time) != len(want) {
		t.Fatalf("%v", l.Time)
	}
	for k, w := range want {
		if math.Abs(l.Time[k]-w[0]) > 1e-9 || l.Amperes[k] != w[1] || l.Volts[k] != w[2] {
			t.Errorf("row %d: %.7g s, %g A, %g V; want %v", k, l.Time[k], l.Amperes[k], l.Volts[k], w)
		}
	}
	if c := l.Celsius; len(c) != 7 || !math.IsNaN(c[0]) || !math.IsNaN(c[2]) || c[3] != 20 || c[4] != 20 || !math.IsNaN(c[5]) || c[6] != 21 {
		t.Errorf("%v", c)
	}
	// Within 3 % of the greatest current the voltage goes on from the row before; beyond that it begins as its own.
	for amps, volts := range map[float64]float64{9.71: 26, 9.69: 25} {
		r := &Rows{Time: []float64{1, 2, 3}, Current: []float64{10, amps, -2}, Voltage: []float64{26, 25, 27}, Temperature: []float64{nan, nan, nan}}
		if l := r.log("a", 7, 1, quantity.Missing[quantity.Celsius]()); l.Volts[2] != volts {
			t.Errorf("%g A after 10 A begins at %g V", amps, l.Volts[2])
		}
	}
}

// What a load draws steadily is nothing known where its power is not.
func TestSteadyLoads(t *testing.T) {
	l := NewLoad("a", "a", StatedLoad, battery.Delivering(100), "100 W", 1)
	if got := float64(l.Steady()); !math.IsNaN(got) {
		t.Errorf("a load of which no power is known: %g W", got)
	}
	l.Power = quantity.Exact(quantity.Watts(100))
	if got := float64(l.Steady()); got != 100 {
		t.Errorf("100 W for all of the time: %g W", got)
	}
}

// Of what was read by hand there is no time under load.
func TestReadByHand(t *testing.T) {
	hand := carried(nil)
	hand.Rows, hand.Thin, hand.Power = nil, nil, quantity.Exact(quantity.Watts(100))
	c := Compute(bank(t, nil), []Run{hand}, Options{OwnPacksOnly: true}).Table.Cells[0][0]
	if c.Cutout == nil || c.Cutout.UnderLoad.Known() || !c.Cutout.Running.Known() || !c.Cutout.Clock.Known() {
		t.Errorf("%+v", c.Cutout)
	}
}
