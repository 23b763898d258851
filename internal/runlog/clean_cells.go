package runlog

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
)

// cleanColumn is what becomes of a column of a log that is written anew.
type cleanColumn struct {
	read  *target // nil where it is not read
	keep  bool    // not read, but its numbers stay
	place bool    // a latitude, a longitude, or what goes with them
}

// chooseColumns decides which columns stay.
func (c *Cleaned) chooseColumns() {
	p := &c.s.plan
	c.columns = make([]cleanColumn, len(p.names))
	for i := range c.s.columns {
		t := &c.s.columns[i]
		if t.index < len(c.columns) {
			c.columns[t.index] = cleanColumn{read: t, place: t.channel == ByPosition}
		}
	}
	positions := slices.ContainsFunc(c.s.columns, func(t target) bool { return t.channel == ByPosition })
	for i := range c.columns {
		k, h := &c.columns[i], &p.heads[i]
		if k.read == nil {
			number := i < len(c.s.layout.kinds) && c.s.layout.kinds[i] == kindNumber
			k.place = number && positions && h.hasAny(besidePosition)
			k.keep = number && !k.place && h.harmless()
		}
		c.countColumn(i)
	}
}

// countColumn remembers a column that goes.
func (c *Cleaned) countColumn(i int) {
	k, name := c.columns[i], c.s.plan.names[i]
	if name == "" {
		name = fmt.Sprintf("#%d", i+1)
	}
	switch h := &c.s.plan.heads[i]; {
	case k.place && c.spread.Asked:
		c.taken.Zoned = append(c.taken.Zoned, name)
	case k.place, k.read == nil && !k.keep && (h.hasAny(besidePosition) || h.hasAny(latitudes) || h.hasAny(longitudes) || h.hasAny(gridWords)):
		c.taken.Places = append(c.taken.Places, name)
	case k.read == nil && !k.keep && (i >= len(c.s.layout.kinds) || c.s.layout.kinds[i] != kindEmpty):
		c.taken.Columns = append(c.taken.Columns, name)
	}
}

// Words of heads about where a vehicle was, beside latitude and longitude: what goes with a position, and other ways to give one.
var (
	besidePosition = set("altitude", "alt", "elevation", "ele", "height", "heading", "course", "bearing", "azimuth", "höhe", "hoehe", "kurs", "richtung", "hoogte", "koers", "richting", "altitudes", "kompass", "compass")
	gridWords      = set("utm", "easting", "northing", "rechtswert", "hochwert", "mgrs", "geohash", "coordinate", "coordinates", "coord", "coords", "koordinate", "koordinaten", "coördinaat", "coordonnées", "location", "standort", "locatie", "lieu", "ort", "nmea", "gpx", "breedtegraad", "lengtegraad", "breedte", "lengte", "position")
)

// directions are words of heads of speeds in one direction, which add up to the way that was gone.
var directions = set("north", "east", "south", "west", "n", "e", "s", "w", "x", "y", "z", "up", "down", "vertical", "climb", "nord", "ost", "süd", "sud", "est", "ouest", "noord", "oost", "zuid", "vn", "ve", "vd", "ned", "lateral")

// electrical are the words of other matters whose numbers say nothing of where or whose.
var electrical = set("resistance", "impedance", "dcir", "acir", "acr", "dcr", "esr", "efficiency", "soc", "soh", "dod", "ocv", "capacitance", "ripple", "crate", "torque", "eta")

// harmless says whether a column that is not read names an electrical, thermal or turning quantity, a speed, or a count of the
// log's own course, whose numbers may stay.
func (h *head) harmless() bool {
	if h.hasAny(besidePosition) || h.hasAny(latitudes) || h.hasAny(longitudes) || h.hasAny(gridWords) || h.hasAny(identifying) {
		return false
	}
	if h.hasAny(electrical) {
		return true
	}
	if h.unit != nil {
		switch c, ok := unitChannel[h.unit.Dimension()]; {
		case ok && c == Speed:
			return !h.hasAny(directions)
		case ok && c != Distance:
			return true
		case h.unit.Symbol() == "Ω", h.unit.Symbol() == "mΩ":
			return true
		}
	}
	c, score := h.channel()
	if slices.Contains(counters, c) || c == Speed { // one without a unit may be anything: cap is a heading in French
		return false
	}
	return score > none && c != Distance && c != State && len(h.words) > 0 && len([]rune(h.words[0])) > 1 // a letter says too little
}

// identifying are words of heads of whose numbers tell one device or person from another.
var identifying = set("serial", "seriennummer", "sn", "device", "gerät", "appareil", "apparaat", "imei", "mac", "user", "benutzer", "operator", "owner", "phone", "telephone", "telefon", "contact", "id", "uuid", "vin", "birth")

// cell is what stands in place of a cell of a row that is read.
func (c *Cleaned) cell(i int, fields []field, text []byte) string {
	text = trimBlank(text)
	if i >= len(c.columns) {
		return c.setting(i, fields)
	}
	k := &c.columns[i]
	out := ""
	switch {
	case k.place:
		return c.placeCell(fields, text)
	case k.read != nil:
		out = c.readCell(k.read, text)
	case k.keep:
		if v, _, ok := scanNumber(text, 0, 0, c.s.decimal); ok && v == v {
			out = string(text)
		}
	default:
		return c.setting(i, fields)
	}
	if out == "" && len(text) > 0 && !isHole(text) {
		c.taken.Cells++
	}
	return out
}

func isHole(text []byte) bool { return len(text) <= 5 && holeWords[string(bytes.ToLower(text))] }

// readCell is the cell of a column that is read: what the reader takes from it and nothing besides.
func (c *Cleaned) readCell(t *target, text []byte) string {
	switch t.role {
	case roleWrittenTime, roleDate, roleClock:
		form := c.s.times[t.slot].form
		if _, ok := form.parseStamp(text); ok {
			return string(text)
		}
		for _, f := range []timeForm{timeClock, timeHoursMinutes} {
			if _, ok := f.parseStamp(text); ok && t.role == roleClock {
				return string(text)
			}
		}
		return ""
	case roleStepClock:
		if _, ok := c.s.inStep.parseStamp(text); ok {
			return string(text)
		}
		return ""
	case roleState:
		return plainState(string(text))
	}
	if isHole(text) {
		if len(text) == 0 {
			return ""
		}
		return noValue
	}
	v, suffix, state := parseField(text, c.s.decimal)
	if state != fieldValue || v != v {
		return ""
	}
	return withoutFormula(text, suffix)
}

// withoutFormula writes the sign of a number with a unit behind it so that no spreadsheet takes it for the start of a formula.
func withoutFormula(text []byte, suffix string) string {
	if suffix == "" {
		return string(text)
	}
	if text[0] == '-' {
		return "−" + string(text[1:])
	}
	return strings.TrimPrefix(string(text), "+")
}

// plainState is a state in the reader's words alone.
func plainState(text string) string {
	state, ok := stateOf(text, true)
	switch {
	case !ok:
		return ""
	case stateLetters[strings.ToLower(text)] == state && len(text) == 1:
		return text
	case state == StateDischarge:
		return "discharge"
	case state == StateCharge:
		return "charge"
	}
	return "rest"
}

// setting keeps, of what stands beside the data, the setting that names the unit of what was drawn.
func (c *Cleaned) setting(i int, fields []field) string {
	label := func(k int) string { return strings.ToLower(string(trimBlank(fields[k].text))) }
	isUnit := func(k int) bool {
		return (label(k) == "vertical units" || label(k) == "y units") && k+1 < len(fields) && findUnit(string(trimBlank(fields[k+1].text))) != nil
	}
	switch {
	case isUnit(i):
		return label(i)
	case i > 0 && isUnit(i-1):
		return string(trimBlank(fields[i].text))
	}
	return ""
}

// placeCell is a cell of a position, where the maker publishes them and the row lies outside all zones. A row that lacks cells
// may have others in their place, and tells none.
func (c *Cleaned) placeCell(fields []field, text []byte) string {
	if !c.spread.Asked || len(text) == 0 || len(fields) < c.s.layout.fields {
		return ""
	}
	t := &c.row.time
	if t.placed != 2 || !isPlace(t.lat, t.long) || hidden(c.spread.Zones, t.lat, t.long) {
		return ""
	}
	if _, _, ok := scanNumber(text, 0, 0, c.s.decimal); !ok {
		return ""
	}
	return string(text)
}
