package predict

import (
	"math"
	"strings"

	"voltwright/internal/battery"
)

// What a run is used for, in a word or two.
const (
	UsedTaught  = "taught"
	UsedCharges = "taught charges"
	UsedChecked = "checked only"
	UsedNot     = "not used"
)

// noRunningTime is what every charge is told: the curve of a cell is that of a discharge.
const noRunningTime = "Of running times a charge teaches nothing: its voltages lie above those of a discharge."

// Use says what a run is used for, one of the words above, and why or why not, in sentences: running times learn from discharges, charges from
// charges.
func (a *Prediction) Use(l CalibrationRun) (what, why string) {
	c, charge := a.ChargeRun(l.Run)
	switch {
	case l.Taught:
		return UsedTaught, l.Why
	case charge && c.lessons() != "":
		why = c.lessons() + " " + noRunningTime
		if c.Why != "" {
			why += " It is held against no prediction. " + c.Why
		}
		return UsedCharges, why
	case charge && c.Why == "":
		return UsedChecked, "Left out by taught-by: held against what the packs and other charges teach. " + noRunningTime
	case charge:
		return UsedNot, noRunningTime + " Of charges it teaches nothing either. " + c.Why
	case l.Checked:
		return UsedChecked, l.Why
	}
	return UsedNot, l.Why
}

// lessons say what a charge teaches others, a sentence; "" where nothing.
func (c ChargeCheck) lessons() string {
	if !c.Teaches {
		return ""
	}
	var all []string
	if c.Why == "" {
		for m, words := range []string{battery.ToMost: "how long they take to 80 %", battery.ToFull: "how long they take with the voltage held", battery.EnergyIn: "the energy that goes in"} {
			if !math.IsNaN(c.Lesson.Off[m]) {
				all = append(all, words)
			}
		}
		if c.Lesson.Last > 0 {
			all = append(all, "the current that the charger ends at")
		}
	}
	if c.Wall {
		all = append(all, "how much of what the wall gives goes in")
	}
	if len(all) == 0 {
		return ""
	}
	return "It teaches other charges: " + strings.Join(all, ", ") + "."
}
