package evidence

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"voltwright/internal/quantity"
)

// amount is an amount as it is written: its value in the base unit, and half
// the step that it is counted in.
type amount struct {
	value  float64
	step   float64 // one of what it is counted in
	half   float64 // what it claims by itself either way: see stepped
	scale  bool    // on a scale whose nought is a matter of choice
	spread *Spread // of ±
	unit   string  // as written, of an amount in digits
	// write says another value in the same way, to a step that to picks: math.Round, math.Floor or math.Ceil.
	write func(x float64, to func(float64) float64) string
}

// stepped is an amount that is counted in steps. By itself it claims half a step either way and never more than a
// tenth of it: "1 h" is not said of 31 min. Nought has no tenth, and neither has a scale whose nought is a matter of
// choice; there half a step stands.
func stepped(value, step float64, scale bool) amount {
	half := step / 2
	if !scale && value != 0 {
		half = math.Min(half, tenth*math.Abs(value))
	}
	return amount{value: value, step: step, half: half, scale: scale}
}

// loose is what the looser hedges claim to one side.
func (a amount) loose() float64 {
	if a.scale {
		return 2 * a.step
	}
	return tenth * math.Abs(a.value)
}

// near is what "about" allows either way.
func (a amount) near() float64 {
	if a.scale || a.value == 0 {
		return math.Max(a.loose(), a.step)
	}
	return math.Min(math.Max(a.loose(), a.step), fifth*math.Abs(a.value))
}

// amountOf reads an amount of a subject.
func amountOf(text string, s Subject) (amount, error) {
	switch s.Form {
	case Price:
		return priceOf(text, s.Currency)
	case Date:
		return dateOf(text)
	case Count:
		return countOf(text)
	}
	if m := minusWord().FindStringSubmatch(text); m != nil && m[1][0] >= '0' && m[1][0] <= '9' {
		text = "-" + m[1]
	}
	text = pointInWords(text)
	if s.Dimension == quantity.Share {
		if a, ok := oneOfSo(text); ok {
			return a, nil
		}
		if m := ofThe().FindStringSubmatch(text); m != nil { // half the charge, 70 % of it
			text = m[1]
		}
	}
	if m := twoUnits().FindStringSubmatch(text); m != nil { // 6 ft 2 in, 7 lb 4 oz
		if a, ok := inTwoUnits(m, s.Dimension); ok {
			return a, nil
		}
	}
	a, err := digits(text, s.Dimension)
	if err == nil {
		return a, nil
	}
	if a, ok := inWordsOf(text, s.Dimension); ok {
		return a, nil
	}
	if plain, ok := ownCase(text, s.Dimension); ok {
		if a, other := digits(plain, s.Dimension); other == nil {
			return a, nil
		}
	}
	if a, ok := ratingOf(text, s); ok {
		return a, nil
	}
	return amount{}, err
}

// digits reads one quantity with its unit, 1.24 Ah or 2 h 7 min.
func digits(text string, d quantity.Dimension) (amount, error) {
	plain := text
	if d == quantity.Time { // 1 hour and 20 minutes, 1 h 20
		if plain = strings.ReplaceAll(text, " and ", " "); minutesBare().MatchString(plain) {
			plain += " min"
		}
	}
	written, err := quantity.ParseAs(plain, d)
	if err != nil {
		return amount{}, err
	}
	return digitsOf(plain, written)
}

func digitsOf(text string, written quantity.Quantity) (amount, error) {
	step, ok := lastPlace(text, written, func(q quantity.Quantity) float64 { return q.Value })
	if !ok {
		return amount{}, fmt.Errorf("it cannot be told to which place %q is written", text)
	}
	a := stepped(written.Value, step, written.Dimension == quantity.Temperature)
	a.unit = written.Unit
	if written.U > 0 {
		expanded := func(q quantity.Quantity) float64 { return quantity.CoverageFactor * q.U }
		place, ok := lastPlace(text, written, expanded)
		if !ok {
			return amount{}, fmt.Errorf("it cannot be told to which place the ± of %q is written", text)
		}
		a.spread = &Spread{expanded(written) - place, expanded(written) + place/2}
	}
	a.write = func(x float64, to func(float64) float64) string {
		k := to((x - written.Value) / step * (1 + 1e-12))
		q := quantity.Quantity{Dimension: written.Dimension, Value: written.Value + k*step, Unit: written.Unit, Decimals: written.Decimals}
		return q.Rounded()
	}
	return a, nil
}

// twoUnits is 6 ft 2 in and 7 lb 4 oz.
var twoUnits = lazily(`^(\d+) ?(ft|foot|feet|lbs?|pounds?|yd|yards?) (?:and )?(\d+(?:\.\d+)?) ?(in|inch|inches|oz|ounces?|ft|foot|feet)$`)

// inTwoUnits reads an amount in a unit and what is left of it in a smaller one, in which it is counted.
func inTwoUnits(m []string, d quantity.Dimension) (amount, bool) {
	larger, err := quantity.ParseAs(m[1]+" "+m[2], d)
	smaller, other := digits(m[3]+" "+m[4], d)
	one, _ := quantity.FindUnit(m[2])
	if err != nil || other != nil || smaller.value >= one.Base(1) {
		return amount{}, false
	}
	a := stepped(larger.Value+smaller.value, smaller.step, false)
	a.write = func(x float64, to func(float64) float64) string { return smaller.write(x, to) }
	return a, true
}

// minutesBare is 1 h 20, in which the minutes have no unit.
var minutesBare = lazily(`^\d+ ?(?:h|hrs?|hours?) [0-5]?\d$`)

// inWordsOf reads an amount in words: an hour and a half, three quarters of a
// mile, two thirds, minus half a volt.
func inWordsOf(text string, d quantity.Dimension) (amount, bool) {
	tokens := tokensOf(text)
	if a, ok := oneInWords(tokens, d); ok {
		return a, true
	}
	if d != quantity.Time {
		return amount{}, false
	}
	for i := 1; i < len(tokens); i++ { // an hour and twenty minutes, two hours twenty, an hour and ten
		next := tokens[i:]
		if next[0] == "and" {
			next = next[1:]
		}
		first, ok := oneInWords(tokens[:i], d)
		if n, used := wholeWords(next); used == len(next) && n < 60 && strings.HasPrefix(tokens[i-1], "hour") {
			next = append(append([]string{}, next...), "minutes")
		}
		second, also := oneInWords(next, d)
		if ok && also && second.value < first.value {
			sum := first.value + second.value
			a := stepped(sum, second.step, false)
			a.write = func(x float64, to func(float64) float64) string {
				return quantity.Clock(quantity.Seconds(to(x/second.step)*second.step), quantity.Seconds(second.step))
			}
			return a, true
		}
	}
	return amount{}, false
}

// pieces is an amount in words taken apart: whole + num/den of a unit.
type pieces struct {
	whole, num, den int
	unit            quantity.Unit
	name            string // of the unit as written, "" where there is none
}

func oneInWords(tokens []string, d quantity.Dimension) (amount, bool) {
	sign, minus := 1.0, ""
	if len(tokens) > 1 && (strings.EqualFold(tokens[0], "minus") || strings.EqualFold(tokens[0], "negative")) {
		sign, minus, tokens = -1, tokens[0]+" ", tokens[1:]
	}
	p, ok := take(tokens, d)
	if !ok {
		return amount{}, false
	}
	one, base := 1.0, func(n float64) float64 { return n }
	if p.name != "" {
		if p.unit.Dimension() != d && !(d == quantity.TemperatureDifference && p.unit.Dimension() == quantity.Temperature) {
			return amount{}, false
		}
		one = p.unit.Base(1) - p.unit.Base(0)
		base = p.unit.Base
		if d == quantity.TemperatureDifference {
			base = func(n float64) float64 { return n * one }
		}
	}
	n := sign * (float64(p.whole) + float64(p.num)/float64(p.den))
	a := stepped(base(n), one/float64(p.den), d == quantity.Temperature)
	a.write = func(x float64, to func(float64) float64) string {
		at := x / one
		if p.name != "" && d != quantity.TemperatureDifference {
			at = p.unit.Number(x)
		}
		den := p.den
		k := int(sign * to(at*float64(den)))
		if k <= 0 {
			return ""
		}
		return minus + p.say(k/den, k%den, den)
	}
	return a, true
}

// take takes tokens apart by the ways in which an amount is said in words.
func take(tokens []string, d quantity.Dimension) (pieces, bool) {
	if num, den, n := fractionWords(tokens); n > 0 { // three quarters of an hour, half a volt, two thirds
		rest := tokens[n:]
		if len(rest) == 0 {
			return pieces{num: num, den: den}, d == quantity.Share || d == quantity.Plain
		}
		if strings.ToLower(rest[0]) == "of" {
			rest = rest[1:]
		}
		if len(rest) > 1 && article(rest[0]) {
			rest = rest[1:]
		} else if last := tokens[n-1]; strings.HasSuffix(last, "s") && len(last) > 2 { // three quarter hour goes, three quarters hour does not
			return pieces{}, false
		}
		u, ok := unitOf(rest)
		return pieces{num: num, den: den, unit: u, name: strings.Join(rest, " ")}, ok
	}
	whole, n := wholeWords(tokens)
	if n == 0 && len(tokens) > 0 && article(tokens[0]) {
		whole, n = 1, 1
		if len(tokens) > 1 && strings.EqualFold(tokens[1], "dozen") {
			whole, n = 12, 2
		}
	}
	if n == 0 && len(tokens) > 1 && strings.ToLower(tokens[1]) == "and" { // hour and a half
		if _, _, used := fractionWords(tokens[2:]); used > 0 && 2+used == len(tokens) {
			if _, known := unitOf(tokens[:1]); known {
				return take(append([]string{"one"}, tokens...), d)
			}
		}
	}
	if n == 0 || n == len(tokens) {
		return pieces{}, false // a bare number is read elsewhere
	}
	rest := tokens[n:]
	p := pieces{whole: whole, den: 1}
	if num, den, n := fractionWords(rest); n == 1 && []rune(rest[0])[0] > 0x7f { // 2 ½ h
		p.num, p.den, rest = num, den, rest[n:]
	} else if strings.ToLower(rest[0]) == "and" { // two and a half hours
		if num, den, n := fractionWords(rest[1:]); n > 0 {
			p.num, p.den, rest = num, den, rest[1+n:]
		}
	}
	for i := 1; i < len(rest); i++ { // an hour and a half
		if strings.ToLower(rest[i]) == "and" && p.den == 1 {
			if num, den, n := fractionWords(rest[i+1:]); n > 0 && i+1+n == len(rest) {
				p.num, p.den, rest = num, den, rest[:i]
			}
			break
		}
	}
	if len(rest) == 0 {
		return pieces{}, false
	}
	u, ok := unitOf(rest)
	p.unit, p.name = u, strings.Join(rest, " ")
	return p, ok
}

func article(word string) bool {
	word = strings.ToLower(word)
	return word == "a" || word == "an" || word == "one" || word == "the"
}

func unitOf(tokens []string) (quantity.Unit, bool) {
	name := strings.Join(tokens, " ")
	if name == "" {
		return quantity.Unit{}, false
	}
	if u, ok := quantity.FindUnit(name); ok {
		return u, true
	}
	return quantity.FindUnit(strings.ReplaceAll(name, "-", " "))
}

// say writes the amount of other numbers: an hour and a half.
func (p pieces) say(whole, num, den int) string {
	for f := num; f > 1; f-- { // the lowest terms that have a name
		if num%f == 0 && den%f == 0 && fractionInWords(1, den/f) != "" {
			num, den = num/f, den/f
			break
		}
	}
	one := strings.TrimSuffix(p.name, "s")
	many := p.name
	if one == many && len(many) > 3 && !strings.HasSuffix(many, "cent") { // per cent
		many += "s"
	}
	a := "a"
	if strings.HasPrefix(one, "hour") || one != "" && strings.ContainsRune("aeio", rune(one[0])) {
		a = "an"
	}
	part := fractionInWords(num, max(den, 1))
	switch {
	case p.name == "" && whole == 0:
		return part
	case p.name == "":
		return strconv.FormatFloat(float64(whole)+float64(num)/float64(den), 'g', 3, 64)
	case whole == 0 && den == 2:
		return "half " + a + " " + one
	case whole == 0:
		return part + " of " + a + " " + one
	case num == 0 && whole == 1:
		return a + " " + one
	case num == 0:
		return inWords(whole) + " " + many
	case whole == 1 && num == 1:
		return a + " " + one + " and " + strings.Replace(part, "half", "a half", 1)
	case num == 1 && den == 2:
		return inWords(whole) + " and a half " + many
	default:
		return inWords(whole) + " and " + part + " " + many
	}
}

// countOf reads a number of things, "three runs", "a dozen", "twice", "the third version".
func countOf(text string) (amount, error) {
	tokens := tokensOf(text)
	exact := func(n int, used int) amount {
		tail := strings.Join(tokens[used:], " ")
		inDigits := tokens[0][0] >= '0' && tokens[0][0] <= '9'
		return amount{value: float64(n), step: 1, write: func(x float64, to func(float64) float64) string {
			n := int(to(x))
			out := inWords(n)
			if inDigits {
				out = strconv.Itoa(n)
			}
			if tail != "" {
				noun, many := strings.TrimSuffix(tail, "s"), "s"
				if strings.HasSuffix(tail, "ss") {
					noun, many = tail, "es"
				}
				if n != 1 {
					noun += many
				}
				out += " " + noun
			}
			return out
		}}
	}
	if len(tokens) > 0 {
		first := strings.ToLower(tokens[0])
		if first == "the" && len(tokens) > 1 {
			tokens = tokens[1:]
			first = strings.ToLower(tokens[0])
		}
		if n, ok := ordinal(first); ok {
			return amount{value: float64(n), step: 1, write: func(x float64, to func(float64) float64) string {
				return ordinalWord(int(to(x))) + strings.TrimPrefix(strings.Join(append([]string{""}, tokens[1:]...), " "), "")
			}}, nil
		}
		switch first {
		case "no", "none", "never":
			return exact(0, 1), nil
		case "once", "single":
			return exact(1, 1), nil
		case "twice", "both":
			return exact(2, 1), nil
		case "half":
			if len(tokens) > 2 && strings.EqualFold(tokens[1], "a") && strings.EqualFold(tokens[2], "dozen") {
				return exact(6, 3), nil
			}
		case "not", "neither", "nil":
			if first != "not" {
				return exact(0, 1), nil
			}
			if len(tokens) > 2 && strings.EqualFold(tokens[1], "a") && strings.EqualFold(tokens[2], "single") {
				return exact(0, 3), nil
			}
			if len(tokens) > 1 && strings.EqualFold(tokens[1], "one") {
				return exact(0, 2), nil
			}
		case "a", "an":
			if len(tokens) > 1 {
				switch strings.ToLower(tokens[1]) {
				case "dozen":
					return exact(12, 2), nil
				case "pair":
					if len(tokens) > 2 && strings.EqualFold(tokens[2], "of") {
						return exact(2, 3), nil
					}
					return exact(2, 2), nil
				case "couple":
					return amount{}, fmt.Errorf("%q is two to some and a few to others; write the number", text)
				case "single":
					return exact(1, 2), nil
				case "hundred":
					return exact(100, 2), nil
				case "few", "lot", "number", "handful":
					return amount{}, fmt.Errorf("%q is no number", text)
				}
				return exact(1, 1), nil
			}
		}
		if n, used := wholeWords(tokens[1:]); len(tokens) > 1 && used == len(tokens)-1 && !hasDigit(tokens[:1]) && smallest(first) == 0 && first != "not" { // version 3
			inDigits := hasDigit(tokens[1:])
			return amount{value: float64(n), step: 1, write: func(x float64, to func(float64) float64) string {
				if inDigits {
					return tokens[0] + " " + strconv.Itoa(int(to(x)))
				}
				return tokens[0] + " " + inWords(int(to(x)))
			}}, nil
		}
		if n, used := wholeWords(tokens); used > 0 && !hasDigit(tokens[used:]) {
			return exact(n, used), nil
		}
	}
	return amount{}, fmt.Errorf("%q is no number of things; one is written such as three runs, 3 runs or a dozen", text)
}

func hasDigit(tokens []string) bool {
	return strings.ContainsAny(strings.Join(tokens, ""), "0123456789")
}

// ordinal reads third and 3rd.
func ordinal(word string) (int, bool) {
	for n, w := range ordinals {
		if n > 0 && w == word {
			return n, true
		}
	}
	for _, end := range []string{"st", "nd", "rd", "th"} {
		if digits, found := strings.CutSuffix(word, end); found {
			n, err := strconv.Atoi(digits)
			return n, err == nil
		}
	}
	return 0, false
}

func ordinalWord(n int) string {
	if n > 0 && n < len(ordinals) {
		return ordinals[n]
	}
	end := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			end = "st"
		case 2:
			end = "nd"
		case 3:
			end = "rd"
		}
	}
	return strconv.Itoa(n) + end
}
