package battery

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

func TestChemistries(t *testing.T) {
	all := Chemistries()
	var names []string
	for _, c := range all {
		names = append(names, c.Name)
		if !(c.DatasheetFloor() < c.ConservativeFloor() && c.ConservativeFloor() < c.Nominal() && c.Nominal() < c.Full()) {
			t.Errorf("%s: floors %v, %v, nominal %v and full %v are out of order", c.Name, c.DatasheetFloor(), c.ConservativeFloor(), c.Nominal(), c.Full())
		}
		if v := c.StorageVoltage(); !(v > c.ConservativeFloor() && v <= c.Full()) {
			t.Errorf("%s: stored at %v", c.Name, v)
		}
	}
	for _, name := range strings.Fields("lead-acid-agm lead-acid-flooded lead-acid-gel lfp lto nca nimh nmc sodium-ion") {
		if !slices.Contains(names, name) {
			t.Errorf("the chemistry %s is gone", name)
		}
	}
}

// Adding a chemistry is adding a file; a bad file is named and says what is wrong.
func TestReadChemistries(t *testing.T) {
	good, err := chemistryFiles.ReadFile("chemistries/nmc.json")
	if err != nil {
		t.Fatal(err)
	}
	text := string(good)
	for _, tt := range []struct{ name, text, want string }{
		{"other", strings.Replace(text, `"name": "nmc"`, `"name": "other"`, 1), ""},
		{"other", text, `chemistries/other.json: holds a chemistry called "nmc"`},
		{"nmc", strings.Replace(text, `"full-voltage"`, `"ful-voltage"`, 1), `the fact "full-voltage" is missing`},
		{"nmc", strings.Replace(text, `"title"`, `"titel"`, 1), `unknown field "titel"`},
		{"nmc", strings.Replace(text, `"status": "confirmed"`, `"status": "sure"`, 1), `the status "sure" is none of`},
		{"nmc", strings.Replace(text, `[0.05, 3.1617]`, `[0.05, 2.1617]`, 1), `the voltage falls`},
	} {
		all, err := ReadChemistries(fstest.MapFS{"chemistries/" + tt.name + ".json": {Data: []byte(tt.text)}})
		switch {
		case tt.want == "" && (err != nil || all["other"] == nil):
			t.Errorf("an added file was not read: %v", err)
		case tt.want != "" && (err == nil || !strings.Contains(err.Error(), tt.want)):
			t.Errorf("got %v, want %q", err, tt.want)
		}
	}
}

// LFP cannot be judged by its rest voltage in the middle: 40 % to 70 % spans
// 21.5 mV, and NMC spans 276 mV (reference values, section 6).
func TestMiddleOfTheCurve(t *testing.T) {
	for _, tt := range []struct {
		name string
		mV   float64
	}{{"lfp", 21.5}, {"nmc", 275.8}} {
		c, err := ChemistryNamed(tt.name)
		if err != nil {
			t.Fatal(err)
		}
		low, _ := c.Curve().At(0.4)
		high, inside := c.Curve().At(0.7)
		if d := 1000 * float64(high-low); d < tt.mV-0.1 || d > tt.mV+0.1 || !inside {
			t.Errorf("%s: %.2f mV between 40 %% and 70 %%, want %.1f mV", tt.name, d, tt.mV)
		}
	}
	if _, err := ChemistryNamed("lco"); err == nil || !strings.Contains(err.Error(), "nmc") {
		t.Errorf("an unknown chemistry: %v", err)
	}
}
