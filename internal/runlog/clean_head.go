package runlog

import (
	"strings"
	"unicode"

	"voltwright/internal/outgoing"
)

// withheld stands in place of a word of a head that says nothing to the reader.
const withheld = "withheld"

// writeHead writes anew what is read of the lines above the data.
func (c *Cleaned) writeHead() {
	h := &c.s.head
	if h.line > 0 && h.namesFromPreamble == "" {
		c.headRow = c.join(c.headCells())
		if h.commentHead {
			c.headRow = "# " + c.headRow
		}
		c.head[h.line] = c.headRow
	}
	if h.namesFromPreamble != "" {
		c.shortened[h.namedLine] = true
		c.head[h.namedLine] = "columns: " + strings.Join(c.headCells(), ", ")
		if h.line > 0 && !h.commentHead && h.line != h.namedLine {
			c.headRow = c.join(timesOver(withheld, len(h.names)))
			c.head[h.line] = c.headRow
		}
	}
	for _, n := range h.unitLines {
		c.head[n] = unitRow
	}
	for k, n := range h.aboveLines {
		if _, text := stepInText(h.above[k : k+1]); text != "" && c.head[n] == "" {
			c.head[n], c.shortened[n] = "interval: "+text, true
		}
	}
}

// unitRow marks a line that is written anew cell by cell.
const unitRow = "\x00units"

func timesOver(word string, n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = word
	}
	return out
}

// headCells are the heads of all columns.
func (c *Cleaned) headCells() []string {
	p := &c.s.plan
	out := make([]string, len(c.s.head.names))
	for i := range out {
		switch k := c.columns[i]; {
		case p.names[i] == "":
		case k.read != nil && c.statedByName(k.read.channel):
			out[i] = p.names[i] + c.settledUnit(i)
		case k.place && c.spread.Asked, k.read != nil && !k.place, k.keep:
			out[i] = c.headCell(i)
		default:
			out[i] = withheld
		}
		if p.names[i] != "" && out[i] != p.names[i] && out[i] != withheld {
			c.taken.Heads++
		}
	}
	return out
}

// headCell is the head of a column that stays.
func (c *Cleaned) headCell(i int) string {
	return PublicHead(c.s.plan.names[i]) + c.settledUnit(i)
}

// statedByName says whether the maker names the column of a channel by its head, which must then stay as it is.
func (c *Cleaned) statedByName(channel Channel) bool {
	want, ok := c.s.options.Columns[channel]
	return ok && !strings.HasPrefix(strings.TrimSpace(want), "#")
}

// settledUnit is the unit of a speed or a distance that names none, where there are positions that settle it and that go.
func (c *Cleaned) settledUnit(i int) string {
	if t := c.columns[i].read; t != nil && len(c.s.plan.place) > 0 && !t.named && t.role == roleValue && (t.channel == Speed || t.channel == Distance) {
		return " [" + t.unit.Symbol() + "]"
	}
	return ""
}

// above writes a line above the data anew.
func (c *Cleaned) above(number int, line []byte) {
	text, ok := c.head[number]
	if ok && text == unitRow {
		text = c.unitCells(line)
	} else if ok && isComment(line, c.s.separator) && !strings.HasPrefix(text, "#") {
		text = "# " + text
	}
	if (!ok || c.shortened[number]) && len(trimBlank(line)) > 0 {
		c.taken.Above++
		c.taken.told(outgoing.Telling(string(line)))
	}
	c.put(text)
}

// unitCells keeps the units of a row of units, for columns that stay.
func (c *Cleaned) unitCells(line []byte) string {
	fields := c.s.splitter.split(line, c.s.separator)
	cells := make([]string, len(fields))
	for i, f := range fields {
		text := string(trimBlank(f.text))
		stays := i < len(c.columns) && (c.columns[i].keep || c.columns[i].read != nil && !c.columns[i].place)
		plain := strings.Trim(validText(text), "[]() ")
		if stays && (findUnit(validText(text)) != nil || foreignUnit(plain) || unitRowWords[strings.ToLower(plain)] || strings.Trim(strings.ToLower(plain), "hmsdy:./- ") == "") {
			cells[i] = validText(text)
		}
	}
	if c.s.separator == ' ' {
		for i := range cells {
			if cells[i] == "" {
				cells[i] = "-"
			}
		}
	}
	return c.join(cells)
}

// PublicHead is the head of a column in the words that the reader knows. Any other word, a long number among them, may be
// the name of somebody or of something of theirs.
func PublicHead(name string) string {
	var out strings.Builder
	runes := []rune(name)
	for i := 0; i < len(runes); {
		j := i
		for j < len(runes) && (unicode.IsLetter(runes[j]) || unicode.IsDigit(runes[j])) {
			j++
		}
		if j == i {
			out.WriteRune(runes[i])
			i++
			continue
		}
		if run := string(runes[i:j]); knownRun(run) {
			out.WriteString(run)
		} else {
			out.WriteString(withheld)
		}
		i = j
	}
	return strings.TrimLeft(out.String(), "=+-@\t\r ")
}

// knownRun says whether letters and digits that stand together are words that the reader knows.
func knownRun(run string) bool {
	if findUnit(run) != nil || counterWords[strings.ToLower(run)] != "" || foreignUnit(run) {
		return true
	}
	for _, piece := range splitCamel(run) {
		bare := strings.TrimRightFunc(piece, unicode.IsDigit)
		if len(piece)-len(bare) > 2 || !knownWord(bare) {
			return false
		}
	}
	return true
}

func knownWord(word string) bool {
	low := strings.ToLower(word)
	if len([]rune(word)) <= 1 || findUnit(word) != nil || counterWords[low] != "" || low == withheld {
		return true
	}
	_, isNoun := nouns[low]
	_, qualifies := qualifiers[low]
	if isNoun || qualifies || otherMatters[low] {
		return true
	}
	for _, words := range []map[string]bool{surroundings, returned, drawn, counting, risen, charged, dischargeWords, chargeWords, restWords, electrical, plainWords, unitRowWords, besidePosition, latitudes, longitudes} {
		if words[low] {
			return true
		}
	}
	way := strings.TrimPrefix(low, "i")
	return way != low && (returned[way] || drawn[way])
}

// plainWords are words of the trade in heads that mean nothing to the reader and nobody in particular.
var plainWords = set("of", "the", "at", "per", "and", "negative", "positive", "minus", "plus", "heatsink", "sink", "probe", "sensor", "channel", "front", "rear", "left", "right", "upper", "lower", "inside", "outside", "external", "digital", "filter",
	"value", "data", "hh", "mm", "ss", "yyyy", "dd", "mon", "msec", "utc", "gmt", "local", "system", "sys", "bms", "ecu", "kühlkörper", "fühler", "messwert", "wert", "kanal", "mittel", "gesamt", "total", "sensed", "signal", "throttle", "brake",
	"sample", "samples", "record", "datapoint", "point", "points", "interval", "logger", "track", "rail", "axle", "gearbox", "air", "oil", "coolant", "charge", "discharge", "km", "mode", "type", "unit", "units", "cells", "packs", "batteries", "group", "string", "series", "parallel", "tab", "node", "ntc", "thermistor", "deg", "celsius", "fahrenheit")
