package journal

import "voltwright/internal/notes"

// Each enumeration of the front matter is one type with one table.

// UnitSystem is a system of units that a reader is shown.
type UnitSystem string

// The systems of units.
const (
	Metric UnitSystem = "metric"
	US     UnitSystem = "us"
)

// Options lists the words.
func (UnitSystem) Options() []notes.Option {
	return []notes.Option{
		{Name: string(Metric), Meaning: "SI units and those used with them"},
		{Name: string(US), Meaning: "US customary units"},
	}
}

// Theme is what pages are made with: a folder of package themes.
type Theme string

// The themes.
const (
	ThemeWorkshop  Theme = "workshop"
	ThemeBenchCard Theme = "bench-card"
)

// Options lists the words.
func (Theme) Options() []notes.Option {
	return []notes.Option{
		{Name: string(ThemeWorkshop), Meaning: "sheets of a small drawing office, the usual one"},
		{Name: string(ThemeBenchCard), Meaning: "large and in high contrast, to be read beside the vehicle with gloves on; without photographs and charts"},
	}
}

// State says where in its life a version is.
type State string

// The states.
const (
	Planned State = "planned"
	Running State = "running"
	Retired State = "retired"
)

// Options lists the words.
func (State) Options() []notes.Option {
	return []notes.Option{
		{Name: string(Planned), Meaning: "not built yet"},
		{Name: string(Running), Meaning: "built and in use"},
		{Name: string(Retired), Meaning: "replaced or taken apart"},
	}
}

// Joining says how a pack stands beside the others of its version.
type Joining string

// How packs of one version are joined. Batteries in series are one pack.
const (
	InParallel   Joining = "parallel"
	ThroughDiode Joining = "diode"
)

// Options lists the words.
func (Joining) Options() []notes.Option {
	return []notes.Option{
		{Name: string(InParallel), Meaning: "positive to positive and negative to negative"},
		{Name: string(ThroughDiode), Meaning: "the same, but each pack through a diode, or a switch that acts as one, so that none charges another"},
	}
}

// ControllerKind says how a controller sets the speed.
type ControllerKind string

// The kinds of controller.
const (
	PWM      ControllerKind = "pwm"
	Resistor ControllerKind = "resistor"
	Switch   ControllerKind = "switch"
)

// Options lists the words.
func (ControllerKind) Options() []notes.Option {
	return []notes.Option{
		{Name: string(PWM), Meaning: "pulse-width modulation: the supply is switched fast, the mean voltage is the duty times the supply"},
		{Name: string(Resistor), Meaning: "resistors in series, in steps"},
		{Name: string(Switch), Meaning: "on or off, nothing between"},
	}
}

// Surface is what a vehicle runs on.
type Surface string

// The surfaces.
const (
	SteelRail  Surface = "steel-rail"
	Concrete   Surface = "concrete"
	Asphalt    Surface = "asphalt"
	Paving     Surface = "paving"
	Gravel     Surface = "gravel"
	PackedSoil Surface = "packed-soil"
	LooseSoil  Surface = "loose-soil"
	Grass      Surface = "grass"
	Sand       Surface = "sand"
	Floor      Surface = "floor"
	WheelsUp   Surface = "wheels-up"
)

// Options lists the words.
func (Surface) Options() []notes.Option {
	return []notes.Option{
		{Name: string(SteelRail), Meaning: "steel wheel on steel or aluminium rail"},
		{Name: string(Concrete), Meaning: "tyre on concrete"},
		{Name: string(Asphalt), Meaning: "tyre on asphalt"},
		{Name: string(Paving), Meaning: "tyre on slabs, setts or a rough paved road"},
		{Name: string(Gravel), Meaning: "tyre on gravel"},
		{Name: string(PackedSoil), Meaning: "tyre on a trodden path"},
		{Name: string(LooseSoil), Meaning: "tyre on dug or soft ground"},
		{Name: string(Grass), Meaning: "tyre on short grass"},
		{Name: string(Sand), Meaning: "tyre on sand"},
		{Name: string(Floor), Meaning: "tyre on a hard floor indoors"},
		{Name: string(WheelsUp), Meaning: "nothing: the wheels are off the ground"},
	}
}

// RunType says what was tried in a run.
type RunType string

// The types of run.
const (
	Bench  RunType = "bench"
	Field  RunType = "field"
	Charge RunType = "charge"
	Rest   RunType = "rest"
)

// Options lists the words.
func (RunType) Options() []notes.Option {
	return []notes.Option{
		{Name: string(Bench), Meaning: "under a load that stays the same, on the bench"},
		{Name: string(Field), Meaning: "driving"},
		{Name: string(Charge), Meaning: "charging"},
		{Name: string(Rest), Meaning: "nothing connected, or nothing switched on"},
	}
}

// TimeFormat says how a log writes its time.
type TimeFormat string

// Options lists the words.
func (TimeFormat) Options() []notes.Option {
	return []notes.Option{
		{Name: "seconds", Meaning: "seconds since the start"},
		{Name: "milliseconds", Meaning: "thousandths of a second since the start"},
		{Name: "microseconds", Meaning: "millionths of a second since the start"},
		{Name: "nanoseconds", Meaning: "thousand-millionths of a second since the start"},
		{Name: "minutes", Meaning: "minutes since the start"},
		{Name: "hours", Meaning: "hours since the start"},
		{Name: "days", Meaning: "days since the start, as a spreadsheet counts dates"},
		{Name: "clock", Meaning: "hours, minutes and seconds with colons, such as 1:02:03.5"},
		{Name: "minutes-seconds", Meaning: "minutes and seconds with a colon, such as 62:03.5"},
		{Name: "hours-minutes", Meaning: "hours and minutes with a colon, such as 1:02"},
		{Name: "date-time", Meaning: "date and time of day (ISO 8601), such as 2026-04-12T09:30:00"},
		{Name: "day-first", Meaning: "date and time of day, day before month, such as 12/04/2026 09:30:00"},
		{Name: "month-first", Meaning: "date and time of day, month before day, such as 04/12/2026 09:30:00"},
		{Name: "month-name", Meaning: "date and time of day, the month by its name, such as 12-Apr-2026 09:30:00"},
		{Name: "unix", Meaning: "seconds since 1970-01-01 00:00 UTC"},
		{Name: "unix-milliseconds", Meaning: "milliseconds since 1970-01-01 00:00 UTC"},
		{Name: "unix-microseconds", Meaning: "microseconds since 1970-01-01 00:00 UTC"},
	}
}

// DecimalMark says what stands between a log's units and tenths.
type DecimalMark string

// Options lists the words.
func (DecimalMark) Options() []notes.Option {
	return []notes.Option{{Name: "point", Meaning: "25.2"}, {Name: "comma", Meaning: "25,2"}}
}

// Separator says what stands between two columns of a log.
type Separator string

// Options lists the words.
func (Separator) Options() []notes.Option {
	return []notes.Option{
		{Name: "comma", Meaning: ","},
		{Name: "semicolon", Meaning: ";"},
		{Name: "tab", Meaning: "a tab"},
		{Name: "space", Meaning: "one or more spaces"},
		{Name: "bar", Meaning: "|"},
	}
}

// Sign is the sign of a discharge current in a log.
type Sign string

// The signs.
const (
	Positive Sign = "positive"
	Negative Sign = "negative"
)

// Options lists the words.
func (Sign) Options() []notes.Option {
	return []notes.Option{
		{Name: string(Positive), Meaning: "a current that leaves the pack is written above zero"},
		{Name: string(Negative), Meaning: "a current that leaves the pack is written below zero"},
	}
}
