package site

import (
	"strings"
	"testing"

	"voltwright/internal/site/address"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// cartJournal is a cart with a drive, on a ground of one's choice, and a run on it.
func cartJournal(t *testing.T, surface string) reading.Input {
	return input(t, written(t, map[string]string{
		"journal.yaml":    "title: A book\nmaker: {name: A maker}\nunits: [metric]\n",
		"cart/vehicle.md": "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\npacks: [{chemistry: lfp, series: 8, capacity: 11 Ah, resistance: 25 mΩ}]\n" +
			"controller: {kind: pwm, setting: 65 %}\nmotors: [{rated: 24 V, no-load-speed: 2600 rpm, no-load-current: 1.3 A, resistance: 0.28 Ω, rated-current: 11 A}]\n" +
			"drive: {ratio: 14, wheel: 200 mm, surface: " + surface + ", hill: 1 in 20, braking: {deceleration: 0.9 m/s²}}\nmasses: {vehicle: 38 kg, payload: 60 kg}\n---\n",
		"cart/1-first/field-1.md": "---\nkind: run\ntype: field\nname: Round the shed\ndate: 2026-02-03\nconditions: {payload: 60 kg, surface: " + surface + "}\n" +
			"instruments: [{measures: speed, accuracy: ±1 %, resolution: 0.1 km/h}, {measures: distance, accuracy: ±1 %, resolution: 1 m}, {measures: time, accuracy: ±0.5 s}]\n" +
			"readings:\n  - {at: 0 min, voltage: 26.2 V, speed: 0 km/h, distance: 0 m}\n  - {at: 5 min, voltage: 26.0 V, speed: 4.4 km/h, distance: 340 m}\n  - {at: 10 min, voltage: 25.9 V, speed: 4.3 km/h, distance: 690 m}\n---\n",
	}))
}

func TestDrivingPage(t *testing.T) {
	in := cartJournal(t, "concrete")
	p, _ := build(t, in)
	docs := documents(t, p)
	d := in.Results.Drives["cart/1-first"]
	if d == nil || d.Err != "" || d.NoSpeed != "" {
		t.Fatalf("%+v", d)
	}
	page := docs["cart/1-first/index.html"]
	section := text(byID(page, "driving"))
	for _, want := range []string{numeral.OnPage(d.Top.Speed.String()), numeral.OnPage(d.Cruise.BatteryCurrent.String()), numeral.OnPage(d.Hill.MotorCurrent.String()), "11 A that it is rated for",
		"Assumed, as nobody stated it", "Efficiency of the gearing", "Rolling coefficient taken", "motors.copper"} {
		if !strings.Contains(section, want) {
			t.Errorf("the version's page does not say %q:\n%s", want, section)
		}
	}
	table := rows(t, page, "table-driving")
	if got, want := len(table), len(d.ByVoltage)+1+len(d.BySetting)+len(d.ByPayload); got < want {
		t.Errorf("the table has %d rows, want %d", got, want)
	}
	for _, f := range d.Figures() {
		if byID(page, address.DrivingAnchor(f.Name)) == nil {
			t.Errorf("no anchor of %s", f.Name)
		}
	}
	spec := rows(t, docs["cart/index.html"], "table-spec")
	if cells := spec["Top speed, just charged"]; len(cells) != 1 || text(cells[0]) != numeral.OnPage(d.Top.Speed.String()) {
		t.Errorf("the vehicle's page has no row of the top speed: %v", cells)
	}
	run := text(byID(docs["cart/1-first/field-1/index.html"], "speed"))
	check := d.Runs[0]
	for _, want := range []string{numeral.OnPage(check.Predicted.String()), numeral.OnPage(check.Top.Measured.String()), numeral.OnPage(check.Mean.Measured.String()), numeral.OnPage(check.Top.Words), "Steady speed predicted"} {
		if want == "" || !strings.Contains(run, want) {
			t.Errorf("the run's page does not say %q:\n%s", want, run)
		}
	}
}

// A ground without a published coefficient has no speed, and the page says so and
// still tells what held motors draw.
func TestDrivingWithoutACoefficient(t *testing.T) {
	p, _ := build(t, cartJournal(t, "loose-soil"))
	docs := documents(t, p)
	section := text(byID(docs["cart/1-first/index.html"], "driving"))
	for _, want := range []string{"cannot be said", "No rolling coefficient of loose soil", "Stall current of each motor"} {
		if !strings.Contains(section, want) {
			t.Errorf("the page does not say %q:\n%s", want, section)
		}
	}
	if byID(docs["cart/1-first/index.html"], "table-driving") != nil {
		t.Error("there is a table of speeds")
	}
	if run := text(byID(docs["cart/1-first/field-1/index.html"], "speed")); !strings.Contains(run, "Not predicted. No rolling coefficient") {
		t.Error(run)
	}
}
