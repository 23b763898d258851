package benchsheet

import (
	"fmt"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/wiringsheet"
)

// partToTick is a part that must lie on the bench.
type partToTick struct {
	Pieces             int
	Name, Rating, From string
}

// settings are the fuses, what the cutout and the controller are set to, and what the charger is.
func settings(v *journal.Version) []wiringsheet.Setting {
	out := wiringsheet.Fuses(v)
	add := func(label string, value numeral.Numeral, also string) {
		if value.Set {
			out = append(out, wiringsheet.Setting{Label: label, Value: value.Whole, Also: also})
		}
	}
	if c := v.Cutout; c != nil {
		also := ""
		if c.Delay.Known() {
			also = "after " + numeral.Stated(c.Delay).Whole
		}
		add("Cutout opens", numeral.Stated(c.Opens), also)
		also = ""
		if c.Opens.Known() && c.Threshold.Known() {
			also = "closes again at " + numeral.Summed("", c.Opens.Measured, c.Threshold.Measured).Whole
		}
		add("Reset threshold", numeral.Stated(c.Threshold), also)
	}
	if c := v.Controller; c != nil {
		also := ""
		if c.Limit.Known() {
			also = "limit " + numeral.Stated(c.Limit).Whole
		}
		add("Controller", numeral.Stated(c.Setting), also)
	}
	if c := v.Charger; c != nil {
		also := ""
		if c.Current.Known() {
			also = numeral.Stated(c.Current).Whole
		}
		add("Charger ends at", numeral.Stated(c.Voltage), also)
	}
	return out
}

// partsToTick are the parts of a version's list that must be there to build it.
func partsToTick(v *journal.Version) []partToTick {
	var out []partToTick
	for i := range v.Parts {
		p := &v.Parts[i]
		if p.How.Value != journal.TakenOff {
			out = append(out, partToTick{p.Pieces(), p.Name.Text, p.Rating.Text, p.Source.Text})
		}
	}
	return out
}

// atTheEnd are what is measured once all is made up, to be written down.
func atTheEnd(v *journal.Version) []wiringsheet.Blank {
	var out []wiringsheet.Blank
	for i := range v.Packs {
		name := strings.TrimSpace(v.Packs[i].Name.Text)
		if name == "" {
			name = "pack"
			if len(v.Packs) > 1 {
				name = fmt.Sprintf("pack %d", i+1)
			}
		}
		out = append(out, wiringsheet.Blank{What: wiringsheet.Capital(name) + ", at rest", Unit: "V"})
	}
	if v.Cutout != nil {
		out = append(out, wiringsheet.Blank{What: "Cutout opened at", Unit: "V"}, wiringsheet.Blank{What: "Closed again at", Unit: "V"})
	}
	return append(out, wiringsheet.Blank{What: "Current at rest, all switched off", Unit: "mA"}, wiringsheet.Blank{What: "Made up by, on", Unit: ""})
}
