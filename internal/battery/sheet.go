package battery

import (
	"fmt"
	"maps"

	"voltwright/internal/quantity"
	"voltwright/internal/reference"
)

// Sheet is what the data sheet of the cells at hand says, of one cell. What it
// does not say is missing, and what is typical of the chemistry stays.
type Sheet struct {
	Name    string
	Full    quantity.Measured[quantity.Volts]
	Floor   quantity.Measured[quantity.Volts]
	Windows []Window // in which it allows a charge, by rising temperature
}

// Window is a span of the cell's temperature in which a sheet allows a charge.
type Window struct {
	From, To quantity.Celsius
	Rate     float64 // the greatest, in parts of the capacity in an hour; 0: the sheet does not say
}

// With is the chemistry of cells that have a sheet of their own: its values
// stand in the place of those that are typical, and each source names both.
func (c *Chemistry) With(s Sheet) *Chemistry {
	if s.Name == "" {
		return c
	}
	own := *c
	own.Own, own.Facts = s.Name, maps.Clone(c.Facts)
	own.say(c, "full-voltage", " V a cell", s.Full.Known(), float64(s.Full.Value))
	own.say(c, "datasheet-floor", " V a cell", s.Floor.Known(), float64(s.Floor.Value))
	if floor := own.Facts["datasheet-floor"].Value; s.Floor.Known() && own.value("conservative-floor") < floor {
		own.say(c, "conservative-floor", " V a cell", true, floor)
	}
	if len(s.Windows) == 0 {
		return &own
	}
	own.say(c, "charge-lowest-temperature", " °C", true, float64(s.Windows[0].From))
	own.say(c, "charge-highest-temperature", " °C", true, float64(s.Windows[len(s.Windows)-1].To))
	greatest := 0.0
	windows := &Windows{Quoted: Quoted{s.Name + ", its charging window", reference.Stated}}
	for i, w := range s.Windows {
		greatest = max(greatest, w.Rate)
		if w.Rate > 0 {
			to := float64(w.To)
			if i == len(s.Windows)-1 {
				to += 1e-9 // the last window holds its own end
			}
			windows.Points = append(windows.Points, [3]float64{float64(w.From), to, w.Rate})
		}
	}
	if greatest > 0 {
		own.say(c, "charge-rate-limit", " of the capacity an hour", true, greatest)
		own.ChargeWindows = windows
	}
	return &own
}

// say puts a value of the sheet in the place of the typical one.
func (c *Chemistry) say(typical *Chemistry, name, unit string, known bool, value float64) {
	if !known {
		return
	}
	f := typical.Facts[name]
	c.Facts[name] = Fact{Value: value, Quoted: Quoted{Source: fmt.Sprintf("%s; typical is %.4g%s: %s", c.Own, f.Value, unit, f.Quoted), Status: reference.Stated}}
}
