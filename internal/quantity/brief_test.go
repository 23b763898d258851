package quantity

import "testing"

func TestBrief(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Brief(Watts(221.8421)), "221.8 W"},
		{Brief(Watts(30000)), "30 kW"},
		{Brief(Volts(26.3928)), "26.39 V"},
		{Brief(Ohms(0.0175)), "17.5 mΩ"},
		{Brief(Celsius(-4)), "-4 °C"},
		{Brief(Amperes(0)), "0 A"},
		{Rough(Ohms(0.1537)), "0.15 Ω"},
		{Rough(AmpereHours(118.4)), "120 Ah"},
		{Rough(Ohms(0.02664)), "27 mΩ"},
		{Figures(1000, 3), "1000"},
		{Figures(1234.5, 3), "1230"},
		{Figures(-0.054321, 2), "-0.054"},
		{Figures(0, 2), "0"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
