package quantity

// This file is the one table of units. To add a unit, add a row; nothing
// else needs to know.

// Sources of the factors. The figures that SP 811 prints rounded are written
// here by their exact definition, and the tests hold them against the print.
const (
	si      = "SI prefix or a definition of the SI"
	sp811   = "NIST SP 811 (2008), appendix B.8"
	asSP811 = "NIST SP 811 (2008), appendix B.8, from the exact pound, foot and standard gravity"
	trade   = "common practice, no source"
	astm    = "ASTM B258: diameter 0.005 in × 92^((36−n)/39)"
)

// unit is a row: value in the base unit = (number − offset) × factor.
type unit struct {
	symbol    string // as printed
	aliases   []string
	dimension Dimension
	factor    string // exact as a decimal or a fraction of integers, "" for 1
	offset    string // "" for 0
	twin      string // the unit of the other system that a reader wants beside it
	us        bool   // US customary
	inexact   bool   // the factor is irrational and cut off after 20 figures
	source    string
}

// Aliases are compared after the spelling has been made plain: see plainUnit.
// They stay case-sensitive, since mΩ and MΩ are a thousand million apart.
var unitTable = []unit{
	{symbol: "", dimension: Plain, source: si},

	{symbol: "V", aliases: []string{"volt", "volts"}, dimension: Voltage, source: si},
	{symbol: "mV", aliases: []string{"millivolt", "millivolts"}, dimension: Voltage, factor: "1e-3", source: si},
	{symbol: "kV", aliases: []string{"kilovolt", "kilovolts"}, dimension: Voltage, factor: "1e3", source: si},

	{symbol: "A", aliases: []string{"amp", "amps", "ampere", "amperes"}, dimension: Current, source: si},
	{symbol: "kA", dimension: Current, factor: "1e3", source: si},
	{symbol: "mA", aliases: []string{"milliamp", "milliamps", "milliampere", "milliamperes"}, dimension: Current, factor: "1e-3", source: si},
	{symbol: "µA", aliases: []string{"uA"}, dimension: Current, factor: "1e-6", source: si},

	{symbol: "Ah", aliases: []string{"A·h", "A h", "amp hour", "amp hours", "ampere hour", "ampere hours"}, dimension: Charge, source: si},
	{symbol: "mAh", aliases: []string{"mA·h", "mA h", "milliamp hours", "milliampere hours"}, dimension: Charge, factor: "1e-3", source: si},
	{symbol: "As", aliases: []string{"A·s", "A s"}, dimension: Charge, factor: "1/3600", source: si},

	{symbol: "Wh", aliases: []string{"W·h", "W h", "watt hour", "watt hours"}, dimension: Energy, source: si},
	{symbol: "mWh", aliases: []string{"mW·h", "mW h"}, dimension: Energy, factor: "1e-3", source: si},
	{symbol: "kWh", aliases: []string{"kW·h", "kW h", "kilowatt hour", "kilowatt hours"}, dimension: Energy, factor: "1e3", source: si},
	{symbol: "J", aliases: []string{"Ws", "W·s", "joule", "joules"}, dimension: Energy, factor: "1/3600", source: si},
	{symbol: "kJ", dimension: Energy, factor: "1000/3600", source: si},
	{symbol: "MJ", dimension: Energy, factor: "1000000/3600", source: si},

	{symbol: "W", aliases: []string{"watt", "watts"}, dimension: Power, source: si},
	{symbol: "mW", dimension: Power, factor: "1e-3", source: si},
	{symbol: "kW", aliases: []string{"kilowatt", "kilowatts"}, dimension: Power, factor: "1e3", source: si},
	// Mechanical horsepower, 550 ft·lbf/s; the metric one is 1.4 % smaller.
	{symbol: "hp", aliases: []string{"HP", "horsepower"}, dimension: Power, factor: "745.69987158227022", twin: "W", us: true, source: asSP811},

	{symbol: "Ω", aliases: []string{"ohm", "ohms", "Ohm", "Ohms"}, dimension: Resistance, source: si},
	{symbol: "µΩ", aliases: []string{"uohm", "µohm", "uΩ"}, dimension: Resistance, factor: "1e-6", source: si},
	{symbol: "mΩ", aliases: []string{"mohm", "mOhm", "mohms", "milliohm", "milliohms"}, dimension: Resistance, factor: "1e-3", source: si},
	{symbol: "kΩ", aliases: []string{"kohm", "kOhm", "kohms"}, dimension: Resistance, factor: "1e3", source: si},
	{symbol: "MΩ", aliases: []string{"Mohm", "MOhm", "megohm"}, dimension: Resistance, factor: "1e6", source: si},

	{symbol: "s", aliases: []string{"sec", "secs", "second", "seconds"}, dimension: Time, source: si},
	{symbol: "ms", aliases: []string{"msec", "millisecond", "milliseconds"}, dimension: Time, factor: "1e-3", source: si},
	{symbol: "µs", aliases: []string{"us", "usec", "microsecond", "microseconds"}, dimension: Time, factor: "1e-6", source: si},
	{symbol: "ns", aliases: []string{"nsec", "nanosecond", "nanoseconds"}, dimension: Time, factor: "1e-9", source: si},
	{symbol: "min", aliases: []string{"mins", "minute", "minutes"}, dimension: Time, factor: "60", source: sp811},
	{symbol: "h", aliases: []string{"hr", "hrs", "hour", "hours"}, dimension: Time, factor: "3600", source: sp811},
	{symbol: "d", aliases: []string{"day", "days"}, dimension: Time, factor: "86400", source: sp811},

	{symbol: "m", aliases: []string{"metre", "metres", "meter", "meters"}, dimension: Length, twin: "ft", source: si},
	{symbol: "mm", aliases: []string{"millimetre", "millimetres", "millimeter", "millimeters"}, dimension: Length, factor: "1e-3", twin: "in", source: si},
	{symbol: "cm", aliases: []string{"centimetre", "centimetres", "centimeter", "centimeters"}, dimension: Length, factor: "1e-2", twin: "in", source: si},
	{symbol: "km", aliases: []string{"kilometre", "kilometres", "kilometer", "kilometers"}, dimension: Length, factor: "1e3", twin: "mi", source: si},
	{symbol: "in", aliases: []string{"inch", "inches", "″", "\""}, dimension: Length, factor: "0.0254", twin: "mm", us: true, source: sp811},
	{symbol: "ft", aliases: []string{"foot", "feet"}, dimension: Length, factor: "0.3048", twin: "m", us: true, source: sp811},
	{symbol: "yd", aliases: []string{"yard", "yards"}, dimension: Length, factor: "0.9144", twin: "m", us: true, source: sp811},
	{symbol: "mi", aliases: []string{"mile", "miles"}, dimension: Length, factor: "1609.344", twin: "km", us: true, source: sp811},

	{symbol: "m/s", aliases: []string{"m·s⁻¹"}, dimension: Speed, twin: "mph", source: si},
	{symbol: "km/h", aliases: []string{"kph", "kmh", "km/hr", "kilometres an hour", "kilometres per hour", "kilometers per hour"}, dimension: Speed, factor: "1000/3600", twin: "mph", source: sp811},
	{symbol: "mph", aliases: []string{"mi/h", "MPH", "miles an hour", "miles per hour"}, dimension: Speed, factor: "0.44704", twin: "km/h", us: true, source: sp811},
	{symbol: "ft/s", aliases: []string{"fps"}, dimension: Speed, factor: "0.3048", twin: "m/s", us: true, source: sp811},

	{symbol: "rpm", aliases: []string{"1/min", "r/min", "rev/min", "min⁻¹", "RPM"}, dimension: Rotation, source: sp811},
	{symbol: "rad/s", dimension: Rotation, factor: "9.5492965855137201461", inexact: true, source: si},

	{symbol: "kg", aliases: []string{"kilo", "kilos", "kilogram", "kilograms"}, dimension: Mass, twin: "lb", source: si},
	{symbol: "g", aliases: []string{"gram", "grams"}, dimension: Mass, factor: "1e-3", twin: "oz", source: si},
	{symbol: "t", aliases: []string{"tonne", "tonnes"}, dimension: Mass, factor: "1e3", twin: "lb", source: sp811},
	{symbol: "lb", aliases: []string{"lbs", "pound", "pounds"}, dimension: Mass, factor: "0.45359237", twin: "kg", us: true, source: sp811},
	{symbol: "oz", aliases: []string{"ounce", "ounces"}, dimension: Mass, factor: "0.028349523125", twin: "g", us: true, source: sp811},

	{symbol: "°C", aliases: []string{"ºC", "℃", "deg C", "degC", "degrees C", "degree C"}, dimension: Temperature, twin: "°F", source: si},
	{symbol: "°F", aliases: []string{"ºF", "℉", "deg F", "degF", "degrees F", "degree F"}, dimension: Temperature, factor: "5/9", offset: "32", twin: "°C", us: true, source: sp811},

	// A difference written in °C or °F is read as one where ParseAs is asked
	// for a difference; these spellings need no such asking.
	{symbol: "K", aliases: []string{"kelvin", "kelvins", "Δ°C"}, dimension: TemperatureDifference, twin: "Δ°F", source: si},
	{symbol: "mK", dimension: TemperatureDifference, factor: "1e-3", source: si},
	{symbol: "Δ°F", dimension: TemperatureDifference, factor: "5/9", twin: "K", us: true, source: sp811},

	{symbol: "mm²", aliases: []string{"mm2", "mm^2", "sq mm", "sqmm", "qmm"}, dimension: Area, twin: "AWG", source: si},
	{symbol: "cm²", aliases: []string{"cm2", "cm^2"}, dimension: Area, factor: "100", twin: "in²", source: si},
	{symbol: "m²", aliases: []string{"m2", "m^2"}, dimension: Area, factor: "1e6", source: si},
	{symbol: "in²", aliases: []string{"in2", "in^2", "sq in"}, dimension: Area, factor: "645.16", twin: "cm²", us: true, source: sp811},
	{symbol: "kcmil", aliases: []string{"MCM"}, dimension: Area, factor: "0.50670747909749778", twin: "mm²", us: true, inexact: true, source: sp811},
	{symbol: gauge, aliases: []string{"awg"}, dimension: Area, twin: "mm²", us: true, inexact: true, source: astm},

	{symbol: "N·m", aliases: []string{"Nm", "N m"}, dimension: Torque, twin: "lbf·ft", source: si},
	{symbol: "mN·m", aliases: []string{"mNm", "mN m"}, dimension: Torque, factor: "1e-3", twin: "ozf·in", source: si},
	{symbol: "N·cm", aliases: []string{"Ncm", "N cm"}, dimension: Torque, factor: "1e-2", twin: "lbf·in", source: si},
	{symbol: "kgf·cm", aliases: []string{"kgf cm", "kg·cm", "kg cm"}, dimension: Torque, factor: "0.0980665", twin: "lbf·in", source: sp811},
	{symbol: "lbf·ft", aliases: []string{"lbf ft", "lb·ft", "lb ft", "ft·lbf", "ft·lb", "ft lbf", "ft lb", "lb-ft", "ft-lb"}, dimension: Torque, factor: "1.3558179483314004", twin: "N·m", us: true, source: asSP811},
	{symbol: "lbf·in", aliases: []string{"lbf in", "lb·in", "lb in", "in·lbf", "in·lb", "in lbf", "in lb", "lb-in", "in-lb"}, dimension: Torque, factor: "0.1129848290276167", twin: "N·m", us: true, source: asSP811},
	{symbol: "ozf·in", aliases: []string{"ozf in", "oz·in", "oz in", "oz-in"}, dimension: Torque, factor: "0.00706155181422604375", twin: "mN·m", us: true, source: asSP811},

	{symbol: "%", aliases: []string{"percent", "per cent"}, dimension: Share, factor: "1e-2", source: si},
	{symbol: "‰", dimension: Share, factor: "1e-3", source: si},

	{symbol: "Wh/km", aliases: []string{"W·h/km"}, dimension: EnergyPerLength, twin: "Wh/mi", source: si},
	{symbol: "Wh/m", dimension: EnergyPerLength, factor: "1e3", twin: "Wh/mi", source: si},
	{symbol: "kWh/100 km", aliases: []string{"kWh/100km"}, dimension: EnergyPerLength, factor: "10", twin: "Wh/mi", source: trade},
	{symbol: "Wh/mi", aliases: []string{"Wh/mile"}, dimension: EnergyPerLength, factor: "1000/1609.344", twin: "Wh/km", us: true, source: sp811},

	{symbol: "N", aliases: []string{"newton", "newtons"}, dimension: Force, twin: "lbf", source: si},
	{symbol: "kN", dimension: Force, factor: "1e3", twin: "lbf", source: si},
	{symbol: "kgf", dimension: Force, factor: "9.80665", twin: "lbf", source: sp811},
	{symbol: "lbf", dimension: Force, factor: "4.4482216152605", twin: "N", us: true, source: asSP811},

	{symbol: "m/s²", aliases: []string{"m/s2", "m/s^2", "m·s⁻²"}, dimension: Acceleration, twin: "ft/s²", source: si},
	{symbol: "ft/s²", aliases: []string{"ft/s2", "ft/s^2"}, dimension: Acceleration, factor: "0.3048", twin: "m/s²", us: true, source: sp811},
}

// gauge is the unit whose numbers are sizes and not multiples: see gauge.go.
const gauge = "AWG"

// inDifference gives the difference unit meant by a scale's symbol where a
// difference of temperatures is wanted, and inLabel the symbol printed for a
// difference where its label already says that it is one.
var (
	inDifference = map[string]string{"°C": "K", "°F": "Δ°F"}
	inLabel      = map[string]string{"Δ°F": "°F"}
)
