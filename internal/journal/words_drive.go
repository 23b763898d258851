package journal

import (
	"fmt"

	"voltwright/internal/drive"
	"voltwright/internal/notes"
)

// ThermalClass is the thermal class of a winding's insulation, by its letter.
type ThermalClass string

// Options lists the letters.
func (ThermalClass) Options() []notes.Option {
	var out []notes.Option
	for _, c := range drive.ThermalClasses() {
		out = append(out, notes.Option{Name: c.Name, Meaning: fmt.Sprintf("for up to %.0f °C", float64(c.Limit))})
	}
	return out
}
