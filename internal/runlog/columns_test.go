package runlog

import (
	"testing"

	"voltwright/internal/quantity"
)

func TestHeadsSayTheirChannel(t *testing.T) {
	for _, c := range []struct {
		head string
		want Channel
		unit string // "" for none
	}{
		{"Voltage (V)", Voltage, "V"}, {"U_pack [V]", Voltage, "V"}, {"I/A", Current, "A"}, {"U/V", Voltage, "V"}, {"t/s", Time, "s"},
		{"Current_mA", Current, "mA"}, {"Temp °C", Temperature, "°C"}, {"T (°F)", Temperature, "°F"}, {"speed km/h", Speed, "km/h"},
		{"speed_km/h", Speed, "km/h"}, {"Ah", ChargeCounter, "Ah"}, {"Wh", EnergyCounter, "Wh"}, {"mAh", ChargeCounter, "mAh"}, {"ah_accu", ChargeCounter, "Ah"},
		{"cellTemp_mid_degC", Temperature, "°C"}, {"Chamber_Temp_degC", Ambient, "°C"}, {"ambient_Temp", Ambient, ""}, {"Time", Time, ""},
		{"time_ms", Time, "ms"}, {"Elapsed time (min)", Time, "min"}, {"Voltage in V", Voltage, "V"}, {"Power_W", Power, "W"},
		{"Distance (m)", Distance, "m"}, {"Ambient", Ambient, ""}, {"Chamber", Ambient, ""}, {"RPM", Rotation, "rpm"}, {"Energy regenerated (Wh)", EnergyReturned, "Wh"}, {"duty (%)", Duty, "%"},
		{"U", Voltage, ""}, {"I", Current, ""}, {"T", Temperature, ""}, {"t", Time, ""}, {"Spannung [V]", Voltage, "V"}, {"GPS speed (mph)", Speed, "mph"},
	} {
		h := parseHead(c.head)
		got, score := h.channel()
		unit := ""
		if h.unit != nil {
			unit = h.unit.Symbol()
		}
		if got != c.want || score < leastScore || unit != c.unit {
			t.Errorf("%q: %s (score %d) in %q, want %s in %q", c.head, got, score, unit, c.want, c.unit)
		}
	}
	for _, name := range []string{"SOC", "Wh/km", "Motor current (A)", "cI", "hysteresis", "x", "Comment", ""} {
		h := parseHead(name)
		if c, score := h.channel(); score >= leastScore {
			t.Errorf("%q was taken for %s (score %d)", name, c, score)
		}
	}
}

func TestChannelWordsRoundTrip(t *testing.T) {
	for _, c := range Channels() {
		if back, ok := ParseChannel(c.String()); !ok || back != c {
			t.Errorf("%s does not come back", c)
		}
		if c.Label() == "" || c.Unit() == "" && c.Dimension() != quantity.Plain {
			t.Errorf("%s has no label or no unit", c)
		}
	}
	if _, ok := ParseChannel("unknown"); ok {
		t.Error("an unknown channel was found")
	}
}

func TestUnitsConvert(t *testing.T) {
	for _, c := range []struct {
		unit     string
		in, want float64
	}{{"mA", 1250, 1.25}, {"°F", 212, 100}, {"km/h", 36, 10}, {"mph", 1, 0.44704}, {"%", 60, 0.6}, {"min", 2, 120}, {"kWh", 1.5, 1500}} {
		if got := unitOf(c.unit).Base(c.in); got != c.want {
			t.Errorf("%v %s: %v, want %v", c.in, c.unit, got, c.want)
		}
	}
}
