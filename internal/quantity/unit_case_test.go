package quantity

import "testing"

// Letter case is passed over where it says nothing, and a mega is no milli.
func TestUnitsInAnotherLetterCase(t *testing.T) {
	for _, tt := range []struct {
		written string
		d       Dimension
		want    string // "" for none
	}{
		{"ah", Charge, "Ah"}, {"AH", Charge, "Ah"}, {"mah", Charge, "mAh"}, {"MAH", Charge, "mAh"}, {"v", Voltage, "V"}, {"KWH", Energy, "kWh"},
		{"Min", Time, "min"}, {"MM", Length, "mm"}, {"Miles", Length, "mi"},
		{"MAh", Charge, ""}, {"MV", Voltage, ""}, {"MΩ", Resistance, ""}, {"MA", Current, ""}, {"MW", Power, ""},
		{"ah", Energy, ""}, {"xyz", Charge, ""}, {"", Charge, ""}, {"awg", Area, ""},
	} {
		u, ok := FindUnitAs(tt.written, tt.d)
		if ok != (tt.want != "") || ok && u.Symbol() != tt.want {
			t.Errorf("%q of %v: found %t, want %q", tt.written, tt.d, ok, tt.want)
		}
	}
}
