package app

import (
	"fmt"
	"strings"

	"voltwright/internal/drivetrain"
	"voltwright/internal/quantity"
)

// printDriven writes how a version drives; nothing where it states nothing of a drive.
func printDriven(b *strings.Builder, d *drivetrain.Performance) {
	if d == nil {
		return
	}
	b.WriteString("\n  How it drives\n")
	if d.Err != "" {
		fmt.Fprintf(b, "%s\n", wrap("Not computed. "+d.Err, "    "))
		return
	}
	if d.NoSpeed != "" {
		fmt.Fprintf(b, "%s\n", wrap("Speed cannot be told. "+d.NoSpeed, "    "))
	} else {
		printCourses(b, d)
	}
	var rows [][]string
	for _, name := range []string{"open-speed", "steepest-start", "stall-current", "stall-battery-current", "stall-time", "kinetic-energy", "stopping-distance", "stopping-distance-downhill", "rolling-coefficient"} {
		f, _ := d.Figure(name)
		if q, ok := f.Quantity.Get(); ok {
			rows = append(rows, []string{f.Label, q.Rounded()})
		}
	}
	writeRows(b, rows)
	if d.Stall != nil {
		fmt.Fprintf(b, "%s\n", wrap(d.Stall.Words, "    "))
	}
	if d.Wanted != nil {
		fmt.Fprintf(b, "%s\n", wrap(d.Wanted.Words+d.Wanted.Err, "    "))
	}
	if d.Rolling.Disputed != "" {
		fmt.Fprintf(b, "%s\n", wrap("Rolling coefficient: "+d.Rolling.Disputed, "    "))
	}
	for _, r := range d.Runs {
		printSpeed(b, r)
	}
	var taken []string
	for _, a := range d.Assumed {
		taken = append(taken, a.What+" ("+a.Words+")")
	}
	if len(taken) > 0 {
		fmt.Fprintf(b, "%s\n", wrap("Assumed, as nobody stated it: "+strings.Join(taken, "; ")+". `voltwright explain version-drive` tells where from.", "    "))
	}
}

// printCourses sets the steady states in columns.
func printCourses(b *strings.Builder, d *drivetrain.Performance) {
	rows := [][]string{{"", "speed", "battery", "each motor", "heat"}}
	var never []string
	add := func(label string, c drivetrain.SteadyState) {
		if !c.HasSpeed() {
			never = append(never, label+": "+c.Words+c.Err)
			return
		}
		rows = append(rows, []string{label, c.Speed.String(), c.BatteryCurrent.String(), c.MotorCurrent.String(), c.MotorHeat.String()})
	}
	for _, c := range d.ByVoltage {
		add(c.Label+", "+quantity.Brief(c.Volts), c)
	}
	if d.Hill != nil {
		add(d.Hill.Label, *d.Hill)
	}
	for _, c := range d.BySetting {
		add("set to "+c.Label, c)
	}
	for _, c := range d.ByPayload {
		add("carrying "+c.Label, c)
	}
	writeRows(b, rows)
	for _, text := range never {
		fmt.Fprintf(b, "%s\n", wrap(text, "    "))
	}
}

// printSpeed writes what a run says of the speed that is computed for it.
func printSpeed(b *strings.Builder, r drivetrain.SpeedComparison) {
	if r.Err != "" {
		return
	}
	name := r.Run[strings.LastIndex(r.Run, "/")+1:]
	text := fmt.Sprintf("%s: predicted %s.", name, r.Predicted)
	if r.Top.Measured.Known() {
		text += fmt.Sprintf(" Top speed measured %s (%+.1f %%).", r.Top.Measured, 100*r.Top.Off)
	}
	if r.Mean.Measured.Known() {
		text += fmt.Sprintf(" Mean speed measured %s (%+.1f %%).", r.Mean.Measured, 100*r.Mean.Off)
	}
	for _, words := range []string{r.Top.Words, r.ImpliedWords} {
		if words != "" {
			text += " " + words
		}
	}
	fmt.Fprintf(b, "%s\n", wrap(text, "    "))
}
