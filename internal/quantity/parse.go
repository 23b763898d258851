package quantity

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// ParseError says what is wrong with a value as written. Its text names no
// position; Offset does, for whoever knows where Text stands.
type ParseError struct {
	Text    string // the whole text that was to be read
	Offset  int    // byte offset in Text of what is wrong
	Reason  string
	Nearest string // the nearest known unit, "" if none is near
}

func (e *ParseError) Error() string {
	if e.Nearest == "" {
		return e.Reason
	}
	return e.Reason + "; the nearest is " + e.Nearest
}

// Parse reads a value with its unit as a person writes it: "23.1 V", "60 mΩ",
// "2 h 7 min 30.5 s", "2:07:30.5" (h:mm:ss), "7:30" (m:ss), "12 AWG", "17 °C",
// "(23.14 ± 0.06) V" or "23.14 V ± 0.06 V", where ± is the expanded uncertainty
// with k = 2. Without ± the value is taken as exact. A number without a unit is
// a Plain quantity.
//
// The decimal mark is the point; a comma is an error that says so. Thin and
// no-break spaces, the minus sign U+2212, and both code points of µ and of Ω
// are read. In the base unit a value other than 0 lies between 1e-100 and
// 1e100. The error is a *ParseError.
func Parse(text string) (Quantity, error) { return parse(text, anyDimension) }

// ParseAs is Parse for a place where the dimension d is wanted. Another
// dimension is an error that says what was written and what is wanted, and so
// is a bare number unless d is Plain. Where a TemperatureDifference is wanted,
// "5 °C" and "9 °F" are read as differences.
func ParseAs(text string, d Dimension) (Quantity, error) { return parse(text, d) }

// ParseKind is ParseAs and As in one. The error is that of either.
func ParseKind[K Kind](text string) (Measured[K], error) {
	var k K
	q, err := ParseAs(text, k.Dimension())
	if err != nil {
		return Missing[K](), err
	}
	return As[K](q)
}

// ParseRange reads two values of dimension d with "to" between, "18 V to 32 V"
// or "18 to 32 V", the lower first. Other forms, other dimensions and a first value that is not the lower are errors.
func ParseRange(text string, d Dimension) (low, high Quantity, err error) {
	first, second, found := strings.Cut(text, " to ")
	if !found {
		return low, high, &ParseError{Text: text,
			Reason: strconv.Quote(text) + " is no range; one is written with the word to: " + d.Example() + " to …"}
	}
	offset := len(text) - len(second)
	if high, err = ParseAs(second, d); err != nil {
		return low, high, moved(err, text, offset)
	}
	if _, length, f := readNumber(strings.TrimSpace(first)); f == nil && length == len(strings.TrimSpace(first)) {
		first += " " + high.Unit
	}
	if low, err = ParseAs(first, d); err != nil {
		return low, high, moved(err, text, 0)
	}
	if low.Value > high.Value {
		return low, high, &ParseError{Text: text, Reason: "the range begins above its end; write the lower value first"}
	}
	return low, high, nil
}

// moved puts the error of a part into the whole text.
func moved(err error, text string, by int) error {
	if e, ok := err.(*ParseError); ok {
		at := min(e.Offset+by, len(text))
		return &ParseError{Text: text, Offset: at, Reason: e.Reason, Nearest: e.Nearest}
	}
	return err
}

// anyDimension asks for none in particular.
const anyDimension = Dimension(255)

// parser reads one text, of which want is expected.
type parser struct {
	text string
	want Dimension
}

func (p *parser) fail(at int, reason string) *ParseError {
	return &ParseError{Text: p.text, Offset: max(0, min(at, len(p.text))), Reason: reason}
}

func (p *parser) wanted() string {
	if p.want == anyDimension {
		return "a value such as 23.1 V"
	}
	return p.want.WithArticle() + " such as " + p.want.Example()
}

func parse(text string, want Dimension) (Quantity, error) {
	p := &parser{text, want}
	q, err := p.quantity()
	if err != nil {
		return Quantity{}, err
	}
	return q, nil
}

func (p *parser) quantity() (Quantity, *ParseError) {
	if len(p.text) > longestText {
		return Quantity{}, p.fail(0, "the text is too long for a value; "+p.wanted()+" is wanted")
	}
	if !utf8.ValidString(p.text) {
		return Quantity{}, p.fail(0, "the text is not valid UTF-8")
	}
	whole := part{p.text, 0}.trim()
	if whole.text == "" {
		return Quantity{}, p.fail(0, "nothing is written; "+p.wanted()+" is wanted")
	}
	value, plus, suffix, err := p.split(whole)
	if err != nil {
		return Quantity{}, err
	}
	q, s, err := p.value(value, suffix)
	if err != nil {
		return Quantity{}, err
	}
	if plus.text != "" {
		if err = p.uncertainty(plus, suffix, &q, s); err != nil {
			return Quantity{}, err
		}
	}
	return q, p.check(q, whole)
}

// part is a piece of the text and where it begins.
type part struct {
	text string
	at   int
}

func (s part) trim() part {
	trimmed := strings.TrimLeftFunc(s.text, isSpace)
	return part{strings.TrimRightFunc(trimmed, isSpace), s.at + len(s.text) - len(trimmed)}
}

func (s part) from(i int) part { return part{s.text[i:], s.at + i} }
func (s part) upTo(i int) part { return part{s.text[:i], s.at} }

// cutPlusMinus finds ± in one of its spellings.
func (s part) cutPlusMinus() (before, after part, found bool) {
	for _, sign := range []string{"±", "+/-", "+/−", "+-"} {
		if i := strings.Index(s.text, sign); i >= 0 {
			return s.upTo(i).trim(), s.from(i + len(sign)).trim(), true
		}
	}
	return s, part{"", s.at + len(s.text)}, false
}

// split takes the text apart into value, uncertainty and the unit that stands
// after a bracket or, as in "23.14 ± 0.06 V", after both.
func (p *parser) split(whole part) (value, plus, suffix part, err *ParseError) {
	if strings.HasPrefix(whole.text, "(") {
		end := strings.LastIndexByte(whole.text, ')')
		if end < 0 {
			return value, plus, suffix, p.fail(whole.at, "the bracket is not closed")
		}
		inner := part{whole.text[1:end], whole.at + 1}.trim()
		suffix = whole.from(end + 1).trim()
		if value, plus, _ = inner.cutPlusMinus(); plus.text == "" || suffix.text == "" {
			return value, plus, suffix, p.fail(whole.at, "a bracket is for a value with its uncertainty, as in (23.14 ± 0.06) V")
		}
		return value, plus, suffix, nil
	}
	var found bool
	value, plus, found = whole.cutPlusMinus()
	switch {
	case found && value.text == "":
		return value, plus, suffix, p.fail(whole.at, "an uncertainty is written without a value; "+p.wanted()+" is wanted")
	case found && plus.text == "":
		return value, plus, suffix, p.fail(plus.at, "nothing follows the ± sign")
	case found && isBareNumber(value.text):
		if _, length, f := readNumber(plus.text); f == nil {
			suffix = plus.from(length).trim()
			plus = plus.upTo(length)
		}
	}
	return value, plus, suffix, nil
}

func isBareNumber(text string) bool {
	_, length, f := readNumber(text)
	return f == nil && length == len(text)
}

// value reads a number with its unit, a size of wire or a time in parts.
// suffix, if not empty, is the unit and the part then has none.
func (p *parser) value(v, suffix part) (Quantity, *scale, *ParseError) {
	if size, at, is := cutGauge(v); is && suffix.text == "" {
		return p.gauge(size, at)
	}
	n, length, f := readNumber(v.text)
	if f != nil {
		reason := f.reason
		if reason == numberWanted {
			reason = strconv.Quote(v.text) + " does not begin with a number; " + p.wanted() + " is wanted"
		}
		return Quantity{}, nil, p.fail(v.at+f.at, reason)
	}
	rest := v.from(length).trim()
	if strings.HasPrefix(rest.text, ":") {
		return p.clock(v)
	}
	if suffix.text != "" {
		if rest.text != "" {
			return Quantity{}, nil, p.fail(rest.at, "the unit stands twice; write it once, after the bracket")
		}
		rest = suffix
	}
	s := p.lookUp(rest.text)
	if s == nil && strings.ContainsAny(rest.text, "0123456789") {
		if q, err, is := p.timeInParts(v); is {
			return q, bySymbol["s"], err
		}
	}
	if s == nil {
		return Quantity{}, nil, p.unknownUnit(rest)
	}
	if s.symbol == "" && p.want != anyDimension && p.want != Plain {
		return Quantity{}, nil, p.fail(v.at+length, v.text+" has no unit; "+p.wanted()+" is wanted")
	}
	base, ok := s.base(n.text, false)
	if !ok || !inRange(base) {
		return Quantity{}, nil, p.fail(v.at, "the number is out of range")
	}
	return Quantity{Dimension: s.dimension, Value: base, Unit: s.symbol, Decimals: n.decimals}, s, nil
}

// lookUp finds the unit by a spelling of it, nil if there is none.
func (p *parser) lookUp(name string) *scale {
	s := byName[plainUnit(name)]
	if s != nil && p.want == TemperatureDifference {
		if difference, is := inDifference[s.symbol]; is {
			s = bySymbol[difference]
		}
	}
	if s != nil && s.symbol == gauge {
		return nil // its sizes are read by cutGauge
	}
	return s
}

func (p *parser) unknownUnit(rest part) *ParseError {
	if strings.Contains(rest.text, " to ") {
		return p.fail(rest.at, "a range is written where one value is wanted")
	}
	if isDigit(rest.text[0]) {
		return p.fail(rest.at, "a second number follows the first; write a number without spaces in it")
	}
	err := p.fail(rest.at, strconv.Quote(rest.text)+" is not a known unit")
	err.Nearest = nearestUnit(plainUnit(rest.text), p.want)
	return err
}

// uncertainty reads what follows ± and halves it. Decimals becomes the larger
// number of the two.
func (p *parser) uncertainty(plus, suffix part, q *Quantity, s *scale) *ParseError {
	if q.Dimension == Time && inSeveralParts(plus.text) {
		t, err, is := p.timeInParts(plus)
		switch {
		case err != nil:
			return err
		case is && t.Value < 0:
			return p.fail(plus.at, "an uncertainty is not negative")
		case is:
			q.U = t.Value / CoverageFactor
			if q.Unit != t.Unit { // the last place of the one says nothing of the other
				q.Decimals = -1
			}
			return nil
		}
	}
	n, length, f := readNumber(plus.text)
	if f != nil {
		return p.fail(plus.at+f.at, "a number is wanted after ±")
	}
	rest := plus.from(length).trim()
	if rest.text == "" {
		rest = suffix
	}
	unit := p.lookUp(rest.text)
	switch {
	case s.symbol == gauge:
		return p.fail(plus.at, "a gauge is a size and has no ±")
	case unit == nil:
		return p.unknownUnit(rest)
	case unit.symbol == "" && s.symbol != "":
		return p.fail(plus.at+length, plus.text+" has no unit; write the uncertainty in "+s.symbol)
	case unit.dimension == q.Dimension:
	case unit.dimension == TemperatureDifference && q.Dimension == Temperature:
	case unit.dimension == Share:
		return p.fail(plus.at, "an uncertainty in per cent is not read; write it in "+s.symbol)
	default:
		return p.fail(plus.at, plus.text+" is "+unit.dimension.WithArticle()+"; the uncertainty of "+q.Dimension.WithArticle()+" is wanted")
	}
	expanded, ok := unit.base(n.text, true)
	if !ok || !inRange(expanded) {
		return p.fail(plus.at, "the number is out of range")
	}
	if expanded < 0 {
		return p.fail(plus.at, "an uncertainty is not negative")
	}
	q.U = expanded / CoverageFactor
	decimals := n.decimals
	if unit != s {
		text, _ := s.text(expanded, -1, true)
		decimals = decimalsOf(text)
	}
	if q.Decimals >= 0 {
		q.Decimals = max(q.Decimals, decimals)
	}
	return nil
}

// inSeveralParts says whether a time has a number after a unit: 6 h 50 min.
func inSeveralParts(text string) bool {
	unit := strings.IndexAny(text, "dhms")
	return unit >= 0 && strings.ContainsAny(text[unit:], "0123456789")
}

// absoluteZero in °C.
const absoluteZero = -273.15

// check holds the whole against what is wanted and what is possible.
func (p *parser) check(q Quantity, whole part) *ParseError {
	if p.want != anyDimension && q.Dimension != p.want {
		return p.fail(whole.at, whole.text+" is "+q.Dimension.WithArticle()+"; "+p.wanted()+" is wanted")
	}
	if q.Dimension == Temperature && q.Value < absoluteZero {
		return p.fail(whole.at, whole.text+" is below absolute zero")
	}
	return nil
}

// cutGauge takes the size from "12 AWG" or "AWG 12".
func cutGauge(v part) (size string, at int, is bool) {
	text := v.text
	if len(text) < len(gauge) {
		return "", 0, false
	}
	if strings.EqualFold(text[:len(gauge)], gauge) {
		rest := v.from(len(gauge)).trim()
		return rest.text, rest.at, true
	}
	if i := len(text) - len(gauge); strings.EqualFold(text[i:], gauge) {
		rest := v.upTo(i).trim()
		return rest.text, rest.at, true
	}
	return "", 0, false
}

func (p *parser) gauge(size string, at int) (Quantity, *scale, *ParseError) {
	n, ok := gaugeSize(size)
	if !ok {
		return Quantity{}, nil, p.fail(at, strconv.Quote(size)+" is no size of the American wire gauge; sizes run from 4/0 to "+strconv.Itoa(thinnestGauge))
	}
	return Quantity{Dimension: Area, Value: float64(GaugeArea(n)), Unit: gauge}, bySymbol[gauge], nil
}
