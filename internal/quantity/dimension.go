package quantity

// Dimension says what kind of thing a value measures. Two values of unlike
// dimension cannot be added, compared or put in each other's place.
type Dimension uint8

// The dimensions the trade uses. The comment names the base unit in which
// Quantity.Value and the typed kinds hold their number.
const (
	Plain                 Dimension = iota // 1: a count or ratio without a unit
	Voltage                                // V
	Current                                // A
	Charge                                 // Ah
	Energy                                 // Wh
	Power                                  // W
	Resistance                             // Ω
	Time                                   // s
	Length                                 // m
	Speed                                  // m/s
	Rotation                               // rpm
	Mass                                   // kg
	Temperature                            // °C
	TemperatureDifference                  // K
	Area                                   // mm²
	Torque                                 // N·m
	Share                                  // 1: a part of a whole, printed in per cent
	EnergyPerLength                        // Wh/km
	Force                                  // N
	Acceleration                           // m/s²
	dimensionCount        int       = iota
)

// dimensionWords is the one table of what a dimension is called and how a
// value of it looks; error messages, labels and documentation use it.
//
// shown lists the units among which a value with no unit of its own is
// printed, smallest first: see Quantity.Parts.
var dimensionWords = [dimensionCount]struct {
	label, article, example string
	base                    string
	shown                   []step
}{
	Plain:                 {"plain number", "a", "7", "", []step{{"", 0}}},
	Voltage:               {"voltage", "a", "23.1 V", "V", []step{{"mV", 0}, {"V", 0.1}, {"kV", 1000}}},
	Current:               {"current", "a", "8.4 A", "A", []step{{"mA", 0}, {"A", 0.1}}},
	Charge:                {"charge", "a", "5.2 Ah", "Ah", []step{{"mAh", 0}, {"Ah", 0.1}}},
	Energy:                {"energy", "an", "124 Wh", "Wh", []step{{"mWh", 0}, {"Wh", 0.1}, {"kWh", 1000}}},
	Power:                 {"power", "a", "180 W", "W", []step{{"mW", 0}, {"W", 0.1}, {"kW", 1000}}},
	Resistance:            {"resistance", "a", "60 mΩ", "Ω", []step{{"µΩ", 0}, {"mΩ", 1e-4}, {"Ω", 0.1}, {"kΩ", 1000}, {"MΩ", 1e6}}},
	Time:                  {"time", "a", "2 h 7 min 30 s", "s", []step{{"", 0}}},
	Length:                {"length", "a", "186 m", "m", []step{{"mm", 0}, {"m", 1}, {"km", 1000}}},
	Speed:                 {"speed", "a", "6.5 km/h", "m/s", []step{{"km/h", 0}}},
	Rotation:              {"speed of rotation", "a", "2700 rpm", "rpm", []step{{"rpm", 0}}},
	Mass:                  {"mass", "a", "64 kg", "kg", []step{{"g", 0}, {"kg", 1}}},
	Temperature:           {"temperature", "a", "17 °C", "°C", []step{{"°C", 0}}},
	TemperatureDifference: {"temperature difference", "a", "12 K", "K", []step{{"K", 0}}},
	Area:                  {"cross-section", "a", "2.5 mm²", "mm²", []step{{"mm²", 0}}},
	Torque:                {"torque", "a", "1.4 N·m", "N·m", []step{{"N·m", 0}}},
	Share:                 {"share", "a", "60 %", "", []step{{"%", 0}}},
	EnergyPerLength:       {"energy for the distance", "an", "18 Wh/km", "Wh/km", []step{{"Wh/km", 0}}},
	Force:                 {"force", "a", "85 N", "N", []step{{"N", 0}, {"kN", 1000}}},
	Acceleration:          {"acceleration", "an", "0.4 m/s²", "m/s²", []step{{"m/s²", 0}}},
}

// step is a unit and the smallest absolute value, in the base unit, that is
// printed in it.
type step struct {
	unit string
	from float64
}

// String names the dimension in the words of a sentence: "voltage".
func (d Dimension) String() string {
	if int(d) >= dimensionCount {
		return "unknown dimension"
	}
	return dimensionWords[d].label
}

// WithArticle names the dimension with its article: "a voltage", "an energy".
func (d Dimension) WithArticle() string {
	if int(d) >= dimensionCount {
		return "an unknown dimension"
	}
	return dimensionWords[d].article + " " + dimensionWords[d].label
}

// Example is a value as a person would write it, for messages: "23.1 V".
func (d Dimension) Example() string {
	if int(d) >= dimensionCount {
		return ""
	}
	return dimensionWords[d].example
}

// BaseUnit is the symbol of the unit in which Quantity.Value is held; it is
// empty for Plain and for Share, whose base is the number one.
func (d Dimension) BaseUnit() string {
	if int(d) >= dimensionCount {
		return ""
	}
	return dimensionWords[d].base
}

// Kind is the set of typed values: a float64 that knows its dimension, so
// that the compiler refuses volts where amperes are wanted.
//
// It cannot catch everything: an open-circuit voltage and a terminal voltage
// are both Volts.
type Kind interface {
	~float64
	Dimension() Dimension
}

// The kinds, each in the unit of its name.
type (
	Number                float64 // a count or ratio without a unit
	Volts                 float64
	Amperes               float64
	AmpereHours           float64
	WattHours             float64
	Watts                 float64
	Ohms                  float64
	Seconds               float64
	Metres                float64
	MetresPerSecond       float64
	RevolutionsPerMinute  float64
	Kilograms             float64
	Celsius               float64 // a temperature on the Celsius scale
	Kelvins               float64 // a difference of temperatures, never an absolute one
	SquareMillimetres     float64
	NewtonMetres          float64
	Fraction              float64 // 0.6 is 60 %
	WattHoursPerKilometre float64
	Newtons               float64
	MetresPerSecondSquare float64 // an acceleration, m/s²
)

// Dimension implements [Kind] for each of the kinds.
func (Number) Dimension() Dimension                { return Plain }
func (Volts) Dimension() Dimension                 { return Voltage }
func (Amperes) Dimension() Dimension               { return Current }
func (AmpereHours) Dimension() Dimension           { return Charge }
func (WattHours) Dimension() Dimension             { return Energy }
func (Watts) Dimension() Dimension                 { return Power }
func (Ohms) Dimension() Dimension                  { return Resistance }
func (Seconds) Dimension() Dimension               { return Time }
func (Metres) Dimension() Dimension                { return Length }
func (MetresPerSecond) Dimension() Dimension       { return Speed }
func (RevolutionsPerMinute) Dimension() Dimension  { return Rotation }
func (Kilograms) Dimension() Dimension             { return Mass }
func (Celsius) Dimension() Dimension               { return Temperature }
func (Kelvins) Dimension() Dimension               { return TemperatureDifference }
func (SquareMillimetres) Dimension() Dimension     { return Area }
func (NewtonMetres) Dimension() Dimension          { return Torque }
func (Fraction) Dimension() Dimension              { return Share }
func (WattHoursPerKilometre) Dimension() Dimension { return EnergyPerLength }
func (Newtons) Dimension() Dimension               { return Force }
func (MetresPerSecondSquare) Dimension() Dimension { return Acceleration }
