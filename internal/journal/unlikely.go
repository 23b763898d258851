package journal

import (
	"fmt"
	"reflect"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// usualValues are the widest values that small electric vehicles have, by key:
// a model engine's motor at one end, a cart that carries a dozen people at the
// other, and room beyond both. They catch a slip of the prefix or of the decimal
// point and nothing finer. All are common practice, no source.
var usualValues = map[string]struct{ least, most string }{
	"packs.capacity":                {"0.1 Ah", "1000 Ah"},
	"packs.resistance":              {"0.1 mΩ", "5 Ω"},
	"packs.full":                    {"1 V", "200 V"},
	"packs.mass":                    {"10 g", "1000 kg"},
	"packs.sheet.full":              {"1 V", "1000 V"},
	"packs.sheet.floor":             {"500 mV", "1000 V"},
	"packs.sheet.charge.from":       {"-60 °C", "70 °C"},
	"packs.sheet.charge.to":         {"-60 °C", "90 °C"},
	"packs.sheet.charge.current":    {"10 mA", "1000 A"},
	"packs.used.label":              {"0.1 Ah", "1000 Ah"},
	"packs.used.capacity":           {"0.1 Ah", "1000 Ah"},
	"packs.used.new-resistance":     {"0.1 mΩ", "5 Ω"},
	"packs.used.resistance":         {"0.1 mΩ", "5 Ω"},
	"packs.discharge":               {"50 mA", "3000 A"},
	"packs.fuse":                    {"50 mA", "3000 A"},
	"packs.joined-at":               {"1 V", "200 V"},
	"packs.protection.opens":        {"1 V", "200 V"},
	"packs.protection.current":      {"50 mA", "5000 A"},
	"packs.protection.charge-stops": {"1 V", "200 V"},

	"charger.voltage": {"1 V", "250 V"},
	"charger.current": {"10 mA", "500 A"},
	"wall-energy":     {"0.1 Wh", "100 kWh"},

	"cutout.opens":           {"1 V", "200 V"},
	"cutout.reset-threshold": {"5 mV", "50 V"},
	"cutout.delay":           {"10 µs", "1 h"},
	"cutout.current":         {"50 mA", "3000 A"},

	"controller.current":           {"50 mA", "3000 A"},
	"controller.limit":             {"50 mA", "3000 A"},
	"controller.holds-at":          {"1 V", "250 V"},
	"controller.precharge.through": {"1 Ω", "10 kΩ"},
	"controller.precharge.power":   {"0.1 W", "1 kW"},

	"converters.highest": {"1 V", "1000 V"},
	"converters.gives":   {"1 V", "100 V"},
	"converters.current": {"10 mA", "500 A"},
	"converters.idle":    {"10 µA", "2 A"},
	"throttle.reference": {"0.5 V", "60 V"},
	"throttle.pull-down": {"100 Ω", "10 MΩ"},

	"motors.rated":           {"1 V", "400 V"},
	"motors.power":           {"0.5 W", "50 kW"},
	"motors.no-load-speed":   {"5 rpm", "100000 rpm"},
	"motors.no-load-current": {"1 mA", "200 A"},
	"motors.resistance":      {"0.1 mΩ", "200 Ω"},
	"motors.stall-current":   {"50 mA", "10 kA"},
	"motors.rated-speed":     {"5 rpm", "100000 rpm"},
	"motors.rated-current":   {"5 mA", "3000 A"},
	"motors.copper":          {"0.5 g", "100 kg"},

	"drive.ratio":                {"0.05", "2000"},
	"drive.wheel":                {"5 mm", "2 m"},
	"drive.rolling":              {"0.0003", "1"},
	"drive.drag-area":            {"0.001 m²", "20 m²"},
	"drive.top-speed":            {"0.05 km/h", "150 km/h"},
	"drive.braking.deceleration": {"0.005 m/s²", "20 m/s²"},
	"drive.braking.force":        {"0.05 N", "50 kN"},
	"drive.braking.reaction":     {"10 ms", "1 min"},

	"masses.vehicle":      {"0.1 kg", "10 t"},
	"masses.payload":      {"10 g", "20 t"},
	"masses.wagons.mass":  {"10 g", "20 t"},
	"conditions.payload":  {"10 g", "20 t"},
	"wiring.leads.length": {"2 mm", "100 m"},
	"wiring.leads.size":   {"0.01 mm²", "1000 mm²"},
	"wiring.usual.size":   {"0.01 mm²", "1000 mm²"},
	"stopwatch.lap":       {"0.5 m", "100 km"},

	"conditions.temperature": {"-60 °C", "70 °C"},
}

// unlikely notes values that are orders of magnitude from what small vehicles
// have. Values that cannot be at all have been reported, and zero may be meant.
func (l *loader) unlikely(into any) { l.unlikelyIn(reflect.ValueOf(into).Elem(), "") }

func (l *loader) unlikelyIn(v reflect.Value, path string) {
	if p, is := v.Addr().Interface().(*PackFuse); is {
		v = reflect.ValueOf(&p.Rating).Elem()
	}
	if value, is := v.Addr().Interface().(interface {
		AsWritten() (quantity.Quantity, bool)
	}); is {
		if q, ok := value.AsWritten(); ok {
			l.judgeUsual(path, q, v.FieldByName("Span").Interface().(finding.Span))
		}
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			l.unlikelyIn(v.Elem(), path)
		}
	case reflect.Slice:
		for i := range v.Len() {
			l.unlikelyIn(v.Index(i), path)
		}
	case reflect.Struct:
		if p, is := v.Addr().Interface().(*Protection); is {
			v = reflect.ValueOf(&p.ProtectionPoints).Elem()
		}
		for _, f := range notes.Fields(v.Type()) {
			next := f.Key
			if path != "" {
				next = path + "." + f.Key
			}
			l.unlikelyIn(v.Field(f.Index), next)
		}
	}
}

func (l *loader) judgeUsual(path string, q quantity.Quantity, at finding.Span) {
	usual, ok := usualValues[path]
	if !ok || q.Dimension != quantity.Temperature && q.Value <= 0 {
		return
	}
	least, most := parsed(usual.least, q.Dimension), parsed(usual.most, q.Dimension)
	if q.Value >= least.Value && q.Value <= most.Value {
		return
	}
	l.add(finding.Note, RuleUnlikely, at, fmt.Sprintf("`%s`: %s is far from what small vehicles have, from %s to %s", lastOf(path), q.String(), usual.least, usual.most),
		"if it is right, leave it as it is: nothing hangs on this. Else see whether the decimal point or the unit slipped, such as "+slipOf(q.Dimension)+".")
}

// slipOf are two units of a dimension that are taken for each other.
func slipOf(d quantity.Dimension) string {
	example := map[quantity.Dimension]string{
		quantity.Charge: "Ah for mAh", quantity.Resistance: "Ω for mΩ", quantity.Current: "A for mA", quantity.Voltage: "V for mV", quantity.Mass: "kg for g",
		quantity.Length: "m for mm", quantity.Area: "mm² for m²", quantity.Power: "kW for W", quantity.Time: "s for ms", quantity.Temperature: "°C for °F", quantity.Force: "kN for N", quantity.Speed: "m/s for km/h",
	}[d]
	if example == "" {
		return "a digit written twice"
	}
	return example
}

// parsed reads a bound of the table; a test reads them all.
func parsed(text string, d quantity.Dimension) quantity.Quantity {
	q, err := quantity.ParseAs(text, d)
	if err != nil {
		panic("journal: usual values: " + err.Error())
	}
	return q
}

func lastOf(path string) string {
	for i := len(path) - 1; i >= 0; i-- {
		if path[i] == '.' {
			return path[i+1:]
		}
	}
	return path
}
